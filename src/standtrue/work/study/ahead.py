"""How far ahead: how far from each car a target can stand in a room, ahead, behind and to each side."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Literal, get_args

from attrs import evolve, frozen

from standtrue.model.anchors import in_frame
from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES, Outline, SupportClass
from standtrue.model.basis import Basis, basis_of
from standtrue.model.cautions import Fact
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.reason import Length, Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.model.site import Bay, Equipment, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.many.many import AnyFits, all_settings
from standtrue.place.margin.ways import Question
from standtrue.study.ahead import Distance, DistanceQuestion, find_distances
from standtrue.work.study.answer import UNDECIDED_WITHIN_M

Way = Literal["ahead", "behind", "left", "right"]
WAYS: tuple[Way, ...] = get_args(Way)

TURNS = {"ahead": 0.0, "left": math.pi / 2, "behind": math.pi, "right": -math.pi / 2}
ANCHORS = {"ahead": "front", "left": "left", "behind": "rear", "right": "right"}

PLAIN_M = 0.6
"""A target of no equipment in particular stands on a square of this side, metres."""

PLAIN_TOP_M = 2.0


@frozen(eq=False)
class Target:
    """What is to stand: its footprint about its own origin, printed side toward +x, and its height, metres."""

    footprint: Outline
    top_m: float
    equipment: str | None = None

    @property
    def half_width_m(self) -> float:
        """How far it reaches to either side of the line on which it stands."""
        return max(abs(y) for _, y in self.footprint)

    @property
    def means(self) -> Reason:
        """What the distances mean."""
        sizes = {"wide": Length(2 * self.half_width_m), "high": Length(self.top_m)}
        if self.equipment:
            return because("distances-to-equipment", equipment=Ref("equipment", self.equipment), **sizes)
        return because("distances-to-square", side=Length(PLAIN_M), **sizes)


@frozen
class AheadRow:
    """One car on one support: how far a target can stand each way.

    `shut`: the same with every door shut, where some of it asks for an open one; empty where none does.
    """

    car: str
    support: SupportClass
    distances: tuple[tuple[Way, Distance], ...]
    shut: tuple[tuple[Way, Distance], ...] = ()


@frozen(eq=False)
class Ahead:
    """How far from each car a target can stand in a room."""

    site: Site
    bay: Bay | None
    target: Target
    rows: tuple[AheadRow, ...]
    basis: Basis

    @property
    def partial(self) -> bool:
        """Whether it was stopped before its end."""
        return not all(found.known for row in self.rows for _, found in (*row.distances, *row.shut))

    @property
    def through_doors(self) -> bool:
        """Whether some of it asks for an open door."""
        return any(row.shut for row in self.rows)


def find_ahead(
    shop: Shop,
    site: Site,
    cars: Sequence[Vehicle],
    *,
    bay: Bay | None = None,
    equipment: Equipment | None = None,
    supports: Sequence[SupportClass] = SUPPORT_CLASSES,
    asking: Asking | None = None,
) -> Ahead:
    """How far a target can stand from each car on each support, to a millimeter, wherever in the room the car stands.

    Stopped early, it tells what is known by then, said to be partial.
    """
    grounds, target, asking = Grounds(site, bay), target_of(equipment), asking or Asking()
    asked = [(car, s, way) for car in cars for s in supports if _serves(grounds, car, s) for way in WAYS]
    most = _most_mm(grounds)
    least = max(0, math.ceil(max(x for x, _ in target.footprint) * 1000 - 1e-6))
    fits = fit_function(grounds, target, asked, asking.workers)
    found = find_distances(fits, [(least, most)] * len(asked), asking)
    shut = _shut(grounds, target, asked, found, least, asking) if grounds.openable else {}
    rows = tuple(_row(asked, found, shut, first) for first in range(0, len(asked), len(WAYS)))
    every = [*found, *shut.values()]
    undecided = (
        [because("distances-undecided", within=Length(UNDECIDED_WITHIN_M))] if any(d.undecided for d in every) else []
    )
    stopped = [] if all(d.known for d in every) else [because("distances-stopped")]
    facts = [Fact.CAR_MOVES, *([Fact.OPEN_DOOR] if shut else [])]
    return Ahead(site, bay, target, rows, basis_of(shop.touched, facts, (*shop.warnings, *undecided), stopped))


Asked = Sequence[tuple[Vehicle, SupportClass, Way]]


def _row(asked: Asked, found: Sequence[Distance], shut: Mapping[int, Distance], first: int) -> AheadRow:
    """All ways of one car on one support, which are asked one after another."""
    numbers = range(first, first + len(WAYS))
    through = any(n in shut for n in numbers)
    car, support, _ = asked[first]
    return AheadRow(
        car.name,
        support,
        tuple((asked[n][2], found[n]) for n in numbers),
        tuple((asked[n][2], shut.get(n, found[n])) for n in numbers) if through else (),
    )


def _shut(
    grounds: Grounds, target: Target, asked: Asked, found: Sequence[Distance], least: int, asking: Asking
) -> dict[int, Distance]:
    """The distances that ask for an open door, by their question: as they are with every door shut."""
    doors = tuple(evolve(door, may_stand_open=False) for door in grounds.site.doors)
    inside = Grounds(evolve(grounds.site, doors=doors), grounds.bay)
    far = [(n, d.most_mm) for n, d in enumerate(found) if d.most_mm is not None]
    same = fit_function(inside, target, asked, asking.workers)([(n, mm, True) for n, mm in far])
    through = [(n, mm) for (n, mm), fits in zip(far, same, strict=True) if fits is not Fits.YES]
    fits = fit_function(inside, target, [asked[n] for n, _ in through], asking.workers)
    nearer = find_distances(fits, [(least, mm) for _, mm in through], asking)
    return {n: distance for (n, _), distance in zip(through, nearer, strict=True)}


def target_of(equipment: Equipment | None) -> Target:
    """What stands: a piece of equipment, or a plain square where none is named or its footprint is not known."""
    half = PLAIN_M / 2
    plain: Outline = ((-half, -half), (half, -half), (half, half), (-half, half))
    if equipment is None:
        return Target(plain, PLAIN_TOP_M)
    top = PLAIN_TOP_M if equipment.height_m is None else equipment.height_m
    return Target(equipment.footprint or plain, top, equipment.name)


def fit_function(
    grounds: Grounds, target: Target, asked: Asked, workers: int
) -> Callable[[Sequence[DistanceQuestion]], list[Fits]]:
    """Whether the way to a target is free, and the target can stand there."""

    def fits(questions: Sequence[DistanceQuestion]) -> list[Fits]:
        many = AnyFits()
        for number, mm, stands in questions:
            car, support, way = asked[number]
            many.ask(Question(grounds, car, (card(target, car, way, mm / 1000, stands),), support))
        return many.answers(workers)

    return fits


def card(target: Target, car: Vehicle, way: Way, distance_m: float, stands: bool = True) -> Procedure:
    """A card that spots for the target at this distance from the car's body, and a clear way to it."""
    half = target.half_width_m
    frame = ((car.wheelbase_m / 2 if way in ("left", "right") else 0.0, 0.0), TURNS[way])
    clear: Outline = ((0.0, -half), (max(distance_m, 1e-3), -half), (max(distance_m, 1e-3), half), (0.0, half))
    spot = in_frame(((distance_m, 0.0), math.pi), target.footprint)
    zones = [Zone("way", "clear", ANCHORS[way], in_frame(frame, clear), 0.0, target.top_m)]
    if stands:
        zones.append(Zone("target", "stand", ANCHORS[way], in_frame(frame, spot), 0.0, target.top_m))
    return Procedure(
        f"target {way}",
        "target",
        "static",
        Source("question"),
        supports=SUPPORT_CLASSES,
        equipment=(target.equipment,) if target.equipment else (),
        zones=tuple(zones),
    )


def _serves(grounds: Grounds, car: Vehicle, support: SupportClass) -> bool:
    """Whether there is a lift of this class that takes the car at all; the floor always is there."""
    bare = Procedure("", "target", "static", Source(""), supports=SUPPORT_CLASSES)
    return support == "floor" or next(all_settings(Question(grounds, car, (bare,), support)), None) is not None


def _most_mm(grounds: Grounds) -> int:
    """No target can stand farther away than the room, with every door open, is from corner to corner."""
    x0, y0, x1, y1 = grounds.at_rest(grounds.openable).reach
    return math.ceil(math.dist((x0, y0), (x1, y1)) * 1000)
