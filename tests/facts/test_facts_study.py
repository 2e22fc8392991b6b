"""The open cars of 1993 in the published single bay: the study's numbers, held, and held to what the trade says.

Common practice, no source; the bay's size is published (see the documents).
"""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest
from single_bay_study import BAYS, CARDS, FIGURE, PAGE, answer, figure, numbers_of, read_numbers, with_table

from standtrue.work.study.answer import StudyAnswer

NUMBERS = read_numbers()


@pytest.fixture(scope="module")
def study() -> StudyAnswer:
    return answer()


def test_the_study_gives_the_committed_numbers(study: StudyAnswer) -> None:
    assert numbers_of(study) == NUMBERS
    assert all(room.tally.undecided == 0.0 for room in study.rooms)


def test_most_forward_camera_work_fits_on_the_lift_whatever_the_pit() -> None:
    for bay in BAYS:
        for key in CARDS[:3]:
            assert NUMBERS[bay, key, "lift down"] >= 0.9 * 93


def test_rear_radars_want_the_floor() -> None:
    for key in (k for k in CARDS if k.startswith("rear corner radar")):
        assert NUMBERS["pit covered", key, "floor"] >= 0.9 * 93
        assert NUMBERS["pit covered", key, "lift down"] <= 0.2 * 93


def test_some_surround_view_work_fits() -> None:
    assert NUMBERS["pit covered", "surround-view learning", "floor"] == 93
    assert NUMBERS["pit covered", "surround-view mats", "floor"] == 0


def test_a_pit_never_helps_and_its_covers_never_harm() -> None:
    for (bay, key, support), count in NUMBERS.items():
        if bay == "pit open":
            assert count <= NUMBERS["pit covered", key, support] <= NUMBERS["no pit", key, support]


def test_left_and_right_are_alike_in_a_bay_that_is() -> None:
    for key in (k for k in CARDS if k.endswith("/left")):
        for (bay, card, support), count in NUMBERS.items():
            if card == key:
                assert NUMBERS[bay, key.replace("/left", "/right"), support] == count


def test_figure_and_page_show_the_committed_numbers() -> None:
    assert FIGURE.read_text(encoding="utf-8") == figure(NUMBERS)
    ElementTree.fromstring(figure(NUMBERS))
    page = PAGE.read_text(encoding="utf-8")
    assert page == with_table(page, NUMBERS)
