"""What would make room: closed forms, every remedy asked again of `place`, and moves against random ones."""

from __future__ import annotations

import math

import cases
import numpy as np
import pytest
import shapely
from attrs import evolve

from standtrue.model.basics import Outline
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Ref
from standtrue.model.site import Bay, Cover, Datum, Equipment, Gaps, Site, Void
from standtrue.model.vehicle import Vehicle
from standtrue.place.change.changes import subjects, wall_moved
from standtrue.place.change.remedies import Remedies, Remedy, changed, find_remedies
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.question.answer import Answer
from standtrue.show.words.quantities import length
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.remedies import remedies_words, remedy_words

MM = 1e-3
BODY_M, WHEEL_M = 0.05, 0.05
GAPS = Gaps(body_m=BODY_M, wheel_m=WHEEL_M, exit_m=0.0)
box = cases.box


def plain_car(length: float = 4.7, width: float = 1.8, track: float = 0.4) -> Vehicle:
    """A car without mirrors whose wheels (0.1 m wide, 0.2 m long) lie inside its body."""
    return Vehicle("car", length, width, width, 1.5, length / 2, length / 4, track, track, 0.1, 0.6, 0.15)


def shop(
    x: float, y: float, *obstacles: Obstacle, voids: tuple[Void, ...] = (), equipment: tuple[Equipment, ...] = ()
) -> Site:
    return Site("s", box(0, 0, x, y), Datum((0.0, 0.0)), GAPS, obstacles=obstacles, voids=voids, equipment=equipment)


def thing(name: str, outline: Outline, movable: bool = False) -> Obstacle:
    return Obstacle(name, outline, 0.0, 2.0, movable=movable)


def asked(site: Site, car: Vehicle | None = None) -> tuple[Answer, Remedies]:
    answer = best_stance(Grounds(site), car or plain_car(), (), "floor")
    assert answer.fits is Fits.NO
    return answer, find_remedies(answer)


def only(remedies: Remedies, name: str, action: str) -> Remedy:
    (found,) = [r for r in remedies.single if ENGLISH.write(r.thing) == name and r.action == action]
    return found


def fits(answer: Answer, site: Site) -> Fits:
    grounds = Grounds(site, answer.grounds.bay)
    return any_fit(grounds, answer.vehicle, answer.cards, answer.support)


def assert_exact(answer: Answer, remedy: Remedy, exact: float) -> None:
    """To 1 mm: it fits with the change, and 3 mm less does not (2 mm less may be too close to call)."""
    assert remedy.least_m is not None
    assert exact - 1e-9 <= remedy.least_m <= exact + 1.5 * MM
    assert remedy.exact
    assert fits(answer, changed(answer.grounds.site, remedy)) is Fits.YES
    assert fits(answer, changed(answer.grounds.site, remedy, 4 * MM)) is Fits.NO


def test_a_room_too_short_gets_longer_at_either_end() -> None:
    """The car needs 4.7 + 2 x 0.05 m; the room is 123.4 mm shorter than that, rounded up to 124 mm."""
    answer, remedies = asked(shop(4.8 - 0.1234, 3.0))
    right, left = only(remedies, "wall 2 (right)", "move"), only(remedies, "wall 4 (left)", "move")
    for wall, turn in ((right, 0.0), (left, math.pi)):
        assert wall.least_m == pytest.approx(0.124, abs=1e-9)
        assert_exact(answer, wall, 0.1234)
        assert wall.direction_rad is not None
        assert abs(wall.direction_rad) == pytest.approx(turn)
    assert remedies.single[:2] == (right, left), "the smaller amounts first"
    # Turned across, the car needs 4.8 m of the other way; aslant, somewhat less.
    front = only(remedies, "wall 1 (front)", "move")
    assert front.least_m is not None
    assert 1.6 < front.least_m < 4.8 - 3.0
    assert remedies.complete


@pytest.mark.parametrize("turn", [0.0, 0.4])
def test_a_bench_is_moved_by_what_it_stands_in_the_way(turn: float) -> None:
    """The room is 7 x 4 m, the bench from 1.7 to 2.5 m across the whole of its length but a meter.

    The car needs 1.9 m below it; the bench must move 0.2 m across. Above it 1.5 m is 0.4 m short.
    """
    site = shop(7.0, 4.0, thing("bench", box(0.5, 1.7, 6.5, 2.5), movable=True))
    by = (0.3, -0.2, turn)
    bench = evolve(site.obstacles[0], outline=cases.turned(site.obstacles[0].outline, by))
    site = evolve(site, outline=cases.turned(site.outline, by), obstacles=(bench,))
    answer, remedies = asked(site)
    move = only(remedies, "bench", "move")
    assert_exact(answer, move, 0.2)
    assert move.direction_rad is not None
    assert math.degrees(move.direction_rad - turn) == pytest.approx(90.0, abs=2.0)
    assert [r.action for r in remedies.single[:2]] == ["move", "remove"]
    assert remedies.single[0].kind == remedies.single[1].kind == "movable"


def test_a_bench_that_just_fits_between_two_walls_may_slide() -> None:
    answer, remedies = asked(shop(7.0, 4.0, thing("bench", box(0.0, 1.7, 7.0, 2.5), movable=True)))
    assert_exact(answer, only(remedies, "bench", "move"), 0.2)


def test_a_bench_is_not_moved_into_what_stands_beside_it() -> None:
    """As above, with all the floor from 0.1 m behind the bench on taken: it cannot be moved out of the way."""
    rack = thing("rack", box(0.0, 2.6, 7.0, 4.0))
    _, remedies = asked(shop(7.0, 4.0, thing("bench", box(0.5, 1.7, 6.5, 2.5), movable=True), rack))
    assert [r.action for r in remedies.single if ENGLISH.write(r.thing) == "bench"] == ["remove"]
    pit = Void("pit", box(0.0, 2.6, 7.0, 4.0))
    site = evolve(shop(7.0, 4.0, thing("bench", box(0.5, 1.7, 6.5, 2.5), movable=True)), voids=(pit,))
    _, remedies = asked(site)
    assert [r.action for r in remedies.single if ENGLISH.write(r.thing) == "bench"] == ["remove"], (
        "not over a pit either"
    )


def test_wheeled_equipment_moves_and_other_stored_equipment_is_taken_away() -> None:
    for wheeled in (True, False):
        frame = Equipment("frame", "target frame", height_m=1.8, store=box(0.5, 1.7, 6.5, 2.5), wheeled=wheeled)
        answer, remedies = asked(shop(7.0, 4.0, equipment=(frame,)))
        assert [r.action for r in remedies.single if r.thing.name == "frame"] == ["move", "remove"][not wheeled :]
        if wheeled:
            assert_exact(answer, only(remedies, "frame", "move"), 0.2)


def test_a_column_shrinks_or_goes() -> None:
    """A column from 1.7 to 2.3 m in a 4 m wide room: 0.2 m off every side leaves the car its 1.9 m."""
    answer, remedies = asked(shop(7.0, 4.0, thing("column", box(3.2, 1.7, 3.8, 2.3))))
    assert_exact(answer, only(remedies, "column", "shrink"), 0.2)
    assert only(remedies, "column", "remove").kind == "obstacle"
    assert [r.action for r in remedies.single[:2]] == ["shrink", "remove"]


def pit_shop(*covers: Cover) -> Site:
    """In a room 5 x 3 m the car stands lengthwise, within a few degrees; a pit 1.2 m wide lies all along it."""
    return shop(5.0, 3.0, voids=(Void("pit", box(0.0, 0.9, 5.0, 2.1), covers),))


def test_a_pit_under_the_wheels_is_covered_or_shrunk() -> None:
    """The body's sides keep 0.05 m from the walls, so its center is 0.95 to 2.05 m up, the wheels' 0.2 m to each side.

    With the outer wheel's patch to 0.25 m from the center, all wheels on one side of the pit need
    0.95 + 0.25 + 0.05 = 1.25 m: 0.35 m off the pit. Astride, its wheels leave it 2 x (0.15 - 0.05) = 0.2 m: 0.5 m off.
    """
    answer, remedies = asked(pit_shop())
    assert_exact(answer, only(remedies, "pit", "shrink"), 0.35)
    assert only(remedies, "pit", "cover").least_m is None
    assert [(r.kind, r.action) for r in remedies.single[:2]] == [("cover", "cover"), ("void", "shrink")]


def test_one_cover_all_covers_or_two_of_them() -> None:
    """Wheels stand on the covers: 2.35 m apart along, so one long cover may do, and two short ones may have to."""
    halves = Cover("left half", box(0.0, 0.9, 2.5, 2.1)), Cover("right half", box(2.5, 0.9, 5.0, 2.1))
    answer, remedies = asked(pit_shop(*halves))
    cover = next(r for r in remedies.single if r.action == "cover")
    assert cover.thing == Ref("covers", of="pit")
    assert fits(answer, changed(answer.grounds.site, cover)) is Fits.YES
    lid = Cover("lid", box(0.0, 0.9, 5.0, 2.1))
    _, remedies = asked(pit_shop(lid))
    assert [r.thing for r in remedies.single if r.action == "cover"] == [Ref("cover", "lid", of="pit")]
    strips = tuple(Cover(f"c{i}", box(i, 0.9, i + 1, 2.1)) for i in range(5))
    answer, remedies = asked(pit_shop(*strips))
    assert remedies.single[0].subject.kind == "covers"


def test_a_pair_where_nothing_but_walls_does_alone() -> None:
    """The pit bars the wheels and the column the body: either alone is no help."""
    site = shop(5.0, 3.0, thing("column", box(2.0, 1.7, 2.2, 2.3)), voids=(Void("pit", box(0.9, 0.2, 4.1, 2.8)),))
    answer, remedies = asked(site)
    assert {r.kind for r in remedies.single} <= {"wall"}
    (pair, *_) = remedies.pairs
    assert [(r.thing, r.action) for r in pair] == [(Ref("void", "pit"), "cover"), (Ref("obstacle", "column"), "shrink")]
    both = changed(changed(site, pair[0]), pair[1])
    assert fits(answer, both) is Fits.YES
    assert fits(answer, changed(site, pair[0])) is not Fits.YES
    assert fits(answer, changed(site, pair[1])) is not Fits.YES
    less = changed(changed(site, pair[0]), pair[1], 4 * MM)
    assert fits(answer, less) is not Fits.YES


def test_what_no_change_of_the_room_mends() -> None:
    site = evolve(shop(9.0, 5.0), clear_height_m=1.2)
    answer, remedies = asked(site)
    assert remedies.hopeless == answer.because
    assert "No change" in remedies_words(remedies, answer, ENGLISH)[0]
    assert find_remedies(best_stance(Grounds(shop(9.0, 5.0)), plain_car(), (), "floor")) == Remedies()


def test_walls_keep_the_corners_of_their_neighbors() -> None:
    ell = ((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (2.0, 1.0), (2.0, 3.0), (0.0, 3.0))
    site = evolve(shop(1.0, 1.0), outline=ell)
    walls = {s.thing.number: s for s in subjects(site) if s.kind == "wall"}
    grown = wall_moved(site, walls[4], 0.5)
    assert grown is not None
    assert grown.outline == ((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (2.5, 1.0), (2.5, 3.0), (0.0, 3.0))
    over = wall_moved(site, walls[4], 2.5)
    assert over is not None, "past its neighbor's other end, which then faces the other way"
    assert over.outline == ((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (4.5, 1.0), (4.5, 3.0), (0.0, 3.0))
    bent = evolve(site, outline=((0.0, 0.0), (2.0, 0.0), (4.0, 0.05), (4.0, 3.0), (0.0, 3.0)))
    front = next(s for s in subjects(bent) if s.thing.number == 1)
    stepped = wall_moved(bent, front, 0.5)
    assert stepped is not None, "where the next wall runs on nearly in the same line there is a step"
    assert stepped.outline[:3] == ((0.0, -0.5), (2.0, -0.5), (2.0, 0.0))
    slanted = evolve(site, outline=((0.0, 0.0), (4.0, 0.0), (3.0, 3.0), (0.0, 3.0)))
    back = next(s for s in subjects(slanted) if s.thing == Ref("wall", number=3, state="back"))
    taller = wall_moved(slanted, back, 3.0)
    assert taller is not None
    assert taller.outline[2] == pytest.approx((2.0, 6.0))
    assert wall_moved(slanted, back, 9.5) is None, "past the point where its neighbors meet"


def test_remedies_stay_in_the_bay() -> None:
    """A bay too short can be mended by no wall, nor by what stands elsewhere."""
    bay = Bay("bay", box(1.0, 1.0, 5.0, 4.0))
    site = evolve(shop(9.0, 6.0, thing("bench", box(7.0, 1.0, 8.0, 2.0), movable=True)), bays=(bay,))
    answer = best_stance(Grounds(site, bay), plain_car(), (), "floor")
    assert answer.fits is Fits.NO
    assert find_remedies(answer) == Remedies()


def test_words() -> None:
    answer, remedies = asked(shop(7.0, 4.0, thing("bench", box(0.5, 1.7, 6.5, 2.5), movable=True)))
    lines = remedies_words(remedies, answer, ENGLISH)
    assert lines[0] in (
        "To make it fit: move the bench 200 mm toward the back.",
        "To make it fit: move the bench 201 mm toward the back.",
    )
    assert lines[1] == "To make it fit: take the bench away."
    assert remedy_words(remedies.single[2], ENGLISH).startswith("move wall ")
    assert length(0.1, "us", "up") == "3 15/16 in", "100 mm is 3.937 in"
    assert length(0.101, "us", "up") == "4 in"
    assert length(0.2, "metric", "up") == "200 mm"


def is_open(site: Site, name: str) -> bool:
    """Whether a thing stands on the floor and clear of all others (by shapely)."""
    one = next(o for o in site.obstacles if o.name == name)
    shape = shapely.Polygon(one.outline).buffer(-2e-6)
    barred = [shapely.Polygon(h) for h in site.holes]
    barred += [shapely.Polygon(v.outline) for v in site.voids if one.bottom_m <= 0.0]
    barred += [
        shapely.Polygon(o.outline)
        for o in site.obstacles
        if o.name != name and min(o.top_m, one.top_m) > max(o.bottom_m, one.bottom_m) + 1e-9
    ]
    return bool(shapely.Polygon(site.outline).contains(shape)) and not any(b.intersects(shape) for b in barred)


def movable(site: Site) -> Site:
    return evolve(site, obstacles=tuple(evolve(o, movable=i % 2 == 0) for i, o in enumerate(site.obstacles)))


@pytest.mark.parametrize("block", range(6))
def test_every_remedy_is_just_enough_in_random_cases(block: int) -> None:
    seen = 0
    for seed in range(60_000 + block * 30, 60_030 + block * 30):
        case = cases.make(seed)
        site = movable(case.site)
        answer = best_stance(Grounds(site), case.vehicle, case.cards, case.support)
        if answer.fits is not Fits.NO:
            continue
        seen += 1
        remedies = find_remedies(answer)
        for remedy in remedies.single:
            assert fits(answer, changed(site, remedy)) is Fits.YES, (seed, remedy)
            if remedy.least_m is None or remedy.least_m < 1.5 * MM:
                continue
            less = changed(site, remedy, MM)
            if remedy.kind != "movable" or (is_open(less, remedy.thing.name) and not site.lifts):
                assert fits(answer, less) is not Fits.YES, (seed, remedy)
            if remedy.kind == "movable" and not site.lifts:
                assert is_open(changed(site, remedy), remedy.thing.name), (seed, remedy)
        for one, other in remedies.pairs:
            assert fits(answer, changed(changed(site, one), other)) is Fits.YES, (seed, one, other)
            assert fits(answer, changed(site, one)) is not Fits.YES
            assert fits(answer, changed(site, other)) is not Fits.YES
    assert seen >= 4


ROOM = ((0.0, 0.0), (6.4, 0.5), (6.0, 3.6), (1.0, 4.2), (-0.3, 2.0))
CART = ((2.4, 1.5), (3.3, 1.2), (3.7, 1.9), (2.9, 2.4))


@pytest.mark.parametrize("width", [1.65, 1.7])
def test_no_other_move_is_shorter(width: float) -> None:
    """Random translations at least 2 mm shorter than the least, in every direction: none fits."""
    site = evolve(shop(1.0, 1.0, thing("cart", CART, movable=True)), outline=ROOM)
    answer, remedies = asked(site, plain_car(4.4, width))
    move = only(remedies, "cart", "move")
    assert move.exact
    assert move.least_m is not None
    rng = np.random.default_rng(5)
    tried = 0
    for part, turn in zip(np.sqrt(rng.random(300)), rng.uniform(-math.pi, math.pi, 300), strict=True):
        by = evolve(move, least_m=(move.least_m - 2 * MM) * part, direction_rad=turn)
        there = changed(site, by)
        if is_open(there, "cart"):
            tried += 1
            assert fits(answer, there) is not Fits.YES, by
    assert tried > 100
