"""What goes onto a job's sheet, as values: each stance with its cards, what has no place, and what it all rests on."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import evolve, frozen

from standtrue.aim.alignment import LimitCheck
from standtrue.aim.chalk import ChalkLine
from standtrue.aim.layout import TargetLayout
from standtrue.aim.planning import Planned
from standtrue.model.basis import Basis
from standtrue.model.cautions import Caution
from standtrue.model.fits import Fits
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason
from standtrue.model.setup import Setup
from standtrue.model.site import SentOut
from standtrue.place.change.remedies import Remedies
from standtrue.place.question.answer import Answer
from standtrue.work.aim.aiming import MeasuredAnswer
from standtrue.work.needs.jobs import Needs
from standtrue.work.plan.answer import PlanAnswer


@frozen(eq=False)
class CardPart:
    """One card at a stance: `answer` is its own, `targets` how to lay each target out, `readings` the reading plan.

    `step` is its step in the order of work, where the sheet has one. `thrust_rad` is the thrust line's heading in the
    vehicle frame, `chalk` are the lines to snap.
    """

    card: Procedure
    answer: Answer
    targets: tuple[TargetLayout, ...]
    readings: tuple[Planned, ...] = ()
    setup: str = ""
    cautions: tuple[Caution, ...] = ()
    notes: tuple[Reason, ...] = ()
    step: int | None = None
    chalk: tuple[ChalkLine, ...] = ()
    thrust_rad: float = 0.0


@frozen(eq=False)
class StancePart:
    """One stance and the cards that run there, one after another; `answer` holds all of them together.

    `place` is the number of the place in the order of work, where the sheet has one.
    """

    answer: Answer
    cards: tuple[CardPart, ...]
    cautions: tuple[Caution, ...] = ()
    place: int | None = None


@frozen(eq=False)
class Elsewhere:
    """A card that runs without a stance (a drive, a scan tool alone), and its steps in the order of work."""

    card: Procedure
    cautions: tuple[Caution, ...] = ()
    steps: tuple[int, ...] = ()


@frozen(eq=False)
class Nowhere:
    """A card that fits nowhere: each answer with what would make room, and where the shop can send its work."""

    card: Procedure
    misses: tuple[tuple[Answer, Remedies], ...]
    sent_out: tuple[SentOut, ...] = ()


@frozen(eq=False)
class SheetContent:
    """Everything on the sheet. With a `plan` every stance is by that, without one `needs.order` is all there is of it.

    `differing` tells the set-ups that have the car elsewhere than the plan. `cautions` hold for the whole job,
    `order_cautions` for the order of work; the others stand at their stance or card, and `basis` has them all.
    `measured` are the job's set-ups that have readings.
    """

    needs: Needs
    limits: tuple[LimitCheck, ...]
    stances: tuple[StancePart, ...]
    elsewhere: tuple[Elsewhere, ...]
    nowhere: tuple[Nowhere, ...]
    plan: PlanAnswer | None
    differing: tuple[Reason, ...]
    cautions: tuple[Caution, ...]
    order_cautions: tuple[Caution, ...]
    basis: Basis
    measured: tuple[tuple[Setup, MeasuredAnswer], ...] = ()


def together(answers: Sequence[Answer]) -> Answer:
    """One answer for several cards that run one after another at one place."""
    first = answers[0]
    claims = {(c.ref, c.role, c.outline, c.top_m): c for a in answers for c in a.claims}
    touches = sorted({t for a in answers for t in a.touches}, key=lambda t: (t.margin_m, t.zone, t.thing))
    least = min((a.margin_m for a in answers if a.margin_m is not None), default=None)
    return evolve(
        first,
        cards=tuple(c for a in answers for c in a.cards),
        variants=tuple(v for a in answers for v in a.variants or (None,) * len(a.cards)),
        claims=tuple(c for c in claims.values() if c.role != "exit" or c in first.claims),
        fits=Fits.of(all(a.fits is Fits.YES for a in answers)),
        margin_m=least,
        touches=tuple(touches),
        in_view=tuple(dict.fromkeys(said for a in answers for said in a.in_view)),
        because=tuple(dict.fromkeys(said for a in answers for said in a.because)),
    )
