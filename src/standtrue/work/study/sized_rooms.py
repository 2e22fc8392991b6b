"""Rooms of every size, made of one site, and from which size on a car fits for a card.

The room is the site's, emptied: its gaps, ceiling, wall metal and equipment stay; everything on its floor goes but, if
asked for, one lift, which stands where a stated rule puts it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import Literal

import numpy as np
import shapely
from attrs import evolve, field, frozen
from numpy.typing import NDArray

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import SUPPORT_CLASSES, Outline, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground, Grounds, LiftSetting, Thing, shifted
from standtrue.model.lift import PlacedLift
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Reason, Ref, because
from standtrue.model.site import Datum, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.many.many import AnyFits, all_settings
from standtrue.place.margin.pairs import exit_sides
from standtrue.place.margin.ways import Question
from standtrue.plane.shapes import polygon
from standtrue.study.sizes import (
    Demand,
    Frontier,
    Size,
    SizeQuestion,
    SizeRange,
    empty_room_frontier,
    find_frontiers,
)

Rule = Literal["centered", "as today"]

ROOMS_KEPT = 500

AT_ONCE = 500
"""So many questions are put together: enough to spread over the cores, few enough to hold little."""


@frozen
class Standing:
    """Where a lift stands in a room of any size: on its middle line, along its length.

    `nose_m` is how far its decks (or posts) end from the wall that it faces, `tail_m` from the wall behind; both None:
    centered lengthways. Seen from the lift, a larger room always holds all of a smaller one: it never covers less.
    """

    placed: PlacedLift
    nose_m: float | None = None
    tail_m: float | None = None

    def room(self, size: Size) -> Outline | None:
        """The room about the lift at the origin, heading along x; None if some part of the lift would not be inside."""
        x0, y0, x1, y1 = middle_box(self.placed)
        if self.nose_m is not None:
            left = x1 + self.nose_m - size.length_m
        elif self.tail_m is not None:
            left = x0 - self.tail_m
        else:
            left = (x0 + x1 - size.length_m) / 2
        low = (y0 + y1 - size.width_m) / 2
        right, high = left + size.length_m, low + size.width_m
        x0, y0, x1, y1 = whole_box(self.placed)
        inside = x0 >= left - 1e-9 and y0 >= low - 1e-9 and x1 <= right + 1e-9 and y1 <= high + 1e-9
        return ((left, low), (right, low), (right, high), (left, high)) if inside else None

    @property
    def rule(self) -> Reason:
        """Where it stands."""
        lift = Ref("lift", self.placed.name)
        if self.nose_m is not None:
            return because("lift-stands-by-front-wall", lift=lift, from_wall=Length(self.nose_m))
        if self.tail_m is not None:
            return because("lift-stands-by-rear-wall", lift=lift, from_wall=Length(self.tail_m))
        return because("lift-stands-centered", lift=lift)


def middle_box(placed: PlacedLift) -> tuple[float, float, float, float]:
    """What is centered of a lift: its decks, or for a lift with arms its posts and pivots. In the lift's own frame."""
    decks = [p for state in placed.lift.states for deck in state.decks for p in deck]
    return _box(decks) if decks else _box(_standing_points(placed))


def whole_box(placed: PlacedLift) -> tuple[float, float, float, float]:
    """All of a lift in every state, as left, low, right, high in its own frame."""
    outlines: list[Outline] = [post.outline for post in placed.lift.posts]
    for state in placed.lift.states:
        outlines += [*state.decks, *state.voids, *state.fills, *state.ramps, *(o.outline for o in state.obstacles)]
    pivots: Outline = tuple(arm.pivot for arm in placed.lift.arms)
    return _box([p for outline in (*outlines, pivots) for p in outline])


def _standing_points(placed: PlacedLift) -> list[tuple[float, float]]:
    points = [p for post in placed.lift.posts for p in post.outline]
    return [*points, *(arm.pivot for arm in placed.lift.arms)]


def _box(points: Sequence[tuple[float, float]]) -> tuple[float, float, float, float]:
    if not points:
        return (0.0, 0.0, 0.0, 0.0)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))


def standing(site: Site, placed: PlacedLift, rule: Rule) -> Standing:
    """Where a lift of the site is to stand by this rule.

    As today: whichever of its ends is nearer to a wall of its site, straight on from that end's middle, stays as far
    from the wall there.
    """
    if rule == "centered":
        return Standing(placed)
    x0, y0, x1, y1 = middle_box(placed)
    nose = _to_wall(site, placed, x1, (y0 + y1) / 2, 1.0)
    tail = _to_wall(site, placed, x0, (y0 + y1) / 2, -1.0)
    return Standing(placed, nose_m=nose) if nose <= tail else Standing(placed, tail_m=tail)


def _to_wall(site: Site, placed: PlacedLift, x: float, y: float, way: float) -> float:
    """How far it is from a point of the lift, straight along it, to the wall."""
    floor = polygon(site.outline)
    long = 2 * (floor.length + shapely.distance(floor, shapely.Point(placed.at)))
    line = shapely.LineString(shifted(((x, y), (x + way * long, y)), placed))
    return float(shapely.distance(shapely.Point(line.coords[0]), shapely.intersection(line, floor.exterior)))


class _Room(Grounds):
    """The grounds of one size of room. They are those of a pattern, all but the walls: only these move."""

    def __init__(self, pattern: Grounds, outline: Outline) -> None:
        super().__init__(evolve(pattern.site, outline=outline))
        self._pattern = pattern

    def resolve(
        self,
        raised: Mapping[str, LiftSetting],
        doors_open: tuple[str, ...] = (),
        in_use: frozenset[str] = frozenset(),
    ) -> Ground:
        key = (tuple(sorted(raised.items())), in_use)
        if key not in self._made:
            like = self._pattern.resolve(raised, doors_open, in_use)
            things = tuple(self._moved(t) if t.kind == "wall" else t for t in like.things)
            (left, low), _, (right, high), _ = self.site.outline
            self._made[key] = evolve(like, site=self.site, things=things, reach=(left, low, right, high))
        return self._made[key]

    def _moved(self, wall: Thing) -> Thing:
        """The wall of the pattern with each of its sides where this room's is."""
        old, new = np.array(self._pattern.site.outline), np.array(self.site.outline)
        middle, low, high = old.mean(axis=0), new[0] - old[0], new[2] - old[2]

        def move(points: NDArray[np.float64]) -> NDArray[np.float64]:
            return np.asarray(points + np.where(points < middle, low, high), dtype=np.float64)

        return evolve(wall, shape=shapely.transform(wall.shape, move), pieces=tuple(move(p) for p in wall.pieces))


@frozen(eq=False, slots=False)
class Rooms:
    """Rooms of every size, made of one site: each is made once, for cars and cards alike.

    A room without a lift has its first corner at the origin; one with a lift has the lift there.
    """

    site: Site
    lift: Standing | None = None
    _made: dict[Size, Grounds | None] = field(factory=dict, init=False)

    def grounds(self, size: Size) -> Grounds | None:
        """The room of this size, its length along x; None if the lift does not stand in it whole."""
        if size not in self._made:
            outline: Outline | None = _rectangle(size) if self.lift is None else self.lift.room(size)
            self._made[size] = None if outline is None else _Room(self.pattern, outline)
        return self._made[size]

    def forget(self) -> None:
        """Let go of the rooms made, if they are many: no question may be waiting."""
        if len(self._made) > ROOMS_KEPT:
            self._made.clear()

    @cached_property
    def pattern(self) -> Grounds:
        """A room large enough for the lift, with all that stays of the site."""
        site = self.site
        lifts = () if self.lift is None else (evolve(self.lift.placed, at=(0.0, 0.0), heading_rad=0.0),)
        x0, y0, x1, y1 = (0.0, 0.0, 9.0, 5.0) if self.lift is None else whole_box(self.lift.placed)
        return Grounds(
            Site(
                site.name,
                ((x0 - 1.0, y0 - 1.0), (x1 + 1.0, y0 - 1.0), (x1 + 1.0, y1 + 1.0), (x0 - 1.0, y1 + 1.0)),
                Datum((0.0, 0.0)),
                site.gaps,
                site.clear_height_m,
                site.wall_metal,
                lifts=lifts,
                equipment=tuple(evolve(e, store=None, used_at=None) for e in site.equipment),
            )
        )

    @property
    def rules(self) -> tuple[Reason, ...]:
        """How the rooms are laid out."""
        site = self.site
        ceiling = site.clear_height_m
        return (
            because("room-is-rectangle", site=Ref("site", site.name)),
            because("room-without-ceiling") if ceiling is None else because("room-ceiling", height=Length(ceiling)),
            because("walls-are-metal" if site.wall_metal else "walls-are-no-metal"),
            because("nothing-stands-in-room") if self.lift is None else self.lift.rule,
            because("doors-stay-shut"),
        )


def _rectangle(size: Size) -> Outline:
    long, wide = size.length_m, size.width_m
    return ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))


def fit_function(
    rooms: Rooms,
    cars: Sequence[Vehicle],
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass] = SUPPORT_CLASSES,
    workers: int = 1,
) -> Callable[[Sequence[SizeQuestion]], list[Fits]]:
    """Whether a car fits for a card in a room, on any of the supports that the card allows and that are asked for."""
    allowed = [tuple(s for s in card.all_supports if s in supports) for card in cards]
    with_lift = rooms.lift is not None

    def asked(questions: Sequence[SizeQuestion]) -> list[Fits]:
        rooms.forget()
        many = AnyFits()
        numbers: list[list[int]] = []
        for size, car, card in questions:
            grounds = rooms.grounds(size)
            on = () if grounds is None else [s for s in allowed[card] if with_lift or s == "floor"]
            numbers.append([many.ask(Question(grounds, cars[car], (cards[card],), s)) for s in on if grounds])
        answers = many.answers(workers)
        return [Fits.any_of([answers[n] for n in found]) for found in numbers]

    def fits(questions: Sequence[SizeQuestion]) -> list[Fits]:
        # Rooms of one size together, and few at once: what is packed for them is soon let go.
        order = sorted(range(len(questions)), key=lambda n: questions[n][0])
        found = [Fits.NO] * len(questions)
        for begin in range(0, len(order), AT_ONCE):
            share = order[begin : begin + AT_ONCE]
            for number, fit in zip(share, asked([questions[n] for n in share]), strict=True):
                found[number] = fit
        return found

    return fits


def rooms_frontiers(
    rooms: Rooms,
    cars: Sequence[Vehicle],
    cards: Sequence[Procedure],
    pairs: Sequence[tuple[int, int]],
    supports: Sequence[SupportClass] = SUPPORT_CLASSES,
    sizes: SizeRange | None = None,
    asking: Asking | None = None,
) -> tuple[Frontier, ...]:
    """The frontier of each pair of a car and a card. Stopped early, it tells what is known by then (`Frontier.whole`).

    In a room with nothing but walls they follow from how far the car and its card reach at each heading. With a lift
    they are asked of `place`, and no smaller room is asked than its walls alone would allow.
    """
    sizes, asking = sizes or SizeRange(), asking or Asking()
    bounds: list[Frontier] = []
    for done, (car, card) in enumerate(pairs, start=1):
        if asking.stopped():
            known = bounds if rooms.lift is None else []
            return (*known, *(Frontier(car, card, (), whole=False) for car, card in pairs[len(known) :]))
        on = [s for s in cards[card].all_supports if s in supports]
        bounds.append(empty_room_frontier(car, card, wall_demands(rooms, cars[car], cards[card], on), sizes))
        total = len(pairs) if rooms.lift is None else len(pairs) * sizes.widths
        asking.tell(Progress(because("finding-sizes"), done, total))
    if rooms.lift is None:
        return tuple(bounds)
    return find_frontiers(fit_function(rooms, cars, cards, supports, asking.workers), pairs, sizes, asking, bounds)


def wall_demands(rooms: Rooms, car: Vehicle, card: Procedure, supports: Sequence[SupportClass]) -> list[list[Demand]]:
    """For every way in which the room could serve, what must keep how far from its walls; either exit will do."""
    ways = []
    for support in supports if rooms.lift is not None else [s for s in supports if s == "floor"]:
        for setting in all_settings(Question(rooms.pattern, car, (card,), support)):
            way = setting.way()
            if way.blocked:
                continue
            walls = [p for p in way.pairs if p.kind == "wall"]
            for side in exit_sides(walls):
                ways.append([(np.array(p.claim.outline), p.gap_m) for p in walls if p.side in (None, side)])
    return ways


def own_size(site: Site) -> Size | None:
    """The size of a site, or of the straightened outline of a bay, if it is a rectangle; its length the longer side."""
    floor = polygon(site.outline)
    box = shapely.minimum_rotated_rectangle(floor)
    if box.area - floor.area > 1e-6 * box.area:
        return None
    (x0, y0), (x1, y1), (x2, y2) = shapely.get_coordinates(box)[:3]
    sides = sorted((((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5))
    return Size(round(sides[0], 6), round(sides[1], 6))
