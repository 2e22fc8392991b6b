"""Things are told apart by kind and identity: a name proves nothing."""

from __future__ import annotations

import cases
from attrs import evolve
from test_remedies import GAPS, plain_car

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Ref
from standtrue.model.site import Datum, Site, Void
from standtrue.place.change.remedies import find_remedies
from standtrue.place.engine import best_stance
from standtrue.show.words.reader import ENGLISH

BOX = cases.box(0, 0, 5.0, 3.0)
SITE = Site("s", BOX, Datum((0.0, 0.0)), GAPS, obstacles=(Obstacle("wall", cases.box(2.2, 1.4, 2.8, 1.6), 0.0, 2.0),))


def test_an_obstacle_named_wall_is_no_wall() -> None:
    answer = best_stance(Grounds(SITE), plain_car(), (), "floor")
    assert answer.fits is Fits.NO
    assert Ref("obstacle", "wall") in {t.thing for t in answer.touches}
    assert Ref("obstacle", "wall") in {r.thing for r in find_remedies(answer).single if r.action == "remove"}


def test_an_obstacle_and_a_pit_of_one_name_are_two_things() -> None:
    site = evolve(SITE, voids=(Void("wall", cases.box(0.1, 0.1, 0.4, 0.4)),))
    answer = best_stance(Grounds(site), plain_car(), (), "floor")
    removed = [r.thing for r in find_remedies(answer).single if r.kind in ("obstacle", "movable")]
    assert set(removed) == {Ref("obstacle", "wall")}


def test_every_thing_of_a_ground_has_a_reference_of_its_own_and_one_name() -> None:
    for case in map(cases.make, range(60)):
        grounds = Grounds(case.site, case.bay)
        for doors in ((), grounds.openable):
            refs = [t.ref for t in grounds.at_rest(doors).things]
            assert len(refs) == len(set(refs))
            names = [ENGLISH.write(r) for r in refs]
            assert len(names) == len(set(names))
