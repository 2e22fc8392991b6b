"""Most forward-camera work can be done on a flush lift where about 10 ft are free in front of the car.

Common practice, no source; the bay's sizes are published (see the documents). Cars: the open Cars93 set, by row number.
"""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import pytest
from facts_shop import PLACES, fits_ahead, greatest_mm, grounds, open_cars, single_bay, straight_mm
from single_bay_numbers import FIGURE, PAGE, TEN_FEET_MM, figure, reaching, read_numbers, with_table

CARS = open_cars()
SOME = sorted(CARS)[::4]
NUMBERS = read_numbers()


def test_the_numbers_cover_every_car_and_place() -> None:
    assert len(CARS) == 93
    assert {place: sorted(distances) for place, distances in NUMBERS.items()} == dict.fromkeys(PLACES, sorted(CARS))


@pytest.mark.parametrize("place", PLACES)
def test_each_number_is_the_greatest_distance(place: str) -> None:
    """A target fits at the committed distance and not 1 mm farther; in CI for every fourth car."""
    bay = single_bay(place)
    for row in SOME:
        distance = NUMBERS[place][row]
        assert fits_ahead(bay, CARS[row], distance), row
        assert not fits_ahead(bay, CARS[row], distance + 1), row


@pytest.mark.parametrize("place", PLACES)
def test_the_closed_form_for_a_straight_car_agrees(place: str) -> None:
    """No car gains by standing askew. Whole millimetres downward; what just touches fits."""
    bay = single_bay(place)
    for row, car in CARS.items():
        assert -0.001 <= straight_mm(bay, car) - NUMBERS[place][row] <= 1.0, row


@pytest.mark.long
@pytest.mark.parametrize("place", PLACES)
def test_bisection_finds_every_number_again(place: str) -> None:
    bay = single_bay(place)
    assert {row: greatest_mm(bay, car) for row, car in CARS.items()} == NUMBERS[place]


def test_what_the_numbers_say() -> None:
    """With the lift toward the door 10 ft of target distance are there for nearly all, centered for nearly none."""
    assert reaching(NUMBERS["toward the door"], TEN_FEET_MM) == 91
    assert reaching(NUMBERS["centered"], TEN_FEET_MM) == 2
    assert reaching(NUMBERS["toward the rear wall"], TEN_FEET_MM) == 0
    free_floor = {row: distance + 600 for row, distance in NUMBERS["centered"].items()}
    assert reaching(free_floor, TEN_FEET_MM) == 49


def test_in_the_drive_through_bay_every_target_up_to_4_metres_fits() -> None:
    bay = grounds("drive-through bay, lift centered")
    longest = max(CARS.values(), key=lambda car: car.length_m)
    for car in (longest, *(CARS[row] for row in SOME)):
        assert fits_ahead(bay, car, 4000)


def test_the_figure_and_the_table_are_current() -> None:
    """Else run `python tests/facts/single_bay_numbers.py`."""
    assert FIGURE.read_text(encoding="utf-8") == figure(NUMBERS)
    page = PAGE.read_text(encoding="utf-8")
    assert page == with_table(page, NUMBERS)


def test_the_figure_speaks() -> None:
    """It is well-formed and carries a title and a description for those who do not see it."""
    root = ElementTree.parse(FIGURE).getroot()
    space = {"s": "http://www.w3.org/2000/svg"}
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "title desc"
    for part in ("title", "desc"):
        found = root.find(f"s:{part}", space)
        assert found is not None
        assert found.get("id") == part
        assert found.text
