"""A plan as the desk asks for it: as it is, one of its alternatives, or with one change of the room that helps."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import evolve, frozen

from standtrue.model.asking import Asking
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.fits import Fits
from standtrue.model.job import Job
from standtrue.model.reason import Angle, Length, Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.place.change.remedies import Remedy, changed
from standtrue.work.car.steps import CHANGE_TAKEN
from standtrue.work.plan.answer import Alternative, PlanAnswer
from standtrue.work.plan.plans import find_plan, tell_otherwise


@frozen
class Way:
    """How an order is planned: `otherwise` names an alternative, `change` a change of the room; "" for neither.

    `beside`: the alternatives are worked out, too.
    """

    otherwise: str = ""
    change: str = ""
    beside: bool = False


@frozen(eq=False)
class Planning:
    """A plan as it was asked for, and the change of the room that it takes to be made; None for none."""

    answer: PlanAnswer
    way: Way
    change: Remedy | None = None


def plan_as(shop: Shop, job: Job, way: Way, known: PlanAnswer | None = None, asking: Asking = Asking()) -> Planning:
    """Plan a job that way. `known` is its plan as it is, if somebody has it.

    Raises UnansweredError where there is no such alternative or change, and whatever planning raises.
    """
    if way.change:
        found = _named(way.change, helps(known or find_plan(shop.anew(), job, alternatives=False, asking=asking)))
        return Planning(_with_change(shop, job, found, way, asking), way, found)
    usable = known if known is not None and (known.alternatives or not way.otherwise) and not way.beside else None
    answer = usable or find_plan(shop, job, alternatives=way.beside or bool(way.otherwise), asking=asking)
    if not way.otherwise:
        return Planning(answer, way)
    chosen = next((one for one in answer.alternatives if alternative_id(one) == way.otherwise), None)
    if chosen is None:
        if asking.stopped():
            return Planning(answer, way)
        raise _unknown(way.otherwise)
    return Planning(tell_otherwise(answer, chosen), way)


def _with_change(shop: Shop, job: Job, remedy: Remedy, way: Way, asking: Asking) -> PlanAnswer:
    """The plan in the room as it would be: told with every answer, since the room is not so yet."""
    sites = {**shop.written.sites, job.site: changed(shop.written.sites[job.site], remedy)}
    told = find_plan(Shop(evolve(shop.written, sites=sites)), job, alternatives=way.beside, asking=asking)
    return evolve(told, basis=told.basis.warned([change_taken(remedy)]))


def change_taken(remedy: Remedy) -> Reason:
    """That a plan takes a change of the room to be made, and which, as far as it takes it."""
    return because(
        CHANGE_TAKEN,
        action=remedy.action,
        thing=remedy.thing,
        kind=remedy.kind,
        subject=remedy.subject.kind,
        amount=Length(remedy.least_m or 0.0),
        way=Angle(remedy.direction_rad or 0.0),
    )


def helps(answer: PlanAnswer) -> tuple[Remedy, ...]:
    """Each single change of the room that makes something fit that the plan leaves out, each once."""
    found: dict[str, Remedy] = {}
    for undone in answer.ordered.undone:
        for tried, remedies in undone.answers:
            if tried.fits is Fits.NO:
                found.update({change_id(one): one for one in remedies.single if change_id(one) not in found})
    return tuple(found.values())


def change_id(remedy: Remedy) -> str:
    """By what a change is known in an address."""
    return f"{remedy.action}:{_ref(remedy.thing)}"


def alternative_id(alternative: Alternative) -> str:
    """By what an alternative is known in an address."""
    about = [_ref(value) for _, value in alternative.change.values if isinstance(value, Ref)]
    return ":".join([alternative.change.code, *about])


def _ref(ref: Ref) -> str:
    told = (ref.kind, ref.of, ref.name, str(ref.number or ""), ref.state)
    return "/".join(part for part in told if part)


def _named(name: str, remedies: Iterable[Remedy]) -> Remedy:
    found = next((one for one in remedies if change_id(one) == name), None)
    if found is None:
        raise _unknown(name)
    return found


def _unknown(name: str) -> UnansweredError:
    what, remedy = because("no-such-way"), because("look-at-order-again")
    return UnansweredError([Fault("unknown-name", what, "", "", name, remedy)])
