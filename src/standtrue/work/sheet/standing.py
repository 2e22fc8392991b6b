"""Where the car stands for each card of a job's sheet: by the plan, by the card's set-up, or at the fewest places."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from attrs import frozen

from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.basis import Basis
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Angle, Length, Reason, Ref, Term, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import from_datum
from standtrue.place.question.answer import Answer
from standtrue.work.aim.restanding import planned_stance
from standtrue.work.needs.jobs import Needs
from standtrue.work.place.places import Places, find_places
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.sheet.content import Nowhere
from standtrue.work.sheet.planned import agrees, at_plan, planned_cards


@frozen(eq=False)
class Placed:
    """A card with the stance that it gets, and the set-up that says so, if one does."""

    card: Procedure
    answer: Answer
    setup: Setup | None = None
    notes: tuple[Reason, ...] = ()
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
class Stood:
    """Every card that has a stance, in the order of work; those that have none; and what must be said of it.

    `differing` tells the set-ups that have the car elsewhere than the plan.
    """

    placed: tuple[Placed, ...]
    nowhere: tuple[Nowhere, ...] = ()
    warnings: tuple[Reason, ...] = ()
    limits: tuple[Reason, ...] = ()
    differing: tuple[Reason, ...] = ()


def setups_of(shop: Shop, job: Job, cards: Iterable[Procedure]) -> dict[str, Setup]:
    """The job's set-ups by the key of their card; of several for one card the first by name."""
    found: dict[str, Setup] = {}
    for name in setup_names(shop, job):
        setup = shop.setups[name]
        named = [c for c in cards if setup.procedure in (c.key, c.name)]
        if len(named) == 1:
            found.setdefault(named[0].key, setup)
    return found


def setup_names(shop: Shop, job: Job) -> list[str]:
    """The job's set-ups by name. Those of other jobs are not touched."""
    return sorted(name for name, setup in shop.written.setups.items() if setup.job == job.name)


def by_plan(plan: PlanAnswer, cards: Sequence[Procedure], setups: Mapping[str, Setup]) -> Stood:
    """Each card where the plan has it run: a set-up keeps its instruments and alignment, and takes that stance."""
    grounds = Grounds(plan.site)
    placed: list[Placed] = []
    differing: list[Reason] = []
    for found in planned_cards(plan, cards):
        setup = setups.get(found.card.key)
        moved = None if setup is None else at_plan(setup, found)
        notes: tuple[Reason, ...] = ()
        if setup is not None and moved is not None:
            own = planned_stance(grounds, plan.needs.vehicle, found.card, setup)
            if not agrees(setup, moved):
                notes = (_has_car_elsewhere(setup, own, moved),)
                differing.append(because("set-up-not-at-step", setup=Ref("setup", setup.name), step=found.step))
        placed.append(Placed(found.card, found.answer, moved, notes, found.step, found.place))
    warnings = _but_in_view(plan.basis, (p.answer for p in placed))
    return Stood(tuple(placed), (), warnings, plan.basis.limits, tuple(differing))


def _has_car_elsewhere(setup: Setup, own: Answer, planned: Setup) -> Reason:
    """That a set-up has the car elsewhere than the plan, and its stance by the plan; `own` is its own one measured."""
    datum, at = own.ground.site.datum, planned.place
    right, up = from_datum((setup.place.x_m, setup.place.y_m), datum)
    return because(
        "set-up-elsewhere" if own.fits is Fits.YES else "set-up-elsewhere-unfit",
        setup=Ref("setup", setup.name),
        right=Length(right),
        up=Length(up),
        faces=Angle(setup.place.heading_rad - datum.direction_rad),
        x=Length(at.x_m),
        y=Length(at.y_m),
        heading=Angle(at.heading_rad),
        on=planned.on,
        height=Length(planned.height_m),
        variant=planned.variant,
    )


def by_search(
    shop: Shop, needs: Needs, cards: Sequence[Procedure], setups: Mapping[str, Setup], asking: Asking
) -> Stood:
    """Each card where its set-up has it, or at one of the fewest places that serve the others."""
    site, vehicle = shop.sites[needs.job.site], needs.vehicle
    free = [c for c in cards if c.key not in setups]
    places = find_places(shop, site, vehicle, free, SUPPORT_CLASSES, amounts=False, asking=asking)
    turn = {key: need.order for need in needs.answer.needs for key in need.chain}
    grounds = Grounds(site)
    fixed = [c for c in cards if c.key in setups]
    placed = [Placed(c, planned_stance(grounds, vehicle, c, setups[c.key]), setups[c.key]) for c in fixed]
    placed += _shared(places)
    return Stood(
        tuple(sorted(placed, key=lambda p: (turn[p.card.key], p.card.key))),
        tuple(_nowhere(c, places) for c in places.shared.unserved),
        _but_in_view(places.basis, places.answers),
        places.basis.limits,
    )


def _shared(places: Places) -> list[Placed]:
    cards = [use.card for shared in places.shared.places for use in shared.uses]
    return [Placed(card, answer.stands) for card in cards if (answer := places.recommended(card)) is not None]


def _nowhere(card: Procedure, places: Places) -> Nowhere:
    misses = tuple((answer, places.remedies_for(answer)) for answer in places.of(card))
    return Nowhere(card, misses, tuple(one for one in places.site.sent_out if set(card.names) & set(one.procedures)))


def _but_in_view(basis: Basis, answers: Iterable[Answer]) -> tuple[Reason, ...]:
    """What must be said of the places, but for what stands in view: each stance says that itself."""
    in_view = {
        because("seen-at-stance", card=a.name, support=Term(a.support), seen=seen)
        for a in answers
        for seen in a.stands.in_view
    }
    return tuple(note for note in basis.warnings if note not in in_view)
