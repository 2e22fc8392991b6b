"""A repair order answered: what it calls for and why, and where in the shop the car can stand for each."""

from __future__ import annotations

from attrs import evolve, frozen

from standtrue.documents import default_rules
from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.basis import Basis, basis_of
from standtrue.model.cautions import propulsion_facts
from standtrue.model.fits import Fits
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, because
from standtrue.model.shop import Shop
from standtrue.model.vehicle import Vehicle
from standtrue.needs import NeedsAnswer, WorkStep, find_needs, only_required, order_of_work
from standtrue.place.question.answer import Answer
from standtrue.work.card_notes import card_notes, changed_since, check_unmixed, standing_of
from standtrue.work.caution_facts import card_facts
from standtrue.work.place.places import Places, find_places


@frozen(eq=False)
class Needs:
    """What one job calls for, the order of work, and what the answer rests on."""

    job: Job
    vehicle: Vehicle
    answer: NeedsAnswer
    cards: tuple[Procedure, ...]
    order: tuple[WorkStep, ...]
    basis: Basis
    of_cards: tuple[Reason, ...] = ()
    """What every later answer tells of the cards: what changed since the job was planned, what cannot be used."""
    time_zone: str = ""
    """Of the site, for whoever tells later when something was kept; "" where it names none."""


@frozen(eq=False)
class JobAnswer:
    """The needs of a job, and the places for their cards."""

    needs: Needs
    places: Places

    @property
    def basis(self) -> Basis:
        """What both parts rest on."""
        return self.needs.basis.joined(self.places.basis)

    def best(self, card: Procedure) -> Answer | None:
        """The answer to show first for a card: at the place that is recommended, in the state that its table names.

        Where there is none, as the search was stopped, one that fits, the widest margin first; else the first there is.
        """
        answers = self.places.of(card)
        if (recommended := self.places.recommended(card)) is not None:
            return recommended
        fitting = [a for a in answers if a.fits is Fits.YES]
        if fitting:
            return max(fitting, key=lambda a: a.stands.margin_m or 0.0)
        return answers[0] if answers else None


def find_job_needs(shop: Shop, job: Job) -> Needs:
    """What the job calls for, by the shop's rules, or by the default rules if it has none.

    Raises UnansweredError where invented cards would serve a real job, or the other way round.
    """
    vehicle = shop.vehicles[job.vehicle]
    rules = tuple(shop.rules.values()) or (default_rules(),)
    answer = find_needs(job, vehicle, shop.procedures, rules)
    keys = {key for need in answer.needs for key in need.chain if not need.dropped}
    cards = shop.take(c for c in shop.procedures if c.key in keys)
    check_unmixed(job, cards)
    of_cards = (*changed_since(shop, job, cards, every=True), *filter(None, map(standing_of, cards)))
    warnings: list[Reason] = [*shop.warnings, *of_cards, *card_notes(cards), *answer.warnings]
    if not shop.rules:
        warnings.append(because("default-rules-used"))
    facts = card_facts(cards) | propulsion_facts(vehicle.propulsion)
    basis = basis_of(shop.touched, facts, warnings)
    answer = evolve(answer, demonstration=basis.demonstration)
    # A clock changes nothing of what is called for: the site is not looked up for it.
    zone = shop.written.sites[job.site].time_zone if job.site in shop.written.sites else ""
    return Needs(job, vehicle, answer, cards, order_of_work(answer, job), basis, tuple(dict.fromkeys(of_cards)), zone)


def required_alone(needs: Needs) -> Needs:
    """The same job if nothing conditional had to be done."""
    answer = only_required(needs.answer, needs.job)
    return evolve(needs, answer=answer, order=order_of_work(answer, needs.job))


def answer_job(shop: Shop, job: Job, asking: Asking = Asking()) -> JobAnswer:
    """The job's needs, and for every card that needs a place, where the car can stand for it."""
    needs = find_job_needs(shop, job)
    cards = [c for c in needs.cards if c.needs_space]
    site = shop.sites[job.site]
    return JobAnswer(
        needs, find_places(shop, site, needs.vehicle, cards, SUPPORT_CLASSES, amounts=False, asking=asking)
    )
