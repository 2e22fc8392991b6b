"""What a car puts on a lift, as a use case."""

from __future__ import annotations

from attrs import frozen

from standtrue.aim.loads import LoadsAnswer, check_loads
from standtrue.model.basis import Basis, basis_of
from standtrue.model.cautions import Fact, propulsion_facts
from standtrue.model.lift import PlacedLift
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.model.vehicle import Vehicle


@frozen(eq=False)
class LoadsJudged:
    """What a car puts on one of a site's lifts, against what that may carry."""

    vehicle: Vehicle
    lift: str
    answer: LoadsAnswer
    basis: Basis


def judge_loads(shop: Shop, vehicle: Vehicle, lift: PlacedLift) -> LoadsJudged:
    """What a car puts on a lift. Site and car are those that were looked up in the shop."""
    answer = check_loads(vehicle, lift.lift)
    facts = {Fact.RAISED, *propulsion_facts(vehicle.propulsion)}
    if any(load.too_much for load in answer.loads):
        facts.add(Fact.OVERLOAD)
    if answer.missing:
        facts.add(Fact.UNKNOWN_MASS)
    notes = [because("load-not-known", what=missing) for missing in answer.missing]
    if answer.tips:
        notes.append(because("car-would-tip"))
    return LoadsJudged(vehicle, lift.name, answer, basis_of(shop.touched, facts, (*shop.apart, *notes)))
