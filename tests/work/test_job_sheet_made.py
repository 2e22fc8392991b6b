"""What goes onto a job's sheet, from the demonstration shop's front-end collision."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cache

import pytest

from kept_answers import kept
from standtrue.demo import MAIN_JOB, demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.model.cautions import Caution
from standtrue.model.fits import Fits
from standtrue.model.reason import Length
from standtrue.model.setup import CHALKED, LINES
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.remedies import remedies_words
from standtrue.show.words.sheet_card import answers
from standtrue.work.aim.aiming import judge_measured
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.sheet.cards import angles_on_order
from standtrue.work.sheet.content import CardPart, SheetContent
from standtrue.work.sheet.job import find_job_sheet


@cache
def shop() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


@cache
def sheet() -> SheetContent:
    return kept(find_job_sheet)(shop().shop(), shop().jobs[MAIN_JOB])


def said(cautions: Iterable[Caution]) -> str:
    return " ".join(ENGLISH.reasons(c.reason for c in cautions))


def parts() -> dict[str, CardPart]:
    return {part.card.key: part for stance in sheet().stances for part in stance.cards}


def test_every_card_of_the_job_is_somewhere_on_it() -> None:
    placed = set(parts())
    nowhere = {u.card.key for u in sheet().nowhere}
    elsewhere = {u.card.key for u in sheet().elsewhere}
    chain = {key for need in sheet().needs.answer.needs for key in need.chain if not need.dropped}
    assert placed | nowhere | elsewhere == chain
    assert placed & nowhere == set()
    assert nowhere == {"surround-view mats"}
    assert "forward camera wide board" in placed & elsewhere, "it has a static part and a drive"


def test_the_set_up_fixes_its_cards_stance_and_brings_its_reading_plan() -> None:
    part = parts()["forward camera wide board"]
    setup = shop().setups["corrow camera"]
    assert part.setup == setup.name
    assert part.answer.place == setup.place
    fresh = shop().shop()
    told = lay_targets_out(fresh, fresh.setups[setup.name])
    assert told.plan is not None
    assert [(r.number, r.reading) for r in part.readings] == [(r.number, r.reading) for r in told.plan.planned]
    assert [r.value for r in part.readings] == pytest.approx([r.value for r in told.plan.planned])
    # Taped from the floor below the board, which lies about a millimeter lower than the wheels' plane there.
    height = next(r for r in part.readings if r.reading.what == "height")
    assert height.value == pytest.approx(1.421, abs=0.001)
    assert ENGLISH.write(Length(height.value)) in next(answers(part, ENGLISH)), "and it is what the page says first"
    assert any("by the survey hall floor, winter" in note for note in ENGLISH.reasons(part.notes))


def test_a_further_set_up_of_the_same_card_is_told() -> None:
    warnings = ENGLISH.reasons(sheet().basis.warnings)
    assert any(w.startswith("the set-up corrow camera, moved is not shown here") for w in warnings)
    assert not any("should be plain" in w for w in warnings), "each stance says that itself"


def test_one_car_has_one_thrust_line_for_all_its_cards() -> None:
    """The set-up's rear toes, 0.13 and 0.05 degrees, make 0.04 to the right; the order tells 0.04, too."""
    order = angles_on_order(shop().jobs[MAIN_JOB])
    assert math.degrees(order["thrust angle"].value_rad) == pytest.approx(0.04)
    assert {round(math.degrees(part.thrust_rad), 6) for part in parts().values()} == {-0.04}
    part = parts()["front radar reflector"]
    assert part.setup == ""
    place = part.answer.place
    assert place is not None
    (reflector,) = part.targets
    x, y, _ = reflector.place.center
    aside = -(x - place.x_m) * math.sin(place.heading_rad) + (y - place.y_m) * math.cos(place.heading_rad)
    ahead = part.answer.vehicle.front_x_m + 2.3
    assert aside == pytest.approx(-ahead * math.sin(math.radians(0.04)), abs=1e-6)
    assert part.chalk
    (line,) = part.chalk
    assert line.name == "thrust line"
    assert line.heading_rad == pytest.approx(math.radians(-0.04))


def test_readings_borrowed_from_another_set_up_go_to_the_line_that_is_chalked() -> None:
    for part in parts().values():
        chalked = {line.name for line in part.chalk}
        used = {line for line in CHALKED for r in part.readings if r.reading.start == LINES[line]}
        assert used <= chalked, part.card.key


def test_each_measured_set_up_is_judged_as_it_was_typed_and_rests_on_what_it_rests_on_alone() -> None:
    measured = sheet().measured
    assert [s.name for s, _ in measured] == ["corrow camera", "corrow camera, moved"]
    for setup, answer in measured:
        fresh = shop().shop()
        alone = judge_measured(fresh, fresh.setups[setup.name])
        assert answer.setup.verdict is alone.setup.verdict
        assert answer.basis.marks == alone.basis.marks


def test_stances_fit_and_follow_the_order_of_work() -> None:
    assert all(stance.answer.fits is Fits.YES for stance in sheet().stances)
    turn = {key: need.order for need in sheet().needs.answer.needs for key in need.chain}
    first = [min(turn[part.card.key] for part in stance.cards) for stance in sheet().stances]
    assert first == sorted(first)


def test_a_caution_stands_once_where_it_belongs() -> None:
    general = said(sheet().cautions)
    assert "does not declare a vehicle safe" in general
    assert "keep a person at the brake" in general, "the car cannot be driven before the front end is on"
    for local in ("radar transmits", "pit is open", "licensed driver"):
        assert local not in general
    assert "radar transmits" in said(parts()["front radar reflector"].cautions)
    assert all("pit is open" in said(stance.cautions) for stance in sheet().stances)
    assert "licensed driver" in said(c for u in sheet().elsewhere for c in u.cautions)


def test_what_fits_nowhere_says_what_would_help() -> None:
    (mats,) = sheet().nowhere
    told = " ".join(words for answer, found in mats.misses for words in remedies_words(found, answer, ENGLISH))
    assert "take the rolling bench away" in told
    assert [one.minutes_s for one in mats.sent_out] == [(5400.0, 10800.0)]
