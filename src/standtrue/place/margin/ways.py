"""Every way in which a stance can serve: what carries the car, at which height, with which doors and variant.

A way is one problem for the search: its ground and the pairs that must hold.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product

import shapely
from attrs import evolve, frozen
from shapely.geometry.base import BaseGeometry

from standtrue.model.basics import SUPPORT_CLASSES, SupportClass
from standtrue.model.cover_loads import weak_floors
from standtrue.model.ground import Ground, Grounds, LiftSetting, Unfloor, shifted
from standtrue.model.lift import LiftState, PlacedLift
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Reason, Ref, Term, because
from standtrue.model.site import equipment_of
from standtrue.model.stance import FLOOR, Carrier, lift_at_rest, written
from standtrue.model.vehicle import Vehicle
from standtrue.place.margin.arms import Hold, holds
from standtrue.place.margin.pairs import Base, Pair, base_of, blocked_by_ceiling, pairs_of
from standtrue.place.margin.search import Packed
from standtrue.place.question.claims import WHEELS_OF, Claim, car_claims, card_claims
from standtrue.plane.shapes import outside, pieces_outside, polygon, union

HEADING_RAD = 1e-12


@frozen(eq=False)
class Way:
    """One way to serve the cards: a support, its ground, and the pairs that must hold.

    `variants` names the variant taken of each card, None for the card's own zones. `blocked` says what
    rules this way out at every place. `axis_rad` is the way that walls or decks run.
    """

    carrier: Carrier
    ground: Ground
    claims: tuple[Claim, ...]
    pairs: tuple[Pair, ...]
    origins: tuple[float, float, float, float]
    headings: tuple[float, float] | None
    blocked: tuple[Reason, ...]
    variants: tuple[str | None, ...] = ()
    axis_rad: float = 0.0

    @property
    def carried_by(self) -> str:
        """`floor` or LIFT/STATE, as documents and JSON write what carries the car."""
        return written(self.carrier)

    @property
    def height_m(self) -> float:
        """The height of the decks, metres; 0 on the floor."""
        return self.carrier.height_m

    @property
    def on_arms(self) -> bool:
        """Whether a lift's arms hold the body."""
        return any(p.condition and p.kind == "arm" for p in self.pairs)

    def ruled_out(self, why: Reason) -> Reason:
        """Why this way is none, and of what carries the car that is said."""
        return ruled_out(self.carrier, why)

    def allows(self, heading_rad: float) -> bool:
        """Whether a car may stand at this heading: under the ceiling, and the way round that the lift takes it."""
        return not self.blocked and self.faces(heading_rad)

    def faces(self, heading_rad: float) -> bool:
        """Whether the lift takes a car this way round."""
        if self.headings is None:
            return True
        center, half = self.headings
        return abs(math.remainder(heading_rad - center, math.tau)) <= half + HEADING_RAD

    def packed(self) -> Packed:
        """What must hold, packed for the sweep and the search; of two exit strips the better one counts."""
        return self.base().packed

    def base(self) -> Base:
        """The same, to be asked with other pairs beside it."""
        return base_of(self.pairs, self.origins, headings=self.headings, axis_rad=self.axis_rad)


@frozen(eq=False)
class Question:
    """What is asked: the car and the cards at once, on one class of support, with these doors open.

    Raises ValueError for a class of support that is none.
    """

    grounds: Grounds
    vehicle: Vehicle
    cards: tuple[Procedure, ...]
    support: SupportClass
    uneven: tuple[Unfloor, ...] = ()

    def __attrs_post_init__(self) -> None:
        if self.support not in SUPPORT_CLASSES:
            raise ValueError(f"no support class: {self.support}")


def ruled_out(carrier: Carrier, why: Reason) -> Reason:
    """Why a car cannot be carried so."""
    return because("ruled-out", carrier=carrier_ref(carrier), why=why)


def carrier_ref(carrier: Carrier) -> Ref:
    """What carries a car, to be named."""
    return Ref("shop floor") if carrier.lift is None else Ref("lift state", carrier.state, of=carrier.lift)


def ways(question: Question, doors_open: tuple[str, ...], reasons: list[Reason]) -> Iterator[Way]:
    """Every way with these doors open. Reasons why a way is none go to `reasons`."""
    return (setting.way() for setting in settings(question, doors_open, reasons))


@frozen(eq=False)
class Setting:
    """What makes a way, before its pairs are made. `question` names one form of each card, `names` which.

    `driven` is the ground in the state that the car was driven into, at `driven_height_m`. `plates_of` is the lift on
    whose plates the wheels must stand, `hold` how a lift's arms are dealt out.
    """

    question: Question
    names: tuple[str | None, ...]
    carrier: Carrier
    on_decks: bool
    ground: Ground
    driven: Ground
    driven_height_m: float
    origins: tuple[float, float, float, float]
    headings: tuple[float, float] | None
    plates_of: PlacedLift | None = None
    hold: Hold | None = None

    @property
    def axis_rad(self) -> float:
        """The way that walls or decks run."""
        lift = self.carrier.lift
        return self.ground.axis_rad if lift is None else self.ground.heading_of(lift)

    @property
    def one_at_a_time(self) -> bool:
        """Whether each card finds in its store what only others use: cards at one stance run one after another."""
        return len({_in_use(self.question, c) for c in self.question.cards}) > 1

    def way(self) -> Way:
        """The way with its claims and pairs."""
        question, height, on = self.question, self.carrier.height_m, (self.carrier.lift, self.on_decks)
        site = question.grounds.site
        raised = question.support == "lift up"
        car = car_claims(question.vehicle, site.gaps, height, raised, self.driven_height_m)
        if self.hold is not None:
            car = tuple(c for c in car if c.role != "wheel")
        claims = [*car]
        pairs = [*(self.hold.conditions if self.hold is not None else ())]
        if self.plates_of is not None:
            pairs.extend(_plate_conditions(self.plates_of, car))
        pairs.extend(pairs_of(car, self._while(self.ground, None), self._while(self.driven, None), *on))
        for card in question.cards:
            own = card_claims(card, question.vehicle, site.equipment, height)
            claims.extend(own)
            pairs.extend(pairs_of(own, self._while(self.ground, card), self.driven, *on))
        blocked = (*blocked_by_ceiling(claims, self.ground), *self.out_of_reach())
        return Way(
            self.carrier,
            self.ground,
            tuple(claims),
            tuple(pairs),
            self.origins,
            self.headings,
            blocked,
            self.names,
            self.axis_rad,
        )

    def _while(self, ground: Ground, card: Procedure | None) -> Ground:
        """The ground while one card runs; without one, with all that ever stands there: the car stays all along."""
        if not self.one_at_a_time:
            return ground
        question = self.question
        running = question.cards if card is None else (card,)
        standing = {t.ref: t for c in running for t in question.grounds.equipment(_in_use(question, c))}
        return evolve(ground, things=(*(t for t in ground.things if t.kind != "equipment"), *standing.values()))

    @property
    def over_weak_covers(self) -> bool:
        """Whether some wheels must keep off a cover on which others may stand."""
        return any(area.kind == "weak cover" for area in self.question.uneven)

    def out_of_reach(self) -> Iterator[Reason]:
        """Targets that their equipment cannot hold as high, or as low, as the card asks."""
        for card in self.question.cards:
            for target in card.targets:
                equipment = equipment_of(target.equipment, self.question.grounds.site.equipment)
                if equipment is None or equipment.reach_m is None:
                    continue
                low, high = equipment.reach_m
                rise = 0.0 if target.from_floor else self.carrier.height_m
                for z in sorted({target.at[2] + rise, *(p.at[2] + rise for p in target.positions)}):
                    if not low - 1e-9 <= z <= high + 1e-9:
                        yield because(
                            "target-out-of-reach",
                            target=Ref("target", target.name, of=card.key),
                            height=Length(z),
                            equipment=Ref("equipment", equipment.name),
                            least=Length(low),
                            most=Length(high),
                        )


def settings(question: Question, doors_open: tuple[str, ...], reasons: list[Reason]) -> Iterator[Setting]:
    """What every way with these doors open is made of. Of the wheels that no cover carries together some keep off."""
    for cards, names in _variants(question.cards, question.support):
        for number, weak in enumerate(weak_floors(question.grounds.site, question.vehicle)):
            asked = evolve(question, cards=cards, uneven=(*question.uneven, *weak))
            yield from _settings(asked, doors_open, names, [] if number else reasons)


def _variants(
    cards: Sequence[Procedure], support: SupportClass
) -> Iterator[tuple[tuple[Procedure, ...], tuple[str | None, ...]]]:
    """Every choice of one form of each card that allows this support: its own zones, or a variant's."""
    choices: list[list[tuple[Procedure, str | None]]] = []
    for card in cards:
        own: list[tuple[Procedure, str | None]] = []
        if card.zones or card.targets or not card.variants:
            own.append((evolve(card, variants=()), None))
        own.extend((card.as_variant(v), v.name) for v in card.variants)
        # Whoever asks for a support that no form allows wants to know about the geometry alone.
        choices.append([c for c in own if support in c[0].supports] or own)
    for chosen in product(*choices):
        yield tuple(c for c, _ in chosen), tuple(n for _, n in chosen)


def _settings(
    question: Question, doors_open: tuple[str, ...], names: tuple[str | None, ...], reasons: list[Reason]
) -> Iterator[Setting]:
    cards, site = question.cards, question.grounds.site
    maker = _Maker(question, doors_open, names)
    if question.support == "floor":
        if any(c.wheels_hanging for c in cards):
            reasons.append(ruled_out(FLOOR, because("wheels-must-hang")))
        elif not any(c.wheels_on for c in cards):
            yield maker.on_floor(None)
        else:
            flush = [p for p in site.lifts if p.lift.plates and lift_at_rest(p).height_m <= 0.0]
            yield from map(maker.on_floor, flush)
            if not flush:
                reasons.append(ruled_out(FLOOR, because("no-plates-at-floor-level")))
        return
    served = False
    for placed in site.lifts:
        for state in placed.lift.states:
            if not _serves(placed, state, question.support):
                continue
            served = True
            why = _lift_refuses(placed, question.vehicle, cards)
            height = _height(placed, state, cards, question.support)
            if height is None:
                why = why or because("no-height-for-card")
            if why is not None:
                reasons.append(ruled_out(Carrier(placed.name, state.name), why))
            elif height is not None:
                yield from maker.on_lift(placed, state, height)
    if not served:
        reasons.append(because("no-lift-for-support", support=Term(question.support)))


def _serves(placed: PlacedLift, state: LiftState, support: SupportClass) -> bool:
    """Whether a lift's state is of this class. A lift that carries the body counts as floor at rest."""
    if placed.lift.carries == "body":
        return support == "lift up" and state is not placed.lift.rest and state.deck_height_m[1] > 0.0
    return bool(state.decks) and state.drive_on == (support == "lift down")


@frozen(eq=False)
class _Maker:
    """Makes the settings of one question with one set of doors and variants."""

    question: Question
    doors_open: tuple[str, ...]
    names: tuple[str | None, ...]

    def on_floor(self, plates_of: PlacedLift | None) -> Setting:
        question = self.question
        ground = self._uneven(question.grounds.at_rest(self.doors_open, _in_use(question, *question.cards)))
        return Setting(question, self.names, FLOOR, False, ground, ground, 0.0, ground.reach, None, plates_of=plates_of)

    def on_lift(self, placed: PlacedLift, state: LiftState, height: float) -> Iterator[Setting]:
        """One setting, or for a lift with arms one for each way to deal them out to the lift points."""
        question = self.question
        grounds, raised = question.grounds, question.support == "lift up"
        in_use = _in_use(question, *question.cards)
        ground = self._uneven(grounds.resolve({placed.name: LiftSetting(state.name, height)}, self.doors_open, in_use))
        driven = self._uneven(grounds.at_rest(self.doors_open, in_use)) if raised else ground
        driven_height = driven.setting(placed.name).height_m if raised else height
        carrier = Carrier(placed.name, state.name, height)
        body = placed.lift.carries == "body"
        if body:
            for hold in holds(placed, question.vehicle):
                at, facing = hold.origins, hold.headings
                yield Setting(
                    question, self.names, carrier, False, ground, driven, driven_height, at, facing, hold=hold
                )
            return
        headings = (placed.heading_rad, math.pi / 2) if placed.lift.facing == "one" else None
        decks = shapely.MultiPolygon([shapely.Polygon(d) for d in dict(ground.decks)[placed.name]])
        plates_of = placed if any(c.wheels_on for c in question.cards) else None
        at = decks.bounds
        yield Setting(
            question, self.names, carrier, True, ground, driven, driven_height, at, headings, plates_of=plates_of
        )

    def _uneven(self, ground: Ground) -> Ground:
        return evolve(ground, unfloor=(*ground.unfloor, *self.question.uneven)) if self.question.uneven else ground


def _in_use(question: Question, *cards: Procedure) -> frozenset[str]:
    """The equipment that any of the cards uses: it is not where it is stored."""
    wanted = {name for c in cards for name in (*c.equipment, *(t.equipment for t in c.targets))}
    found = (equipment_of(name, question.grounds.site.equipment) for name in wanted)
    return frozenset(e.name for e in found if e is not None)


def plates_by_axle(placed: PlacedLift) -> Iterator[tuple[str, list[BaseGeometry]]]:
    """The plates of each axle that has any, in the site frame."""
    for axle in ("front", "rear"):
        outlines = [polygon(shifted(p.outline, placed)) for p in placed.lift.plates if p.axle == axle]
        if outlines:
            yield axle, outlines


def _plate_conditions(placed: PlacedLift, claims: Sequence[Claim]) -> tuple[Pair, ...]:
    """Each wheel of an axle that has plates stands wholly on one of them."""
    conditions: list[Pair] = []
    for axle, outlines in plates_by_axle(placed):
        plates = union(outlines)
        shape, pieces = outside(plates), pieces_outside(plates)
        wheels = [c for c in claims if c.role == "wheel" and c.ref in WHEELS_OF[axle]]
        conditions.extend(
            Pair(w, Ref(f"{axle} plates", of=placed.name), "plate", shape, pieces, 0.0, own=True, condition=True)
            for w in wheels
        )
    return tuple(conditions)


def _lift_refuses(placed: PlacedLift, vehicle: Vehicle, cards: Sequence[Procedure]) -> Reason | None:
    lift = placed.lift
    if lift.wheelbase_m is not None and not lift.takes(vehicle.wheelbase_m):
        least, most = lift.wheelbase_m
        wheelbase = Length(vehicle.wheelbase_m)
        return because("wheelbase-outside-lift", wheelbase=wheelbase, least=Length(least), most=Length(most))
    car = Ref("vehicle", vehicle.name)
    hangs = lift.jacks or lift.carries == "body"
    if any(c.wheels_hanging for c in cards) and not hangs:
        return because("lift-without-jacks")
    if lift.carries == "body":
        if any(c.wheels_hanging is False for c in cards):
            return because("wheels-hang-on-arms")
        if not vehicle.lift_points:
            return because("no-lift-points", vehicle=car)
        if len(lift.arms) < len(vehicle.lift_points):
            return because("too-few-arms", arms=len(lift.arms), points=len(vehicle.lift_points), vehicle=car)
    if any(c.wheels_on for c in cards) and (lift.carries == "body" or not lift.plates):
        return because("lift-without-plates")
    return None


def _height(placed: PlacedLift, state: LiftState, cards: Sequence[Procedure], support: SupportClass) -> float | None:
    """The lowest lock (without locks, the lowest height) in the state's range and every card's, if any."""
    low, high = state.deck_height_m
    for card in cards:
        if card.lift_height_m is not None and support == "lift up":
            low, high = max(low, card.lift_height_m[0]), min(high, card.lift_height_m[1])
    if low > high + 1e-9:
        return None
    if not placed.lift.locks_m or state.deck_height_m[0] == state.deck_height_m[1]:
        return low
    return min((h for h in placed.lift.locks_m if low - 1e-9 <= h <= high + 1e-9), default=None)
