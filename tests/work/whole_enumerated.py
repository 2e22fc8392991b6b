"""Every order of a whole job tried, over every way to do each thing at every place: from the documents alone.

What fits where is told by the second reading of the reference (`oracle`), what stands in whose way by general geometry.
The planner lends the places to try, and what comes before what and why: that has laws of its own. Times are midpoints.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Set

import numpy as np
import oracle
import shapely
from attrs import evolve, frozen
from oracle_claims import anchor_of, card_claims, equipment_named, targets_of
from oracle_ground import moved
from shapely import Polygon
from shapely.affinity import rotate, translate
from whole_jobs import Shop, WholeJob

from standtrue.drive.question.answer import End, Mode
from standtrue.model.basics import SUPPORT_CLASSES, Place, Range
from standtrue.model.job import Work
from standtrue.model.order import Fitting
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.site import SentOut
from standtrue.needs.precedence import Why

STREET = -1
ANY_LIFT_S = 52.5
"""From end to end, where the lift does not say: 45 to 60 s."""

LIFTED_FROM_M, LIFTED_TO_M = 0.0, 1.8
NEAR_M = 1e-6


@frozen
class Thing:
    """A piece of equipment where it stands; `spots` empty: at hand, nobody says where."""

    name: str
    spots: tuple[tuple[float, float, float, float], ...]

    def is_there(self, fitting: Fitting) -> bool:
        """Whether it is this that is set up, to a millimeter, whichever way round a half turn is told."""
        told = [fitting.at[i : i + 3] for i in range(0, len(fitting.at), 4)]
        near = (math.dist(a, b[:3]) < 2e-3 for a, b in zip(told, self.spots, strict=False))
        return fitting.equipment == self.name and len(told) == len(self.spots) and all(near)


@frozen
class Way:
    """A way to do something: for how long, where the car stands for it, on what, with what set up.

    `place` None: wherever the car is. `not_with` must not stand about.
    """

    takes_s: float
    place: int | None = None
    on: str = "floor"
    height_m: float = 0.0
    uses: frozenset[Thing] = frozenset()
    not_with: frozenset[Thing] = frozenset()


@frozen
class Doing:
    """Something to be done: how, after what, which cures it waits for, what cures after it and bars what meanwhile."""

    ways: tuple[Way, ...]
    after: frozenset[str]
    cured: frozenset[str]
    wait_s: float
    bars: str | None
    driven: bool


@frozen
class Car:
    """Where the car stands, on what, with what about it, and how much longer each cure takes."""

    place: int
    on: str = "floor"
    height_m: float = 0.0
    about: frozenset[Thing] = frozenset()
    cures: tuple[tuple[str, float], ...] = ()


class WaysThere:
    """Every way to do each card and each work at each place of a shop; looked up again for the next job."""

    def __init__(self, shop: Shop, places: list[Place]) -> None:
        self.shop, self.places = shop, places
        self.known: dict[tuple[str, int], list[tuple[Way, list[Polygon]]]] = {}

    def of(self, card: Procedure) -> list[Way]:
        """What stands in the way is told against all that could stand about the car there."""
        found = []
        for number in range(len(self.places)):
            others = self._all_about(number)
            for way, rooms in self._at(card, number):
                against = {
                    t
                    for t, shapes in others.items()
                    if t.name not in {u.name for u in way.uses}
                    and (not shapes or any(_meet(a, b) for a in shapes for b in rooms))
                }
                found.append(evolve(way, not_with=frozenset(against)))
        return found

    def _all_about(self, number: int) -> dict[Thing, list[Polygon]]:
        """Each piece that any card has about the car at this place, and the room that it takes there."""
        cards = [*self.shop.cards, *map(card_of, self.shop.works)]
        about: dict[Thing, list[Polygon]] = {}
        for card in cards:
            for way, _ in self._at(card, number):
                for thing in way.uses:
                    kit = equipment_named(thing.name, self.shop.site)
                    if kit is None or kit.footprint is None:
                        continue
                    shape = Polygon(kit.footprint)
                    about[thing] = [
                        translate(rotate(shape, f, origin=(0, 0), use_radians=True), x, y) for x, y, _, f in thing.spots
                    ]
        return about

    def _at(self, card: Procedure, number: int) -> list[tuple[Way, list[Polygon]]]:
        if (card.name, number) not in self.known:
            self.known[card.name, number] = list(self._tried(card, number))
        return self.known[card.name, number]

    def _tried(self, card: Procedure, number: int) -> Iterator[tuple[Way, list[Polygon]]]:
        site, car, place = self.shop.site, self.shop.car, self.places[number]
        at = np.array([(place.x_m, place.y_m, place.heading_rad)])
        for support in SUPPORT_CLASSES:
            if support not in card.supports:
                continue
            for tried in oracle.ways(site, car, (card,), support):
                if tried.blocked or oracle.margins(tried, at)[0][0] < -NEAR_M:
                    continue
                form = next((card.as_variant(v) for v in card.variants if v.name == tried.variants[0]), card)
                takes = sum(map(middle, (form.minutes.set_up_s, form.minutes.run_s, form.minutes.put_away_s)))
                uses = frozenset(self._used(form, place, tried.height_m))
                way = Way(takes, number, tried.carried_by, tried.height_m, uses)
                yield way, [_placed(room, place) for room in self._rooms(form, tried)]

    def _used(self, form: Procedure, place: Place, height_m: float) -> Iterator[Thing]:
        spots: dict[str, list[tuple[float, float, float, float]]] = {name: [] for name in form.equipment}
        for _, frame, at, facing, kit, rise, _ in targets_of(form, self.shop.car, self.shop.site, height_m):
            if kit is not None:
                x, y = moved(moved(np.array([at[:2]]), frame), (place.x_m, place.y_m, place.heading_rad))[0]
                turned = math.remainder(place.heading_rad + frame[2] + facing, math.tau)
                spots.setdefault(kit.name, []).append(
                    (round(x, 3), round(y, 3), round(at[2] + rise, 3), round(turned, 3))
                )
        for name, stood in spots.items():
            yield Thing(name, tuple(stood))

    def _rooms(self, form: Procedure, tried: oracle.Way) -> Iterator[Polygon]:
        """What the stance claims up to where equipment reaches, with the gaps: the car, people, zones, equipment."""
        car, gap = self.shop.car, self.shop.site.gaps
        for claim in tried.claims:
            if claim.role in ("body", "person") and claim.bottom_m < 1.8 - NEAR_M:
                yield Polygon(claim.outline).buffer(
                    gap.person_m if claim.role == "person" else gap.body_m, join_style="mitre"
                )
            elif claim.role == "wheel":
                yield Polygon(claim.outline)
        for claim in card_claims(form, car, self.shop.site, tried.height_m):
            if claim.bottom_m < 1.8 - NEAR_M:
                yield Polygon(claim.outline).buffer(gap.zone_m, join_style="mitre")
        for zone in form.zones:
            if zone.needs == "plain" and _low(zone, tried.height_m):
                outline = moved(np.array(zone.outline), anchor_of(zone.anchor, zone.turned, car, form))
                yield Polygon(outline).buffer(gap.zone_m, join_style="mitre")


def _low(zone: Zone, height_m: float) -> bool:
    return zone.bottom_m + (0.0 if zone.from_floor else height_m) < 1.8 - NEAR_M


def _placed(room: Polygon, place: Place) -> Polygon:
    return translate(rotate(room, place.heading_rad, origin=(0, 0), use_radians=True), place.x_m, place.y_m)


def _meet(one: Polygon, other: Polygon) -> bool:
    return bool(shapely.intersects(one.buffer(-NEAR_M), other))


def middle(span: Range) -> float:
    return (span[0] + span[1]) / 2


def card_of(work: Work) -> Procedure:
    """A work's own room, asked for as a card asks."""
    return Procedure(
        work.name, "", "static", Source("the job"), supports=work.supports, zones=work.zones, equipment=work.equipment
    )


@frozen(eq=False)
class Enumerated:
    """The front of a job, seconds and moves, and the names of what cannot be done."""

    front: list[tuple[float, int]]
    undone: set[str]
    ways: Mapping[str, list[Way]]

    def has(self, name: str, place: int, takes_s: float, up: Set[Fitting]) -> bool:
        """Whether something can be done so, with just these pieces about the car."""
        return any(
            way.place in (None, place)
            and way.takes_s == takes_s
            and all(any(thing.is_there(f) for f in up) for thing in way.uses)
            and not any(thing.is_there(f) for thing in way.not_with for f in up)
            for way in self.ways[name]
        )


def enumerated(job: WholeJob, there: WaysThere) -> Enumerated:
    """Every order tried."""
    ways, drives = ways_of(job, there)
    sent = {n for n, own in ways.items() if not own and job.sends and _offer(job, n) is not None and _gets_away(job, n)}
    for name in sent:
        offer = _offer(job, name)
        assert offer is not None
        ways[name] = [Way(middle(offer.minutes_s) + middle(offer.transport_s or (0.0, 0.0)), STREET)]
    firsts = _firsts(job, sent)
    undone = _undone(job, ways, {name: {f for f, (holds, _) in own.items() if holds} for name, own in firsts.items()})
    doings = dict(_doings(job, {n: w for n, w in ways.items() if n not in undone}, firsts, sent))
    return Enumerated(Trying(job, there, doings, drives=drives).front(), undone, ways)


def ways_of(job: WholeJob, there: WaysThere) -> tuple[dict[str, list[Way]], bool]:
    """How each thing can be done here, and whether the car drives or comes to drive."""
    site, told = job.shop.site, job.question.needs.job
    cards = {card.name: card for card in job.question.needs.cards}
    works = {work.name: work for work in job.works}
    ways: dict[str, list[Way]] = {}
    for name in (draft.name for draft in job.question.drafts):
        if name in works:
            owned = all(equipment_named(e, site) is not None for e in works[name].equipment)
            here = there.of(card_of(works[name])) if owned else []
            ways[name] = [evolve(way, takes_s=middle(works[name].minutes_s)) for way in here]
        elif name not in cards:
            ways[name] = [Way(450.0)]  # A scan takes 5 to 10 minutes, wherever the car is.
        elif cards[name].method == "electronic":
            ways[name] = [Way(middle(cards[name].minutes.run_s))]
        else:
            ways[name] = there.of(cards[name]) if cards[name].method == "static" else []
    drives = told.drivable == "yes" or bool(ways.get(told.drivable))
    for name, card in cards.items():
        if card.method == "drive" and drives:
            ways[name] = [Way(middle(card.minutes.run_s), STREET)]
    return ways, drives


def _offer(job: WholeJob, name: str) -> SentOut | None:
    """Who else does it, if the car gets there: it is fetched, or drives, unless this is what mends it."""
    stages = {work.name: work.stage for work in job.works}
    for offer in job.shop.site.sent_out:
        does = name in offer.procedures or stages.get(name) in offer.work
        if does and (offer.transport_s is not None or job.question.needs.job.drivable not in ("no", name)):
            return offer
    return None


def _gets_away(job: WholeJob, name: str) -> bool:
    """Whether the car is fetched, or does not have to wait for this itself until it can be driven."""
    offer, firsts = _offer(job, name), _firsts(job, set())
    waits = {job.question.needs.job.drivable} & set(firsts)
    for _ in firsts:
        waits = waits.union(*(firsts[first] for first in waits))
    return name not in waits or (offer is not None and offer.transport_s is not None)


def _firsts(job: WholeJob, sent: set[str]) -> dict[str, dict[str, tuple[bool, Why]]]:
    """What comes before each thing: whether it cannot be done without, and why. A car drives away once it is mended."""
    drafts, mends = job.question.drafts, job.question.needs.job.drivable
    firsts = {d.name: {drafts[b.task].name: (b.holds, b.why) for b in d.befores} for d in drafts}
    for name in sent:
        offer = _offer(job, name)
        if mends in firsts and offer is not None and offer.transport_s is None:
            firsts[name].setdefault(mends, (True, "job"))
    return firsts


def _undone(job: WholeJob, ways: Mapping[str, list[Way]], holding: Mapping[str, set[str]]) -> set[str]:
    """What has no way, and all that cannot be done without it; and the scan after nothing."""

    def with_all_held(out: set[str]) -> set[str]:
        while more := {name for name, firsts in holding.items() if name not in out and firsts & out}:
            out = out | more
        return out

    out = with_all_held({name for name, own in ways.items() if not own})
    counts = {d.name for d in job.question.drafts if d.kind not in ("scan", "confirm") and d.stage != "hand-over"}
    return out if counts - out else with_all_held(out | {"post-scan"})


def _doings(
    job: WholeJob, ways: Mapping[str, list[Way]], firsts: Mapping[str, Mapping[str, tuple[bool, Why]]], sent: set[str]
) -> Iterator[tuple[str, Doing]]:
    """Calibrations, and what is sent out, wait for every cure before them, other things for what they name."""
    works = {work.name: work for work in job.works}
    cards = {card.name: card for card in job.question.needs.cards}
    for name, own in ways.items():
        before = {first: why for first, (_, why) in firsts[name].items() if first in ways}
        aims = name in cards or name in sent
        cured = {n for n, why in before.items() if n in works and (aims or why in ("card", "rule", "job"))}
        work = works.get(name)
        drive = name in cards and cards[name].method == "drive" and name not in sent
        wait, bars = (0.0, None) if work is None else (middle(work.wait_s), work.blocks)
        yield name, Doing(tuple(own), frozenset(before), frozenset(cured), wait, bars, drive)


class Trying:
    """Every order of one job; what is left from one state is worked out once."""

    def __init__(self, job: WholeJob, there: WaysThere, doings: Mapping[str, Doing], *, drives: bool) -> None:
        self.job, self.there, self.doings, self.drives = job, there, doings, drives
        self.tools = {e.name: e for e in job.shop.site.equipment}
        self.known: dict[tuple[frozenset[str], Car], tuple[tuple[float, int], ...]] = {}

    def front(self) -> list[tuple[float, int]]:
        """Elapsed seconds and moves of every order that no other beats: a car that comes in does not move for it."""
        start = next((n for n, p in enumerate(self.there.places) if p == self.job.stands), STREET)
        spare = int(start == STREET)
        return list(_best({(s, max(0, a - spare)) for s, a in self.rest(frozenset(), Car(start))}))

    def rest(self, done: frozenset[str], car: Car) -> tuple[tuple[float, int], ...]:
        """What is left from here: seconds and arrivals at a place, the best of each."""
        if len(done) == len(self.doings):
            return ((self.brought(car, Way(0.0, STREET), done)[0], 0),)
        if (done, car) not in self.known:
            free = (n for n, doing in self.doings.items() if n not in done and doing.after <= done)
            ends = {end for name in free for way in self.doings[name].ways for end in self.ends(name, way, done, car)}
            self.known[done, car] = tuple(_best(ends))
        return self.known[done, car]

    def ends(self, name: str, way: Way, done: frozenset[str], car: Car) -> Iterator[tuple[float, int]]:
        """Where this is done next, so."""
        doing, left = self.doings[name], dict(car.cures)
        now, stood = self.brought(car, way, done)
        came = int(stood.place not in (car.place, STREET))
        now = max([now, *(left.get(first, 0.0) for first in doing.cured)])
        now = (self.over(now, car, "drive") if doing.driven else now) + way.takes_s
        cures = {n: s - now for n, s in left.items() if s > now}
        if doing.wait_s:
            cures[name] = doing.wait_s
        for seconds, arrivals in self.rest(done | {name}, evolve(stood, cures=tuple(sorted(cures.items())))):
            yield now + seconds, came + arrivals

    def brought(self, car: Car, way: Way, done: frozenset[str]) -> tuple[float, Car]:
        """How long it takes until the car stands so, and how it then stands: one thing after another."""
        now = self.over(0.0, car, "all")
        if way.place is None:
            return now, car
        leaves, kept = way.place != car.place, frozenset[Thing]()
        if not leaves:
            wanted = {thing.name for thing in way.uses}
            kept = frozenset(t for t in car.about if t in way.uses or (t not in way.not_with and t.name not in wanted))
        gone, new = car.about - kept, way.uses - kept
        carried = set() if leaves else {t.name for t in gone} & {t.name for t in new}
        now += sum(middle(self.tools[t.name].put_away_s) for t in gone if t.name not in carried)
        down, up = _rise_s(car.height_m), _rise_s(way.height_m)
        if leaves:
            now = self.over(self.lifted(now, car, down), car, "drive") + self.move_s(car.place, way.place, done)
        now = self.lifted(now, car, up if leaves else abs(up - down))
        now += sum(middle(self.tools[t.name].set_up_s) for t in new)
        return now, Car(way.place, way.on, way.height_m, kept | way.uses, car.cures)

    def lifted(self, now: float, car: Car, takes_s: float) -> float:
        """After lift travel, if there is any."""
        return self.over(now, car, "lift") + takes_s if takes_s else now

    def over(self, now: float, car: Car, what: str) -> float:
        """When no cure bars this any longer."""
        return max([now, *(left for name, left in car.cures if self.doings[name].bars == what)])

    def move_s(self, start: int, goal: int, done: frozenset[str]) -> float:
        """A move, driven or pushed."""
        mends = self.job.question.needs.job.drivable
        one, two = (End(door="door") if n == STREET else End(self.there.places[n]) for n in (start, goal))
        mode: Mode = "drive" if self.drives and (mends == "yes" or mends in done) else "push"
        return middle(self.job.shop.paths.find(one, two, mode).seconds)


def _rise_s(height_m: float) -> float:
    return ANY_LIFT_S * (height_m - LIFTED_FROM_M) / (LIFTED_TO_M - LIFTED_FROM_M)


def _best(ends: set[tuple[float, int]]) -> Iterator[tuple[float, int]]:
    fewest = math.inf
    for seconds, arrivals in sorted(ends):
        if arrivals < fewest:
            fewest = arrivals
            yield seconds, arrivals
