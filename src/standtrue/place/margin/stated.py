"""A stance that is stated, not sought: its margin, what it touches first, and whether it fits there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve

from standtrue.model.basics import Place, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.stance import FLOOR, Carrier, support_class
from standtrue.model.vehicle import Vehicle
from standtrue.place.margin.measure import better_side, in_view, measure
from standtrue.place.margin.pairs import pack
from standtrue.place.margin.search import values_at
from standtrue.place.margin.ways import Question, Way, carrier_ref, ways
from standtrue.place.question.answer import FIT_M, Answer

WRONG_WAY = because("stands-wrong-way-round")
NO_FORM = because("no-form-for-support")


def stated_stance(
    grounds: Grounds,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    place: Place,
    carrier: Carrier = FLOOR,
    *,
    doors_open: tuple[str, ...] = (),
    variants: tuple[str | None, ...] | None = None,
    uneven: Sequence[Unfloor] = (),
) -> Answer:
    """The answer for one stated place on the floor, or on a lift with its decks at the carrier's height.

    `fits` is YES or NO, `margin_m` and `touches` are said either way (where something overlaps, only the
    margin's sign is meant), and `because` says what else rules the stance out. Without `variants` the form of the
    cards with the largest margin is taken. Anchors must be known (`claims.missing_anchors`). Raises KeyError for a
    carrier that the site does not have.
    """
    support = support_class(carrier, grounds.site)
    # On the posts of a lift at rest a car stands on the floor.
    on = FLOOR if support == "floor" else carrier
    reasons: list[Reason] = []
    question = Question(grounds, vehicle, _at_height(cards, carrier.height_m, support), support, tuple(uneven))
    none = Answer(tuple(cards), vehicle, grounds, grounds.at_rest(doors_open), support, on)
    found = [
        _measured(none, way, place)
        for way in ways(question, doors_open, reasons)
        if (way.carrier.lift, way.carrier.state) == (on.lift, on.state) and variants in (None, way.variants)
    ]
    if not found:
        named = (carrier_ref(carrier), carrier_ref(FLOOR))
        own = [r["why"] for r in reasons if r.code == "ruled-out" and r["carrier"] in named]
        why = [r for r in own if isinstance(r, Reason)] or reasons or [NO_FORM]
        return evolve(none, place=place, because=tuple(dict.fromkeys(why)))
    return max(found, key=lambda a: (a.fits is Fits.YES, a.margin_m))


def _at_height(cards: Sequence[Procedure], height_m: float, support: SupportClass) -> tuple[Procedure, ...]:
    """The cards held to one height of the decks; one that does not allow it is left no height at all."""
    if support != "lift up":
        return tuple(cards)

    def held(card: Procedure) -> Procedure:
        low, high = card.lift_height_m or (height_m, height_m)
        return evolve(card, lift_height_m=(max(low, height_m), min(high, height_m)))

    return tuple(held(card) for card in cards)


def answer_at(none: Answer, way: Way, place: Place) -> Answer:
    """The answer by one way at a place: its margin and all that is told of it. `fits` is by the margin alone."""
    side = better_side(way.pairs, way.origins, place)
    margin, touches, free = measure(way.pairs, way.origins, side, place)
    return evolve(
        none,
        ground=way.ground,
        carrier=way.carrier,
        doors_open=way.ground.doors_open,
        variants=way.variants,
        fits=Fits.of(margin >= FIT_M),
        margin_m=margin,
        bound_m=margin,
        free_m=free,
        place=place,
        touches=touches,
        claims=tuple(c for c in way.claims if c.role != "exit" or c.side == side),
        in_view=tuple(in_view(way.claims, way.ground, place)),
    )


def _measured(none: Answer, way: Way, place: Place) -> Answer:
    """The answer by one way, with what else rules it out."""
    found = answer_at(none, way, place)
    against = [*way.blocked, *_unmet(way, place), *_not_allowed(found, way.carrier.height_m)]
    if not way.blocked and not way.allows(place.heading_rad):
        against.append(WRONG_WAY)
    return evolve(found, fits=Fits.of(found.fits is Fits.YES and not against), because=tuple(against))


def _not_allowed(answer: Answer, height_m: float) -> Iterator[Reason]:
    """Cards that do not allow this class of support. Decks at floor level are floor, too."""
    classes = {"floor", "lift down"} if answer.support == "lift down" and height_m <= 0.0 else {answer.support}
    for card in answer.forms:
        if not classes & set(card.supports):
            supports = tuple(map(Term, card.supports))
            yield because("support-not-allowed", card=Ref("card", card.key), supports=supports)


def _unmet(way: Way, place: Place) -> Iterator[Reason]:
    """What must hold besides the margin and does not: wheels on their plates, lift points within reach of the arms."""
    conditions = [p for p in way.pairs if p.condition]
    if not conditions:
        return
    packed = pack(conditions, way.origins)
    values = values_at(packed, place.x_m, place.y_m, place.heading_rad)
    for number in dict.fromkeys(int(i) for i in packed.sources[values < FIT_M]):
        yield because("not-on", part=conditions[number].claim.ref, thing=conditions[number].thing)
