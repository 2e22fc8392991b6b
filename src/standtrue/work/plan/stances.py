"""Where the car may stand for the operations of a job: shared places and the lifts' own, and what each serves."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import reduce
from operator import or_

from attrs import evolve, field, frozen

from standtrue.drive.question.answer import End
from standtrue.model.anchors import anchor_frame, in_frame
from standtrue.model.basics import SUPPORT_CLASSES, Place, Range, SupportClass
from standtrue.model.ground import Grounds
from standtrue.model.order import Choice, Fitting, Stand, middle
from standtrue.model.procedure import Procedure
from standtrue.model.site import Site, equipment_of
from standtrue.model.stance import Carrier, Stance, lift_at_rest
from standtrue.model.vehicle import Vehicle
from standtrue.place.many.shared import shared_places
from standtrue.place.many.together import NO_STRIPS, Board, Demand, Option
from standtrue.place.margin.search import search
from standtrue.place.question.answer import FIT_M
from standtrue.work.aim.reading_minutes import proof_s
from standtrue.work.place.settle import Uneven
from standtrue.work.plan.operations import whole
from standtrue.work.plan.standing import Obstructions, rooms_of

NEAR_M, NEAR_RAD = 1e-3, 1e-3
"""Places nearer than this are one."""

ALIKE_RAD = math.radians(5.0)
"""A car that is shifted sideways ends up facing as it did, about."""

BOXES = 4_000
"""How far a search for such a place goes: a preference, not a proof."""

TRAVEL_S: Range = (45.0, 60.0)
"""Lift travel from end to end where the lift does not say. Common practice, no source; the plan says so."""

ON_LIFTS: tuple[SupportClass, ...] = ("lift down", "lift up")


@frozen(eq=False)
class Candidate:
    """A place that the car may be brought to, and every way in which it serves each card: by the card's number.

    `lift` is the lift that it stands on there, raised or not.
    """

    place: Place
    choices: tuple[tuple[int, Choice], ...]
    lift: str | None = None

    def end(self, site: Site) -> End:
        """The place as an end of a move: every lift at rest."""
        if self.lift is None:
            return End(self.place)
        return End(self.place, lift_at_rest(site.lift(self.lift)))


@frozen(eq=False)
class Looked:
    """What a board tells of places. `alike`: the numbers among all cards of those that each card of the board stands
    for."""

    board: Board
    obstructions: Obstructions
    vehicle: Vehicle
    cards: tuple[Procedure, ...]
    alike: tuple[tuple[int, ...], ...]

    def candidate(self, number: int, place: Place) -> Candidate:
        """What a place serves: of ways that stand, are set up and make room alike, the quickest."""
        if not self.board.options:
            return Candidate(place, ())
        site, seen = self.obstructions.site, self.board.look((place.x_m, place.y_m, place.heading_rad))
        made = [
            (option, _choice(site, self.vehicle, self.cards[self.alike[option.card][0]], option, number, place))
            for option, margin in zip(self.board.options, seen.margins, strict=True)
            if margin >= FIT_M
        ]
        rooms = {f: tuple(rooms_of(o.way, site, place, f)) for o, choice in made for f in choice.fittings}
        best: dict[tuple[int, Choice], Choice] = {}
        for option, choice in made:
            clears = self.obstructions.clears(option.way, choice.fittings, rooms)
            key = option.card, evolve(choice, run_s=(0.0, 0.0), variant=None, clears=clears)
            if key not in best or middle(choice.run_s) < middle(best[key].run_s):
                best[key] = evolve(choice, clears=clears)
        lifts = (choice.stand.carrier.lift for choice in best.values() if choice.stand is not None)
        return Candidate(place, tuple(self._each(best)), next(filter(None, lifts), None))

    def _each(self, best: Mapping[tuple[int, Choice], Choice]) -> Iterator[tuple[int, Choice]]:
        """The choices of all cards that stand alike, each with what its own takes."""
        for (own, _), choice in best.items():
            for number in self.alike[own]:
                takes = _takes_s(self.obstructions.site, _form(self.cards[number], choice.variant))
                yield number, evolve(choice, run_s=takes)


@frozen(eq=False)
class Candidates:
    """All candidate places of one question, numbered from 1 as plans number them. None is added if nobody `looked`."""

    cards: tuple[Procedure, ...]
    found: tuple[Candidate, ...]
    looked: Looked | None = field(default=None, repr=False)

    def pooled(self, others: Iterable[Candidates]) -> Candidates:
        """With all places of others that serve anything here, so that no order of theirs is quicker."""
        found = list(self.found)
        for place in (c.place for other in others for c in other.found):
            if self.looked is not None and not any(_same(place, known.place) for known in found):
                new = self.looked.candidate(len(found) + 1, place)
                if new.choices:
                    found.append(new)
        return evolve(self, found=tuple(found))

    def first(self, stance: Stance | None, site: Site) -> Stand | None:
        """How the car stands at first, by its number here; None outside."""
        if stance is None:
            return None
        number = next(n for n, c in enumerate(self.found, start=1) if _same(c.place, stance.place))
        return Stand(number, stance.carrier, rise_s(site, stance.carrier))

    def choices(self, card: int, *, any_doors: bool = False) -> tuple[Choice, ...]:
        """Every way to do a card. Unless `any_doors`, those with the fewest doors open in all."""
        own = [choice for c in self.found for number, choice in c.choices if number == card]
        fewest = min((len(c.doors_open) for c in own), default=0)
        return tuple(c for c in own if any_doors or len(c.doors_open) == fewest)


def _alike(cards: Sequence[Procedure]) -> tuple[tuple[int, ...], ...]:
    """The numbers of cards for which the car stands alike, together: ordinary work mostly asks for no more than a car.

    However many there are, they are one question of places.
    """
    groups: dict[object, list[int]] = {}
    for number, card in enumerate(cards):
        plain = not (card.zones or card.targets or card.variants or card.floor_level)
        way = (card.supports, card.lift_height_m, card.wheels_hanging, card.wheels_on, card.equipment)
        groups.setdefault(way if plain else number, []).append(number)
    return tuple(map(tuple, groups.values()))


def _quicker(site: Site, looked: Looked, cards: Sequence[Procedure], found: Sequence[Candidate]) -> list[Procedure]:
    """The cards, those with forms that are quicker than whatever is served at the places found in these forms only."""
    asked, board = [], looked.board
    for number, card in enumerate(cards):
        served = [middle(c.run_s) for one in found for n, c in one.choices if n == looked.alike[number][0]]
        names = {board.options[o].way.variants[0] for o in board.of_card[number]}
        soon = {n for n in names if middle(_takes_s(site, _form(card, n))) < min(served, default=0.0)}
        if not soon:
            asked.append(card)
            continue
        variants = tuple(v for v in card.variants if v.name in soon)
        own = None in soon
        asked.append(evolve(card, variants=variants) if own else evolve(card, variants=variants, zones=(), targets=()))
    return asked


def find_candidates(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    *,
    uneven: Uneven | None = None,
    thorough: bool = True,
    standing: Stance | None = None,
) -> Candidates:
    """The candidate places of a job, and all that each of them serves.

    The fewest places that serve all cards; the fewest that serve on lifts what lifts can; and, facing as the car does
    on those or now, the roomiest places for what is not served there: a place that the car can be shifted to. Unless
    `thorough`, the lifts' own places are looked for only if no shared place is on a lift. `uneven` is floor that is not
    level enough, by card and class of support. `standing`: where the car stands already.
    """
    alike, every = _alike(cards), tuple(cards)
    cards = [every[numbers[0]] for numbers in alike]
    board = Board(grounds, vehicle, cards, SUPPORT_CLASSES, uneven)
    looked = Looked(board, Obstructions(grounds.site), vehicle, every, alike)
    shared = shared_places(grounds, vehicle, cards, SUPPORT_CLASSES, board=board)
    places = [s.place for s in shared.places]
    own = [s.place for s in shared.places if any(not u.carrier.is_floor for u in s.uses)]
    on_lifts = [n for n, c in enumerate(cards) if set(ON_LIFTS) & set(c.all_supports)]
    if on_lifts and (thorough or not own):
        lifted = [cards[n] for n in on_lifts]
        part = board.part(on_lifts, ON_LIFTS)
        own = [s.place for s in shared_places(grounds, vehicle, lifted, ON_LIFTS, board=part).places]
    own = own or places[:1]
    apart: list[Place] = []
    here = [] if standing is None else [standing.place]
    for place in [*here, *places, *own, *_facing_alike(board, [*here, *own], places)]:
        if not any(_same(place, other) for other in apart):
            apart.append(place)
    found = tuple(looked.candidate(number, p) for number, p in enumerate(apart, start=1))
    if standing is not None:
        found = (evolve(found[0], lift=standing.carrier.lift or found[0].lift), *found[1:])
    quicker = _quicker(grounds.site, looked, cards, found)
    if not any(old is not new for old, new in zip(cards, quicker, strict=True)):
        return Candidates(looked.cards, found, looked)
    soonest = shared_places(grounds, vehicle, quicker, SUPPORT_CLASSES, uneven=uneven)
    there = tuple(Candidate(s.place, ()) for s in soonest.places)
    return Candidates(looked.cards, found, looked).pooled([Candidates(looked.cards, there, looked)])


def _facing_alike(board: Board, own: Sequence[Place], places: Sequence[Place]) -> Iterator[Place]:
    """Places that face as the car does at `own`, for what is not served there, nor at others that face so."""
    for number, start in enumerate(own):
        if any(_turn(start, other) < ALIKE_RAD for other in own[:number]):
            continue
        alike = [p for p in (*own, *places) if _turn(p, start) < ALIKE_RAD]
        left = [n for n in range(len(board.of_card)) if not any(_serves(board, p, n) for p in alike)]
        together = _roomiest(board, left, start.heading_rad) if len(left) > 1 else None
        for group in [[n] for n in left] if together is None else []:
            found = _roomiest(board, group, start.heading_rad)
            if found is not None:
                yield found
        if together is not None:
            yield together


def _serves(board: Board, place: Place, card: int) -> bool:
    seen = board.look((place.x_m, place.y_m, place.heading_rad))
    return any(seen.margins[number] >= FIT_M for number in board.of_card[card])


def _roomiest(board: Board, cards: Sequence[int], heading_rad: float) -> Place | None:
    """The roomiest place for some cards at this heading, with the fewest doors open; None where none is found."""
    ways = [board.options[board.of_card[n][0]] for n in cards if board.of_card[n]]
    if len(ways) < len(cards) or not ways:
        return None
    strips = {o.strips for o in ways}
    origins = [o.way.origins for o in ways]
    box = (
        max(o[0] for o in origins),
        max(o[1] for o in origins),
        min(o[2] for o in origins),
        min(o[3] for o in origins),
    )
    if box[0] > box[2] or box[1] > box[3]:
        return None
    bits = reduce(or_, (o.base for o in ways))
    same = strips.pop() if len(strips) == 1 else NO_STRIPS
    demand = Demand(bits, same, box, None, heading_rad, heading_rad)
    found = search(board.packed(demand), known_m=0.0, most=BOXES)
    if found.place is None or found.margin_m < 0.0:
        return None
    place = Place(*found.place)
    return place if all(_serves(board, place, n) for n in cards) else None


def _turn(one: Place, other: Place) -> float:
    return abs(math.remainder(one.heading_rad - other.heading_rad, math.tau))


def _same(one: Place, other: Place) -> bool:
    return math.dist((one.x_m, one.y_m), (other.x_m, other.y_m)) < NEAR_M and _turn(one, other) < NEAR_RAD


def _choice(site: Site, vehicle: Vehicle, card: Procedure, option: Option, number: int, place: Place) -> Choice:
    way = option.way
    name = way.variants[0] if way.variants else None
    form = _form(card, name)
    stand = Stand(number, way.carrier, rise_s(site, way.carrier))
    fittings = frozenset(_fittings(site, vehicle, form, place, way.height_m))
    return Choice(_takes_s(site, form), stand, fittings, name, way.ground.doors_open)


def _form(card: Procedure, variant: str | None) -> Procedure:
    """The card in one of its forms: its own, or a variant's."""
    return next((card.as_variant(v) for v in card.variants if v.name == variant), card)


def _takes_s(site: Site, form: Procedure) -> Range:
    """What a form takes in all, with the readings that prove where its targets stand."""
    own, proof = whole(form.minutes), proof_s(site, form)
    return own[0] + proof[0], own[1] + proof[1]


def _fittings(site: Site, vehicle: Vehicle, card: Procedure, place: Place, height_m: float) -> Iterator[Fitting]:
    """Each piece of equipment that a card uses, with every spot where it stands."""
    spots: dict[str, list[float]] = {}
    for name in card.equipment:
        used = equipment_of(name, site.equipment)
        spots[used.name if used is not None else name] = list(used.used_at) if used and used.used_at else []
    for target in card.targets:
        used = equipment_of(target.equipment, site.equipment)
        frame = anchor_frame(target.anchor, target.turned, card, vehicle)
        if used is None or frame is None:
            continue
        (local,) = in_frame(frame, (target.at[:2],))
        ((x, y),) = in_frame(((place.x_m, place.y_m), place.heading_rad), (local,))
        facing = math.remainder(place.heading_rad + frame[1] + target.facing_rad, math.tau)
        rise = 0.0 if target.from_floor else height_m
        spots.setdefault(used.name, []).extend(
            (round(x, 3), round(y, 3), round(target.at[2] + rise, 3), round(facing, 3))
        )
    for name, at in spots.items():
        yield Fitting(name, tuple(at))


def rise_s(site: Site, carrier: Carrier) -> Range:
    """How long the lift takes from its rest to this height: its share of the travel from end to end."""
    if carrier.lift is None:
        return 0.0, 0.0
    lift = site.lift(carrier.lift).lift
    rest, top = lift_at_rest(site.lift(carrier.lift)).height_m, max(s.deck_height_m[1] for s in lift.states)
    share = abs(carrier.height_m - rest) / (top - rest) if top > rest else 0.0
    low, high = lift.travel_s or TRAVEL_S
    return share * low, share * high
