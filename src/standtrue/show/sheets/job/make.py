"""The job sheet of a repair order: needs, order of work, and every stance with what to lay out and to read there."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from importlib.metadata import version

from attrs import evolve, frozen

from standtrue.aim.alignment import AlignmentAnswer, Angle, check_alignment
from standtrue.aim.layout import car_offsets, lay_out
from standtrue.aim.titles import title_of
from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.cautions import Fact, cautions_for, sensor_facts
from standtrue.model.ground import Grounds
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.setup import ALIGNMENT_READINGS, Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.margin.stated import stated_stance
from standtrue.place.question.answer import Answer
from standtrue.place.question.claims import missing_anchors
from standtrue.show.pictures.targets import together
from standtrue.show.sheets.job.order import OrderOfWork
from standtrue.show.sheets.job.planned import (
    agrees,
    at_plan,
    order_of_work,
    planned_cards,
    steps_without_place,
)
from standtrue.show.sheets.job.sheet import CardPart, JobSheet, PlannedReading, Section, StancePart, Unplaced
from standtrue.show.sheets.rests_on import CardSource
from standtrue.show.words.place import what_stops_it
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.remedies import remedies_words
from standtrue.show.words.sheet_notes import (
    elsewhere_words,
    floor_note,
    not_here,
    sent_out,
    setup_note,
    unplanned,
    unshown_note,
)
from standtrue.work.aim.aiming import lay_targets_out
from standtrue.work.aim.restanding import planned_stance
from standtrue.work.aim.setups import NO_TOES
from standtrue.work.ask import UnansweredError
from standtrue.work.needs.jobs import Needs, find_job_needs
from standtrue.work.place.level import LevelFloors, asks_level, survey_of
from standtrue.work.place.places import Places, Progress, find_places
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.used import answer_facts, card_facts, marks_of

_AT_THE_STANCE = frozenset(
    {Fact.RAISED, Fact.OPEN_PIT, Fact.CAR_MOVES, Fact.OPEN_DOOR, Fact.OVERLOAD, Fact.UNKNOWN_MASS}
)
_AT_THE_CARD = frozenset({Fact.RADAR, Fact.LIDAR, Fact.UNVERIFIED_CARD})


@frozen(eq=False)
class _Placed:
    """A card with the stance that it gets, and the set-up that says so, if one does."""

    card: Procedure
    answer: Answer
    setup: Setup | None = None
    notes: tuple[str, ...] = ()
    step: int | None = None
    place: int | None = None

    @property
    def stance(self) -> tuple[object, ...]:
        """What cards must share to run at one stance."""
        place = self.answer.place
        assert place is not None
        return (*(round(v, 6) for v in (place.x_m, place.y_m, place.heading_rad)), self.answer.height_m,
                self.answer.doors_open)  # fmt: skip


@frozen(eq=False)
class _Stood:
    """Every card that has a stance, in the order of work; those that have none; and what must be said of it.

    `differing` tells the set-ups that have the car elsewhere than the plan.
    """

    placed: tuple[_Placed, ...]
    nowhere: tuple[Unplaced, ...] = ()
    notes: tuple[str, ...] = ()
    differing: tuple[str, ...] = ()


@frozen(eq=False)
class _Floor:
    """The surveyed floor, for its reader; `level` is None where there is no survey, or no card asks."""

    level: LevelFloors | None
    reader: Reader

    def noted(self, part: CardPart) -> CardPart:
        """The card with what the survey says of the floor under what it names."""
        if self.level is None or part.card.floor_level is None:
            return part
        found = self.level.under(part.answer)
        difference, partly = (None, False) if found is None else (found.difference_m, found.unknown_m2 > 0.0)
        said = floor_note(difference, partly, self.level.survey.name, self.reader)
        return evolve(part, notes=(*part.notes, said))


def make_job_sheet(  # long: gathers each part of the sheet once, one after another
    folder: Shop,
    job: Job,
    reader: Reader = ENGLISH,
    *,
    plan: PlanAnswer | None = None,
    sections: Sequence[Section] = (),
    notes: Sequence[str] = (),
    progress: Progress | None = None,
) -> JobSheet:
    """Everything on the sheet of a job.

    With a `plan` every card stands where that puts it, and the whole order of work is on the sheet; a card that the
    plan leaves out has no stance. Without one, or if its search was stopped before it found any, a set-up of the job
    fixes its card's stance, and the other cards share the fewest. `sections` are shown before the stances, `notes`
    among the notes. Raises UnansweredError if a card measures from something that the car's document does not place, or
    a set-up names a support that the site does not have.
    """
    needs = find_job_needs(folder, job)
    site, vehicle = folder.sites[job.site], needs.vehicle
    cards = [c for c in needs.cards if c.needs_space]
    faults = [f for card in cards for f in missing_anchors(card, vehicle)]
    if faults:
        raise UnansweredError(dict.fromkeys(faults))
    setups = _setups(folder, job, cards)
    ordered = plan if plan is not None and (plan.plan is not None or plan.ordered.front.proven) else None
    if ordered is not None:
        stood = _by_plan(ordered, cards, setups, reader)
    else:
        stood = _by_search(folder, needs, cards, setups, reader, progress)
        notes = notes if plan is None else (*notes, unplanned(reader))
    shown = [p.setup.name for p in stood.placed if p.setup is not None]
    alignment = check_alignment(vehicle, angles_on_order(job))
    survey, _ = survey_of(folder, site) if asks_level(cards) else (None, None)
    level = None if survey is None else LevelFloors(survey, site)
    marks = marks_of(
        folder, sites=[site], vehicles=[vehicle], cards=needs.cards, rules=folder.rules, jobs=[job.name],
        setups=shown, surveys=[] if survey is None else [survey.name],
    )  # fmt: skip
    stances = _stances(folder, stood.placed, alignment, _Floor(level, reader))
    return JobSheet(
        job=job,
        vehicle=vehicle,
        program=f"Standtrue {version('standtrue')}",
        reader=reader,
        needs=needs.answer,
        order=needs.order,
        limits=alignment.checks,
        stances=stances,
        elsewhere=tuple(_elsewhere(needs, ordered, reader)),
        nowhere=stood.nowhere,
        sections=tuple(sections),
        planned=None if ordered is None else _order(ordered, needs, stances, reader, stood.differing),
        cautions=_general_cautions(needs, reader),
        warnings=tuple(
            reader.reasons([*notes, *needs.basis.warnings, *stood.notes, *_unshown(folder, job, shown, reader)])
        ),
        sources=tuple(_source(c) for c in needs.cards),
        documents=tuple(dict.fromkeys([*marks, *(() if ordered is None else ordered.basis.marks)])),
    )


def angles_on_order(job: Job) -> Mapping[str, Angle]:
    """The alignment readings that the order carries in degrees."""
    return {
        r.what: Angle(math.radians(r.value), math.radians(r.u or 0.0))
        for r in job.readings
        if r.what in ALIGNMENT_READINGS and r.unit in ("deg", "°")
    }


def _setups(folder: Shop, job: Job, cards: Iterable[Procedure]) -> dict[str, Setup]:
    """The job's set-ups by the key of their card; of several for one card the first by name."""
    found: dict[str, Setup] = {}
    for _, setup in sorted(folder.setups.items()):
        named = [c for c in cards if setup.procedure in (c.key, c.name)]
        if setup.job == job.name and len(named) == 1:
            found.setdefault(named[0].key, setup)
    return found


def _unshown(folder: Shop, job: Job, shown: Collection[str], reader: Reader) -> Iterator[str]:
    """The job's set-ups that the sheet does not show: of another card, or a further one of the same."""
    for name, setup in sorted(folder.setups.items()):
        if setup.job == job.name and name not in shown:
            yield unshown_note(name, reader)


def _notes(warnings: Iterable[str], answers: Iterable[Answer], reader: Reader) -> tuple[str, ...]:
    """What must be said of the places, but for what stands in view: each stance says that itself."""
    in_view = {f"{a.name} ({a.support}): {seen}" for a in answers for seen in reader.reasons(a.in_view)}
    return tuple(note for note in warnings if note not in in_view)


def _by_setup(site: Site, vehicle: Vehicle, cards: Iterable[Procedure], setups: Mapping[str, Setup]) -> list[_Placed]:
    grounds = Grounds(site)
    return [
        _Placed(c, planned_stance(grounds, vehicle, c, setups[c.key]), setups[c.key]) for c in cards if c.key in setups
    ]


def _by_plan(plan: PlanAnswer, cards: Sequence[Procedure], setups: Mapping[str, Setup], reader: Reader) -> _Stood:
    """Each card where the plan has it run: a set-up keeps its instruments and alignment, and takes that stance."""
    grounds = Grounds(plan.site)
    placed: list[_Placed] = []
    differing: list[str] = []
    for found in planned_cards(plan, cards):
        setup = setups.get(found.card.key)
        moved = None if setup is None else at_plan(setup, found)
        notes: tuple[str, ...] = ()
        if setup is not None and moved is not None:
            own = planned_stance(grounds, plan.needs.vehicle, found.card, setup)
            if not agrees(setup, moved):
                notes = (setup_note(setup, own, moved, reader),)
                differing.append(elsewhere_words(setup.name, found.step, reader))
        placed.append(_Placed(found.card, found.answer, moved, notes, found.step, found.place))
    said = reader.reasons((*plan.basis.warnings, *plan.basis.limits))
    return _Stood(tuple(placed), (), _notes(said, (p.answer for p in placed), reader), tuple(differing))


def _order(
    plan: PlanAnswer, needs: Needs, stances: Sequence[StancePart], reader: Reader, sentences: Sequence[str]
) -> OrderOfWork:
    """The order of work, with the cautions that are not on the first page."""
    numbers = {p.step: number for number, s in enumerate(stances, start=1) for p in s.cards if p.step is not None}
    general, local = _general_cautions(needs, reader), set(cautions_for(_AT_THE_STANCE)[:-1])
    said = reader.reasons(c.reason for c in plan.basis.cautions if c in local)
    told = [text for text in said if text not in general]
    return order_of_work(plan, reader, numbers, told, sentences)


def _by_search(
    folder: Shop,
    needs: Needs,
    cards: Sequence[Procedure],
    setups: Mapping[str, Setup],
    reader: Reader,
    progress: Progress | None,
) -> _Stood:
    """Each card where its set-up has it, or at one of the fewest places that serve the others."""
    site, vehicle = folder.sites[needs.job.site], needs.vehicle
    free = [c for c in cards if c.key not in setups]
    asking = Asking() if progress is None else Asking(lambda p: progress(reader.reason(p.what), p.done, p.total))
    places = find_places(folder, site, vehicle, free, SUPPORT_CLASSES, amounts=False, asking=asking)
    turn = {key: need.order for need in needs.answer.needs for key in need.chain}
    placed = [*_by_setup(site, vehicle, cards, setups), *_shared(places)]
    return _Stood(
        tuple(sorted(placed, key=lambda p: (turn[p.card.key], p.card.key))),
        tuple(_nowhere(c, places, reader) for c in places.shared.unserved),
        _notes(reader.reasons((*places.basis.warnings, *places.basis.limits)), places.answers, reader),
    )


def _shared(places: Places) -> list[_Placed]:
    grounds, vehicle = Grounds(places.site), places.vehicle
    return [
        _Placed(
            use.card,
            stated_stance(
                grounds, vehicle, [use.card], shared.place, use.carrier,
                doors_open=use.doors_open, variants=(use.variant,),
            ),
        )
        for shared in places.shared.places
        for use in shared.uses
    ]  # fmt: skip


def _stances(
    folder: Shop, placed: Sequence[_Placed], alignment: AlignmentAnswer, floor: _Floor
) -> tuple[StancePart, ...]:
    """The stances, in the order in which they are first come to."""
    groups: dict[object, list[_Placed]] = {}
    for one in placed:
        groups.setdefault(one.stance, []).append(one)
    return tuple(_stance(folder, group, alignment, floor) for group in groups.values())


def _stance(folder: Shop, group: Sequence[_Placed], alignment: AlignmentAnswer, floor: _Floor) -> StancePart:
    answer = together([p.answer for p in group])
    assert answer.place is not None
    wheels = car_offsets(answer.vehicle, answer.ground.site, answer.place)
    facts = frozenset().union(*(answer_facts(p.answer) for p in group)) & _AT_THE_STANCE
    cards = tuple(floor.noted(_card(folder, p, alignment, floor.reader)) for p in group)
    return StancePart(answer, wheels, cards, _texts(facts, floor.reader), group[0].place)


def _card(folder: Shop, placed: _Placed, alignment: AlignmentAnswer, reader: Reader) -> CardPart:
    answer, setup = placed.answer, placed.setup
    assert answer.place is not None
    facts = card_facts([placed.card]) & _AT_THE_CARD
    if setup is not None:
        told = lay_targets_out(folder, setup)
        readings: tuple[PlannedReading, ...] = ()
        if told.plan is not None:
            network = told.scene.network(told.plan.readings)
            planned = network.predict(told.plan.readings, network.start)[0]
            titles = (title_of(r, told.scene) for r in told.plan.readings)
            values = zip(told.plan.readings, titles, planned, strict=True)
            readings = tuple(PlannedReading(r, title, float(v)) for r, title, v in values)
        return CardPart(
            placed.card, answer, told.targets, readings, setup.name, _texts(facts, reader),
            (*placed.notes, *reader.reasons(told.basis.warnings)), placed.step,
        )  # fmt: skip
    thrust = alignment.thrust_heading
    (card,) = answer.forms
    targets = lay_out(
        card, answer.vehicle, answer.ground.site, answer.place,
        0.0 if thrust is None else thrust.value_rad, answer.height_m,
    )  # fmt: skip
    notes = (reader.reason(NO_TOES),) if thrust is None and any(t.place.line == "thrust line" for t in targets) else ()
    return CardPart(placed.card, answer, targets, cautions=_texts(facts, reader), notes=notes, step=placed.step)


def _elsewhere(needs: Needs, plan: PlanAnswer | None, reader: Reader) -> Iterator[Unplaced]:
    """The cards that run without a place, or have a drive; by a plan, those of them that it does not leave out."""
    for card in needs.cards:
        steps = () if plan is None else steps_without_place(plan, card)
        if steps or (plan is None and (not card.needs_space or "drive" in card.method)):
            facts = frozenset({Fact.ROAD_TEST}) if "drive" in card.method else frozenset()
            yield Unplaced(card, cautions=_texts(facts | sensor_facts([card.sensor]), reader), steps=steps)


def _nowhere(card: Procedure, places: Places, reader: Reader) -> Unplaced:
    """Why a card fits nowhere, what would make room, and whether the shop can send it out."""
    said: list[str] = []
    for answer in places.of(card):
        said.append(not_here(answer.support, what_stops_it(answer, reader), reader))
        said.extend(remedies_words(places.remedies_for(answer), answer, reader))
    said.extend(sent_out(*one.minutes_s, reader) for one in places.site.sent_out if card.name in one.procedures)
    return Unplaced(card, tuple(dict.fromkeys(said)))


def _general_cautions(needs: Needs, reader: Reader) -> tuple[str, ...]:
    """What holds for the whole job; the others stand where they belong."""
    facts = {Fact.CAR_PUSHED} if needs.job.drivable != "yes" else set()
    local = {c.code for c in cautions_for(_AT_THE_STANCE | _AT_THE_CARD | {Fact.ROAD_TEST})[:-1]}
    pushed = [c for c in cautions_for(frozenset(facts))[:-1] if c.code not in local]
    own = (c for c in needs.basis.cautions if c.code not in local)
    return tuple(reader.reasons(c.reason for c in (*pushed, *own)))


def _texts(facts: frozenset[Fact], reader: Reader) -> tuple[str, ...]:
    """The cautions that these facts call for, without the one that stands on every page."""
    return tuple(reader.reasons(c.reason for c in cautions_for(facts)[:-1]))


def _source(card: Procedure) -> CardSource:
    source = card.source
    return CardSource(card.key, source.title, source.edition, source.read_on, source.status)
