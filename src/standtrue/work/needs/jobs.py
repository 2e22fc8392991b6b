"""A repair order answered: what it calls for and why, and where in the shop the car can stand for each."""

from __future__ import annotations

from attrs import evolve, frozen

from standtrue.model.basics import SUPPORT_CLASSES, DocumentMark
from standtrue.model.cautions import CAUTIONS, Caution, propulsion_facts
from standtrue.model.fits import Fits
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Note
from standtrue.model.shop import Shop
from standtrue.model.vehicle import Vehicle
from standtrue.needs import NeedsAnswer, WorkStep, default_rules, find_needs, order_of_work
from standtrue.place.question.answer import Answer
from standtrue.work.place.places import Places, Progress, find_places
from standtrue.work.used import card_facts, cautions, marks_of


@frozen(eq=False)
class Needs:
    """What one job calls for, the order of work, and what the answer rests on."""

    job: Job
    vehicle: Vehicle
    answer: NeedsAnswer
    cards: tuple[Procedure, ...]
    order: tuple[WorkStep, ...]
    marks: tuple[DocumentMark, ...]
    warnings: tuple[Note, ...]
    cautions: tuple[Caution, ...]

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)


@frozen(eq=False)
class JobAnswer:
    """The needs of a job, and the places for their cards."""

    needs: Needs
    places: Places

    @property
    def marks(self) -> tuple[DocumentMark, ...]:
        return tuple(dict.fromkeys([*self.needs.marks, *self.places.marks]))

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)

    @property
    def warnings(self) -> tuple[Note, ...]:
        return tuple(dict.fromkeys([*self.needs.warnings, *self.places.warnings]))

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions of both parts, in the order of the table."""
        return tuple(c for c in CAUTIONS if c in self.needs.cautions or c in self.places.cautions)

    def best(self, card: Procedure) -> Answer | None:
        """The answer to show first for a card: one that fits, the widest margin first; else the first there is."""
        answers = self.places.of(card)
        fitting = [a for a in answers if a.fits is Fits.YES]
        if fitting:
            return max(fitting, key=lambda a: a.margin_m or 0.0)
        return answers[0] if answers else None


def find_job_needs(folder: Shop, job: Job) -> Needs:
    """What the job calls for, by the folder's rules, or by the default rules if it has none."""
    vehicle = folder.vehicles[job.vehicle]
    rules = tuple(folder.rules.values()) or (default_rules(),)
    answer = find_needs(job, vehicle, folder.procedures, rules)
    keys = {key for need in answer.needs for key in need.chain if not need.dropped}
    cards = tuple(c for c in folder.procedures if c.key in keys)
    marks = marks_of(
        folder, vehicles=[vehicle], cards=cards, rules=[r.name for r in folder.rules.values()], jobs=[job.name]
    )
    answer = evolve(answer, demonstration=any(m.demonstration for m in marks))
    warnings = [*folder.warnings, *answer.warnings]
    if not folder.rules:
        warnings.append("the folder holds no rules: the default rules (common practice) were used")
    return Needs(
        job,
        vehicle,
        answer,
        cards,
        order_of_work(answer, job),
        marks,
        tuple(dict.fromkeys(warnings)),
        cautions([card_facts(cards), propulsion_facts(vehicle.propulsion)], marks),
    )


def answer_job(folder: Shop, job: Job, progress: Progress | None = None) -> JobAnswer:
    """The job's needs, and for every card that needs a place, where the car can stand for it."""
    needs = find_job_needs(folder, job)
    cards = [c for c in needs.cards if c.needs_space]
    places = find_places(
        folder, folder.sites[job.site], needs.vehicle, cards, SUPPORT_CLASSES, amounts=False, progress=progress
    )
    return JobAnswer(needs, places)
