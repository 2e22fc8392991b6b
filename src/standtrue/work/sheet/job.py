"""The sheet of a repair order: needs, order of work, and every stance with what to lay out and to read there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from attrs import evolve, frozen

from standtrue.model.asking import Asking
from standtrue.model.basis import Basis
from standtrue.model.cautions import CAUTIONS, Caution, Fact, cautions_for, sensor_facts
from standtrue.model.job import Job
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.place.question.claims import missing_anchors
from standtrue.work.ask import UnansweredError
from standtrue.work.caution_facts import answer_facts, card_facts
from standtrue.work.needs.jobs import Needs, find_job_needs
from standtrue.work.place.level import LevelFloors, level_floors
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.sheet.cards import OneCar, card_part, measured_setups, one_car
from standtrue.work.sheet.content import CardPart, Elsewhere, SheetContent, StancePart, together
from standtrue.work.sheet.planned import steps_without_place
from standtrue.work.sheet.standing import Placed, by_plan, by_search, setup_names, setups_of

UNPLANNED = because("no-order-yet")
"""There is no order of work, because its search was stopped."""

_AT_THE_STANCE = frozenset(
    {Fact.RAISED, Fact.OPEN_PIT, Fact.CAR_MOVES, Fact.OPEN_DOOR, Fact.OVERLOAD, Fact.UNKNOWN_MASS}
)
_AT_THE_CARD = frozenset({Fact.RADAR, Fact.LIDAR, Fact.UNVERIFIED_CARD, Fact.UNUSABLE_CARD})


def find_job_sheet(shop: Shop, job: Job, *, plan: PlanAnswer | None = None, asking: Asking = Asking()) -> SheetContent:
    """Everything on the sheet of a job.

    With a `plan` every card stands where that puts it; a card that the plan leaves out has no stance. Without one, or
    if its search was stopped before it found any, a set-up of the job fixes its card's stance, and the other cards
    share the fewest. Raises UnansweredError if a card measures from something that the car's document does not place,
    or a set-up names a support that the site does not have.
    """
    needs = find_job_needs(shop, job)
    cards = [c for c in needs.cards if c.needs_space]
    faults = [f for card in cards for f in missing_anchors(card, needs.vehicle)]
    if faults:
        raise UnansweredError(dict.fromkeys(faults))
    setups = setups_of(shop, job, cards)
    by = plan if plan is not None and (plan.plan is not None or plan.ordered.front.proven) else None
    stood = by_search(shop, needs, cards, setups, asking) if by is None else by_plan(by, cards, setups)
    car = one_car(shop, job, needs)
    stances = _stances(_Stand(car, level_floors(shop, shop.sites[job.site], cards)), stood.placed)
    measured = tuple(measured_setups(shop, job))
    unplanned = (UNPLANNED,) if by is None and plan is not None else ()
    unshown = _unshown(shop, job, stood.placed)
    marks = dict.fromkeys([*shop.touched, *(() if by is None else by.basis.marks)])
    warnings = dict.fromkeys([*unplanned, *needs.basis.warnings, *stood.warnings, *unshown, *car.notes])
    content = SheetContent(
        needs=needs,
        limits=car.alignment.checks,
        stances=stances,
        elsewhere=tuple(_elsewhere(needs, by)),
        nowhere=stood.nowhere,
        plan=by,
        differing=stood.differing,
        cautions=(general := _general_cautions(needs)),
        order_cautions=() if by is None else _order_cautions(by, general),
        basis=Basis(tuple(marks), tuple(warnings), (), stood.limits),
        measured=measured,
    )
    return evolve(content, basis=evolve(content.basis, cautions=_all_cautions(content)))


def _unshown(shop: Shop, job: Job, placed: Iterable[Placed]) -> Iterator[Reason]:
    """The job's set-ups that the sheet does not show: of another card, or a further one of the same."""
    shown = {p.setup.name for p in placed if p.setup is not None}
    for name in setup_names(shop, job):
        if name not in shown:
            yield because("set-up-not-shown", setup=Ref("setup", name))


@frozen(eq=False)
class _Stand:
    """What every stance's page is made with."""

    car: OneCar
    level: LevelFloors


def _stances(stand: _Stand, placed: Sequence[Placed]) -> tuple[StancePart, ...]:
    """The stances, in the order in which they are first come to."""
    groups: dict[object, list[Placed]] = {}
    for one in placed:
        groups.setdefault(one.stance, []).append(one)
    return tuple(_stance(stand, group) for group in groups.values())


def _stance(stand: _Stand, group: Sequence[Placed]) -> StancePart:
    answer = stand.level.noted(together([p.answer for p in group]))
    assert answer.place is not None
    facts = frozenset().union(*(answer_facts(p.answer) for p in group)) & _AT_THE_STANCE
    cards = tuple(_noted(stand.level, _card(stand, p)) for p in group)
    return StancePart(answer, cards, _called(facts), group[0].place)


def _card(stand: _Stand, placed: Placed) -> CardPart:
    cautions = _called(card_facts([placed.card]) & _AT_THE_CARD)
    return evolve(card_part(stand.car, placed), cautions=cautions)


def _noted(level: LevelFloors, part: CardPart) -> CardPart:
    """The card with how level the floor is under what it names, and why."""
    asked = part.card.floor_level is not None and part.answer.level is None
    answer = level.noted(part.answer) if asked else part.answer
    why = () if answer.level is None else answer.level.because
    return evolve(part, answer=answer, notes=(*part.notes, *why))


def _elsewhere(needs: Needs, plan: PlanAnswer | None) -> Iterator[Elsewhere]:
    """The cards that run without a place, or have a drive; by a plan, those of them that it does not leave out."""
    for card in needs.cards:
        steps = () if plan is None else steps_without_place(plan, card)
        if steps or (plan is None and (not card.needs_space or "drive" in card.method)):
            facts = frozenset({Fact.ROAD_TEST}) if "drive" in card.method else frozenset()
            yield Elsewhere(card, _called(facts | sensor_facts([card.sensor])), steps)


def _general_cautions(needs: Needs) -> tuple[Caution, ...]:
    """What holds for the whole job; the others stand where they belong."""
    pushed = frozenset({Fact.CAR_PUSHED} if needs.job.drivable != "yes" else ())
    local = _called(_AT_THE_STANCE | _AT_THE_CARD | {Fact.ROAD_TEST})
    return tuple(c for c in dict.fromkeys((*_called(pushed), *needs.basis.cautions)) if c not in local)


def _order_cautions(plan: PlanAnswer, general: Sequence[Caution]) -> tuple[Caution, ...]:
    """Those of the order of work that are not on the first page."""
    local = _called(_AT_THE_STANCE)
    return tuple(c for c in plan.basis.cautions if c in local and c not in general)


def _all_cautions(sheet: SheetContent) -> tuple[Caution, ...]:
    """Every caution that is somewhere on the sheet, in the order of the table."""
    told = {*sheet.cautions, *sheet.order_cautions}
    for stance in sheet.stances:
        told.update(stance.cautions, *(part.cautions for part in stance.cards))
    told.update(*(one.cautions for one in sheet.elsewhere))
    return tuple(c for c in CAUTIONS if c in told)


def _called(facts: frozenset[Fact]) -> tuple[Caution, ...]:
    """The cautions that these facts call for, without the one that stands on every page."""
    return cautions_for(facts)[:-1]
