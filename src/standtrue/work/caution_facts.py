"""What of an answer calls for cautions: its cards, its car, its lift, the pits beside it."""

from __future__ import annotations

from collections.abc import Iterable

from standtrue.model.cautions import Fact, propulsion_facts, sensor_facts
from standtrue.model.ground import Ground
from standtrue.model.procedure import Procedure
from standtrue.model.stance import lift_state
from standtrue.place.many.shared import Shared
from standtrue.place.question.answer import Answer


def card_facts(cards: Iterable[Procedure]) -> frozenset[Fact]:
    """What the cards themselves call for, wherever the car stands."""
    facts: set[Fact] = set()
    for card in cards:
        facts |= sensor_facts([card.sensor])
        if "drive" in card.method:
            facts.add(Fact.ROAD_TEST)
        if card.source.status == "transcribed":
            facts.add(Fact.UNVERIFIED_CARD)
        if not card.source.usable:
            facts.add(Fact.UNUSABLE_CARD)
        if card.source.status == "demonstration" or card.demonstration:
            facts.add(Fact.DEMONSTRATION)
    return frozenset(facts)


def pit_facts(ground: Ground) -> frozenset[Fact]:
    """Whether a pit is open that a wheel or a foot falls into."""
    opened = any(area.kind == "void" and len(area.wheel_pieces) for area in ground.unfloor)
    return frozenset({Fact.OPEN_PIT} if opened else ())


def answer_facts(answer: Answer) -> frozenset[Fact]:
    """What one place answer calls for: the card, the car, the lift, the pits beside it."""
    facts = set(card_facts(answer.cards)) | propulsion_facts(answer.vehicle.propulsion)
    if answer.shown is None:
        return frozenset(facts)
    facts.add(Fact.CAR_MOVES)
    if answer.doors_open:
        facts.add(Fact.OPEN_DOOR)
    facts |= pit_facts(answer.ground)
    if answer.support == "lift up":
        facts |= {Fact.RAISED, *_load_facts(answer)}
    return frozenset(facts)


def shared_facts(shared: Shared) -> frozenset[Fact]:
    """What the shared places call for beyond the answers for each card: a door may have to stand open."""
    opened = any(use.doors_open for place in shared.places for use in place.uses)
    return frozenset({Fact.OPEN_DOOR} if opened else ())


def _load_facts(answer: Answer) -> Iterable[Fact]:
    if answer.carrier is None:
        return
    lift, _ = lift_state(answer.carrier, answer.ground.site)
    mass, share = answer.vehicle.mass_kg, answer.vehicle.front_axle_share
    if mass is None or lift.capacity_kg is None:
        yield Fact.UNKNOWN_MASS
        return
    if mass > lift.capacity_kg:
        yield Fact.OVERLOAD
    if lift.axle_capacity_kg is not None:
        if share is None:
            yield Fact.UNKNOWN_MASS
        elif max(share, 1 - share) * mass > lift.axle_capacity_kg:
            yield Fact.OVERLOAD
