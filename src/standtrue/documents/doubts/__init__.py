"""What can be read and cannot be meant: told with where it stands and how to mend it, and never refused."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from standtrue.documents.doubts.known import Known
from standtrue.documents.doubts.of_cards import doubt_card
from standtrue.documents.doubts.of_cars import PLAUSIBLE_M, doubt_car
from standtrue.documents.doubts.of_lifts import doubt_lift
from standtrue.documents.doubts.of_orders import doubt_job, doubt_mix, doubt_study
from standtrue.documents.doubts.of_readings import doubt_setup, doubt_survey
from standtrue.documents.doubts.of_sites import doubt_site
from standtrue.documents.parts import Tell
from standtrue.documents.reading import Document, Report
from standtrue.model.basics import Fault

__all__ = ["PLAUSIBLE_M", "Known", "doubts_of"]

_DOUBTS: dict[str, Callable[[Any, Known, Tell], None]] = {
    "site": doubt_site,
    "lift": doubt_lift,
    "vehicle": doubt_car,
    "procedure": doubt_card,
    "job": doubt_job,
    "mix": doubt_mix,
    "study": doubt_study,
    "survey": doubt_survey,
    "setup": doubt_setup,
}


def doubts_of(document: Document, known: Known) -> tuple[Fault, ...]:
    """What cannot be meant in a document without faults; nothing of one that has some."""
    if document.form is None or document.mark is None or document.mark.kind not in _DOUBTS:
        return ()
    report = Report(document.file, document.content)
    _DOUBTS[document.mark.kind](document.form, known.of(document.content), report)
    return report.faults
