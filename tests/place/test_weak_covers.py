"""A stance on covers: wheels keep off those that do not carry them, and what cannot be told is said."""

from __future__ import annotations

from itertools import pairwise

import shapely
from attrs import evolve

from rooms import CAR, SAME_M, box, card, room
from standtrue.model.anchors import in_frame
from standtrue.model.cover_loads import closed_covers, overload
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.site import Cover, Site, Void
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.many.many import AnyFits
from standtrue.place.margin.ways import Question
from standtrue.place.question.answer import Answer
from standtrue.work.place.covers import cover_notes

HEAVY = evolve(CAR, mass_kg=1600.0, front_axle_share=0.6)
LEFT = box(0.0, 0.0, 4.0, 3.0)
"""A cover over half of a room: at heading 0 or 180 the car stands on it with all wheels, or those of one axle."""


def covered(load_kg: float | None, long_m: float = 8.0) -> Site:
    pit = Void("pit", LEFT, (Cover("plate", LEFT, load_kg),), ("plate",))
    return evolve(room(long_m, 3.0), voids=(pit,))


def on_cover(answer: Answer, car: Vehicle) -> list[str]:
    """The wheels whose patches reach over the cover, by general geometry."""
    assert answer.place is not None
    at = (answer.place.x_m, answer.place.y_m), answer.place.heading_rad
    plate = shapely.Polygon(LEFT).buffer(-1e-6)
    return [name for name, patch in car.wheel_patches if shapely.Polygon(in_frame(at, patch)).intersects(plate)]


def best(load_kg: float | None, car: Vehicle = HEAVY, long_m: float = 8.0) -> Answer:
    return best_stance(Grounds(covered(load_kg, long_m)), car, [card()], "floor")


def test_the_stance_keeps_each_cover_within_what_it_carries() -> None:
    margins = []
    for load in (100.0, 400.0, 700.0, 1700.0):
        answer = best(load)
        assert answer.fits is Fits.YES
        (at,) = closed_covers(answer.ground.site)
        assert overload(HEAVY, at, on_cover(answer, HEAVY)) is None
        margins.append(answer.margin_m or 0.0)
    assert all(more >= less - SAME_M for less, more in pairwise(margins))
    free = best_stance(Grounds(evolve(covered(None), voids=())), HEAVY, [card()], "floor")
    assert abs((free.margin_m or 0.0) - margins[-1]) <= 2 * SAME_M


def test_where_only_the_cover_is_left_the_car_does_not_fit() -> None:
    # Four wheels on 2.55 m of floor: a room of 5.5 m leaves 1.5 m beside the cover.
    for load, fits in ((100.0, Fits.NO), (700.0, Fits.YES), (1700.0, Fits.YES)):
        assert best(load, long_m=5.5).fits is fits
        assert any_fit(Grounds(covered(load, 5.5)), HEAVY, [card()], "floor") is fits
        many = AnyFits()
        many.ask(Question(Grounds(covered(load, 5.5)), HEAVY, (card(),), "floor"))
        assert many.answers() == [fits]


def test_what_is_not_known_is_said_and_what_is_kept_off_is_said() -> None:
    for load, car, codes in (
        (None, HEAVY, ["cover-load-unknown"]),
        (1000.0, CAR, ["cover-mass-unknown"]),
        (1000.0, evolve(HEAVY, front_axle_share=None), ["cover-share-unknown"]),
        (100.0, HEAVY, ["cover-kept-off"]),
        (1700.0, HEAVY, []),
    ):
        answer = best(load, car, 5.5 if load != 100.0 else 8.0)
        assert [note.code for note in cover_notes(answer.ground.site, car, [answer])] == codes
