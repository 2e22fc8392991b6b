"""The fewest shared places: against brute force over an independent oracle, laws, and rooms known in closed form."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import oracle
import pytest
from attrs import evolve, frozen
from cases import box
from numpy.typing import NDArray

from standtrue.model.basics import SUPPORT_CLASSES, Layer, Outline, SupportClass
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import Procedure, Source, Variant, Zone
from standtrue.model.site import Datum, Door, Equipment, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.many.shared import Shared, Use, shared_places

Array = NDArray[np.float64]

CASES, CHUNK = 300, 25
STANCES, CLIMBERS, CLIMBS = 200, 5, 6
SAME_M = 1e-6

CAR = Vehicle("car", 4.5, 1.8, 2.0, 1.5, 2.7, 0.9, 1.5, 1.5, 0.2, 0.65, 0.15)
FLUSH_TRACKS = (box(0.0, 0.4, 4.5, 1.05), box(0.0, -1.05, 4.5, -0.4))


def card(
    name: str, outline: Outline, supports: Sequence[SupportClass] = ("floor",), needs: Layer = "stand"
) -> Procedure:
    """A card of one zone, measured from the rear axle."""
    zone = Zone("zone", needs, "rear axle", outline, 0.0, 1.0)
    return Procedure(name, "forward camera", "static", Source("invented"), supports=tuple(supports), zones=(zone,))


def room(length: float, width: float) -> Site:
    return Site("room", box(0.0, 0.0, length, width), Datum((0.0, 0.0)))


def flush_lift(x: float, y: float) -> PlacedLift:
    """Decks that lie flush with the floor, with a slot of 20 mm about them, and rise to 1.8 m."""
    voids = tuple(box(a - 0.02, b - 0.02, c + 0.02, d + 0.02) for (a, b), _, (c, d), _ in FLUSH_TRACKS)
    down = LiftState("down", (0.0, 0.0), FLUSH_TRACKS, 0.15, voids, drive_on=True)
    up = LiftState("up", (0.3, 1.8), FLUSH_TRACKS, 0.15, voids)
    return PlacedLift("lift", (x, y), 0.0, Lift("flush", (down, up)))


def shared(site: Site, cards: Sequence[Procedure], car: Vehicle = CAR) -> Shared:
    return shared_places(Grounds(site), car, cards, SUPPORT_CLASSES)


def random_case(seed: int) -> tuple[Site, Vehicle, tuple[Procedure, ...]]:
    """A small room about as large as its cards want, often with a flush lift, sometimes with a door to open."""
    rng = np.random.default_rng([11, seed])
    width, length = rng.uniform(3.8, 6.5), rng.uniform(6.0, 9.5)
    site = room(length, width)
    if rng.random() < 0.6:
        site = evolve(site, lifts=(flush_lift(rng.uniform(0.5, 2.5), width / 2 + rng.uniform(-0.3, 0.3)),))
    obstacles = []
    for i in range(int(rng.integers(0, 3))):
        x, y, w = rng.uniform(0.0, length), rng.choice([0.0, width - 0.4]), rng.uniform(0.2, 0.6)
        obstacles.append(Obstacle(f"o{i}", box(x, y, x + w, y + 0.4), 0.0, float(rng.choice([0.5, 2.5]))))
    site = evolve(site, obstacles=tuple(obstacles))
    if rng.random() < 0.2:
        apron = box(length, 0.4, length + rng.uniform(0.5, 3.0), width - 0.4)
        door = Door("door", (length, 0.4), (length, width - 0.4), 2.4, may_stand_open=True, apron=apron)
        site = evolve(site, doors=(door,))
    cards = tuple(_random_card(rng, i) for i in range(int(rng.integers(2, 5))))
    return site, evolve(CAR, length_m=CAR.length_m + rng.uniform(-0.4, 0.4)), cards


def _random_card(rng: np.random.Generator, number: int) -> Procedure:
    """Room beside, ahead of or behind the car."""
    long, wide = rng.uniform(0.4, 1.5, 2)
    away = rng.uniform(0.3, 2.0)
    x, y = [(3.6 + away, -wide / 2), (-0.9 - away - long, -wide / 2), (rng.uniform(-1, 3), 0.9 + away)][
        int(rng.integers(3))
    ]
    if y > 0 and rng.random() < 0.5:
        y = -y - wide
    needs: Layer = ("stand", "clear", "metal-free")[int(rng.integers(3))]
    picked = [s for s in SUPPORT_CLASSES if rng.random() < 0.5] or ["floor"]
    return card(f"card {number}", box(x, y, x + long, y + wide), picked, needs)


@frozen(eq=False)
class Judge:
    """The oracle's word on every card of one case: the best margin of any way at a stance."""

    ways: tuple[tuple[int, SupportClass, oracle.Way], ...]
    count: int

    def margins(self, stances: Array) -> Array:
        """Rows are stances, columns cards."""
        best, separate = np.full((len(stances), self.count), -np.inf), oracle.remembering()
        for number, _, way in self.ways:
            best[:, number] = np.maximum(best[:, number], oracle.margins(way, stances, separate=separate)[0])
        return best

    def use(self, number: int, use: Use, stance: oracle.Stance) -> float:
        way = next(
            w
            for n, support, w in self.ways
            if (n, support, w.carried_by, w.doors) == (number, use.support, use.carried_by, use.doors_open)
            and abs(w.height_m - use.height_m) < SAME_M
        )
        return float(oracle.margins(way, np.array([stance]))[0][0])


def judge(site: Site, car: Vehicle, cards: Sequence[Procedure]) -> Judge:
    doors: list[tuple[str, ...]] = [(), *((d.name,) for d in site.doors)]
    found = [
        (n, support, way)
        for n, c in enumerate(cards)
        for support in c.supports
        for opened in doors
        for way in oracle.ways(site, car, [c], support, doors=opened)
    ]
    return Judge(tuple(found), len(cards))


def partitions(items: Sequence[int]) -> Iterator[list[list[int]]]:
    """Every way to deal items into groups."""
    if not items:
        yield []
        return
    for rest in partitions(items[1:]):
        yield [[items[0]], *rest]
        for i, group in enumerate(rest):
            yield [*rest[:i], [items[0], *group], *rest[i + 1 :]]


def attacked(judge: Judge, site: Site, known: Sequence[oracle.Stance], seed: int) -> tuple[Array, int]:
    """The oracle's try to do with fewer places than the known ones.

    Margins at many stances, climbing for the groups that would do with fewer; and the fewest places that these
    stances prove enough for all cards that fit at any of them.
    """
    rng = np.random.default_rng([12, seed])
    wanted = len(known)
    x1, y1 = site.outline[2]
    stances = rng.uniform((0.0, 0.0, -np.pi), (x1, y1, np.pi), (STANCES, 3))
    straight = rng.random(STANCES) < 0.6
    stances[straight, 2] = rng.choice([0.0, np.pi], int(straight.sum())) + rng.normal(0, 0.04, int(straight.sum()))
    stances = np.vstack([np.reshape(np.array(known), (-1, 3)), stances])
    margins = judge.margins(stances)
    everyone = list(range(judge.count))
    targets = {tuple(g) for p in partitions(everyone) if len(p) < wanted for g in p if len(g) > 1}
    for group in sorted(targets, key=lambda g: -float(margins[:, g].min(axis=1).max()))[:3]:
        scores = margins[:, group].min(axis=1)
        top = np.argsort(-scores)[:CLIMBERS]
        at, score = stances[top], scores[top]
        for step in range(CLIMBS):
            spread = 0.3 * 0.6**step * np.array([1.0, 1.0, 0.4])
            tries = np.repeat(at, 4, axis=0) + rng.normal(size=(4 * len(at), 3)) * spread
            found = judge.margins(tries)
            stances, margins = np.vstack([stances, tries]), np.vstack([margins, found])
            grouped = found[:, group].min(axis=1).reshape(-1, 4)
            pick = grouped.argmax(axis=1)
            better = grouped.max(axis=1) > score
            at = np.where(better[:, None], tries.reshape(-1, 4, 3)[np.arange(len(at)), pick], at)
            score = np.where(better, grouped.max(axis=1), score)
    fitting = [i for i in everyone if margins[:, i].max() >= -SAME_M]
    enough = [p for p in partitions(fitting) if all(margins[:, g].min(axis=1).max() >= -SAME_M for g in p)]
    return margins, min(len(p) for p in enough)


def wrong(seed: int) -> Iterator[str]:
    """Everything that the oracle holds against the shared places of one case."""
    site, car, cards = random_case(seed)
    found, other = shared(site, cards, car), judge(site, car, cards)
    told = sorted(c.name for c in (*found.unserved, *(u.card for p in found.places for u in p.uses)))
    if told != sorted(c.name for c in cards):
        yield f"{seed}: told of {told}"
    for place in found.places:
        at = (place.place.x_m, place.place.y_m, place.place.heading_rad)
        for use in place.uses:
            margin = other.use(cards.index(use.card), use, at)
            if margin < -SAME_M or abs(margin - use.margin_m) > SAME_M:
                yield f"{seed}: {use.card.name} on {use.carried_by}: {margin} by the oracle, {use.margin_m} told"
        if place.margin_m != min(u.margin_m for u in place.uses):
            yield f"{seed}: the margin is not the smallest"
    places = [(p.place.x_m, p.place.y_m, p.place.heading_rad) for p in found.places]
    margins, enough = attacked(other, site, places, seed)
    yield from (
        f"{seed}: {c.name} fits" for c in found.unserved if found.proven and margins[:, cards.index(c)].max() > SAME_M
    )
    if found.proven and enough < len(found.places):
        yield f"{seed}: {len(found.places)} places, but {enough} are enough"


@pytest.mark.parametrize("first", range(0, CASES, CHUNK))
def test_brute_force_over_the_oracle_finds_no_fewer_places(first: int) -> None:
    """Every use fits by the oracle, and no partition does with fewer places at any stance that it tried."""
    assert [w for seed in range(first, first + CHUNK) for w in wrong(seed)] == []


def test_a_proof_is_the_rule() -> None:
    """Undecided searches are rare: of 100 random cases at most one is left unproven."""
    unproven = 0
    for seed in range(1000, 1100):
        site, car, cards = random_case(seed)
        unproven += not shared(site, cards, car).proven
    assert unproven <= 1


def zones_beside(left: float, right: float) -> tuple[Procedure, Procedure]:
    """A card that wants `left` metres free on the car's left side, and one that wants `right` metres on its right."""
    return card("left", box(0.0, 0.9, 2.0, 0.9 + left)), card("right", box(0.0, -0.9 - right, 2.0, -0.9))


@pytest.mark.parametrize(("width", "places"), [(5.76, 2), (5.79, 2), (5.81, 1), (6.5, 1)])
def test_two_sides_fit_one_place_when_the_room_is_as_wide_as_both(width: float, places: int) -> None:
    """Closed form: 1.8 m of body and 2.0 m on each side are 5.8 m.

    The zones, 5.8 m by 2 m in all, are 5.8 cos a + 2 sin a wide at an angle a: more than 5.8 m up to 38 degrees.
    Beyond, they are 5.8 sin a + 2 cos a long: more than 5.1 m, and the room is 5.0 m long.
    """
    found = shared(room(5.0, width), zones_beside(2.0, 2.0))
    assert len(found.places) == places
    assert found.proven
    assert not found.unserved


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_cards_that_want_all_the_room_on_one_side_each_want_a_place(count: int) -> None:
    """Closed form: cards of one side share a place; both sides, 5.0 m by 2 m, are wider than 4.9 m at every heading
    until 5.0 cos a + 2 sin a falls below it, at 46 degrees, and then as long as that on the other axis."""
    left, right = zones_beside(1.6, 1.6)
    cards = [evolve((left, right)[i % 2], name=f"card {i}") for i in range(count)]
    found = shared(room(4.9, 4.9), cards)
    assert len(found.places) == min(count, 2)
    assert found.proven


def everything(found: Shared) -> list[tuple[str, str, float]]:
    return sorted((u.card.name, u.carried_by, u.height_m) for p in found.places for u in p.uses)


def test_a_flush_lift_serves_floor_lift_down_and_lift_up_from_one_place() -> None:
    """Wheels on decks at height 0 stand on floor; raising the car does not change its place."""
    ahead = box(3.8, -0.5, 4.4, 0.5)
    cards = [card("a", ahead), card("b", ahead, ["lift down"]), card("c", ahead, ["lift up"])]
    site = evolve(room(9.0, 5.0), lifts=(flush_lift(1.5, 2.5),))
    found = shared(site, cards)
    assert len(found.places) == 1
    assert found.proven
    assert everything(found) == [("a", "floor", 0.0), ("b", "lift/down", 0.0), ("c", "lift/up", 0.3)]


def test_two_lifts_apart_are_two_places() -> None:
    """The decks do not overlap, so no car stands on both."""
    first, second = flush_lift(1.5, 2.5), evolve(flush_lift(1.5, 7.5), name="other")
    second = evolve(second, lift=evolve(second.lift, wheelbase_m=(2.0, 3.0)))
    low = evolve(card("low", box(0.0, 1.2, 1.0, 1.5), ["lift up"]), lift_height_m=(0.3, 0.5))
    high = evolve(low, name="high", lift_height_m=(1.9, 2.0))
    state = evolve(second.lift.states[1], deck_height_m=(1.9, 2.0))
    second = evolve(second, lift=evolve(second.lift, states=(second.lift.states[0], state)))
    found = shared(evolve(room(9.0, 10.0), lifts=(first, second)), [low, high])
    assert [p.uses[0].carried_by for p in found.places] == ["lift/up", "other/up"]
    assert found.proven


def test_a_door_is_opened_only_for_the_card_that_wants_it() -> None:
    """Each use has its own doors; fewer places come before fewer doors, and fewer doors before more room."""
    apron = box(6.0, 0.5, 12.0, 4.5)
    door = Door("door", (6.0, 0.5), (6.0, 4.5), 2.5, may_stand_open=True, apron=apron)
    site = evolve(room(6.0, 5.0), doors=(door,))
    near, far = card("near", box(3.6, -0.5, 4.0, 0.5)), card("far", box(5.6, -0.5, 6.2, 0.5))
    found = shared(site, [near, far])
    assert len(found.places) == 1
    assert {u.card.name: u.doors_open for u in found.places[0].uses} == {"near": (), "far": ("door",)}


def test_a_card_that_fits_nowhere_is_unserved() -> None:
    far = card("far", box(20.0, 0.0, 21.0, 1.0))
    found = shared(room(9.0, 5.0), [far, card("near", box(3.8, -0.5, 4.4, 0.5))])
    assert found.unserved == (far,)
    assert len(found.places) == 1
    assert found.proven
    assert shared(room(9.0, 5.0), []) == Shared((), True, ())


def test_a_variant_joins_another_card() -> None:
    """The card's own zone wants the left side, its variant the right side, as the other card does."""
    left, right = zones_beside(1.6, 1.6)
    either = evolve(left, name="either", variants=(Variant("mirrored", zones=right.zones),))
    found = shared(room(4.9, 4.9), [right, either])
    (place,) = found.places
    assert [u.variant for u in place.uses] == [None, "mirrored"]


def test_the_driver_may_get_out_on_one_side_for_one_use_and_on_the_other_for_another() -> None:
    """Closed form: between carts along both walls 2.54 m are free; mirror, gap, body and exit want 2.55 m.

    The room is 3.005 m wide. Without the left cart the car's middle may be 1.10 to 1.505 m from the right wall with
    its left door free, or from 1.55 m with its right one; without the right cart 1.50 to 1.54 m with its right door
    free, or up to 1.09 m with its left one. Only with different doors do the two meet: from 1.50 to 1.505 m.
    """
    left = Equipment("left cart", "cart", height_m=1.0, store=box(0.0, 2.59, 5.0, 3.005))
    right = Equipment("right cart", "cart", height_m=1.0, store=box(0.0, 0.0, 5.0, 0.05))
    plain = evolve(card("plain", box(0.0, -0.1, 1.0, 0.1)), zones=())
    cards = [evolve(plain, name=e.name, equipment=(e.name,)) for e in (left, right)]
    found = shared(evolve(room(5.0, 3.005), equipment=(left, right)), [*cards, plain])
    assert found.unserved == (plain,)
    assert len(found.places) == 1
    assert found.places[0].place.y_m == pytest.approx(1.5025, abs=0.0026)


def counts(seed: int) -> tuple[Site, Vehicle, tuple[Procedure, ...], Shared]:
    site, car, cards = random_case(seed)
    return site, car, cards, shared(site, cards, car)


@pytest.mark.parametrize("seed", range(2000, 2030))
def test_one_card_less_never_wants_more_places_nor_does_one_obstacle_less(seed: int) -> None:
    site, car, cards, found = counts(seed)
    for i in range(len(cards)):
        less = shared(site, (*cards[:i], *cards[i + 1 :]), car)
        assert not (less.proven and found.proven) or len(less.places) <= len(found.places)
        assert len(found.places) <= len(less.places) + 1
    for i in range(len(site.obstacles)):
        freer = evolve(site, obstacles=(*site.obstacles[:i], *site.obstacles[i + 1 :]))
        fitting = [c for c in cards if c not in found.unserved]
        less = shared(freer, fitting, car)
        assert not less.unserved
        assert not (less.proven and found.proven) or len(less.places) <= len(found.places)


@pytest.mark.parametrize("seed", range(2100, 2115))
def test_a_wide_enough_room_is_one_place(seed: int) -> None:
    site, car, cards = random_case(seed)
    wide = evolve(room(40.0, 40.0), lifts=tuple(evolve(p, at=(18.0, 20.0)) for p in site.lifts))
    found = shared(wide, cards, car)
    assert len(found.places) == (1 if len(found.unserved) < len(cards) else 0)
    assert all(set(c.supports).isdisjoint({"floor"}) and not site.lifts for c in found.unserved)


def test_the_order_of_the_cards_changes_no_count_and_the_same_question_gets_the_same_answer() -> None:
    for seed in range(2200, 2212):
        site, car, cards, found = counts(seed)
        assert len(shared(site, cards[::-1], car).places) == len(found.places)
        assert shared(site, cards, car) == found


def test_many_cards_are_served_though_the_least_is_not_proven() -> None:
    left, right = zones_beside(1.6, 1.6)
    cards = [evolve((left, right)[i % 2], name=f"card {i}") for i in range(18)]
    found = shared(room(4.9, 4.9), cards)
    assert len(found.places) == 2
    assert not found.proven
    assert sum(len(p.uses) for p in found.places) == 18
