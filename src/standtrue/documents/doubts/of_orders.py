"""What cannot be meant of an order, a car mix, a study."""

from __future__ import annotations

import difflib
import math

from standtrue.documents.doubts.known import NEARLY, Known, Size, tell_sizes
from standtrue.documents.job import JobForm
from standtrue.documents.mix import MixForm
from standtrue.documents.parts import Tell
from standtrue.documents.study import StudyForm
from standtrue.model.reason import Number, because
from standtrue.needs.words import same

VIN_SIGNS = 17
"""49 CFR 565.13: a vehicle identification number has 17 signs since model year 1981."""

MOST_A_YEAR = 20_000.0
"""Orders of one kind: eighty on each working day. Common practice, no source."""


def doubt_job(form: JobForm, known: Known, tell: Tell) -> None:
    """A repair order."""
    for i, event in enumerate(form.events):
        if any(same(event.event, one) for one in known.events):
            continue
        near = difflib.get_close_matches(event.event.lower(), known.events, n=1, cutoff=NEARLY)
        if near:
            remedy = because("did-you-mean", near=near[0])
            tell(("events", i, "event"), "event-unknown", because("event-nearly-known"), remedy)
    if not (form.events or form.work or form.decisions):
        tell(("events",), "order-says-nothing", because("order-says-nothing"), because("write-what-was-done"))
    if form.vin and len(form.vin) != VIN_SIGNS:
        what, remedy = because("vin-length", count=len(form.vin), asked=VIN_SIGNS), because("look-at-vin")
        tell(("vin",), "vin-length", what, remedy)


def doubt_mix(form: MixForm, _known: Known, tell: Tell) -> None:
    """A car mix: parts of one, of a hundred, or cars counted."""
    shares = [entry.share for entry in form.vehicles]
    total = math.fsum(shares)
    if not (all(share.is_integer() for share in shares) or abs(total - 1.0) < 0.005 or abs(total - 100.0) < 0.5):
        what = because("shares-not-whole", total=Number(total, 2))
        tell(("vehicles",), "shares-not-whole", what, because("shares-add-up-to-one"))


def doubt_study(form: StudyForm, _known: Known, tell: Tell) -> None:
    """A study."""
    for i, work in enumerate(form.work):
        size = Size(("work", i, "per_year"), "number of orders a year", Number(work.per_year), 0.0, MOST_A_YEAR)
        tell_sizes([size], tell, False)
