"""No job mixes invented documents with real ones: a demonstration card never serves a real car."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from standtrue.documents.default_rules import default_rules_digest
from standtrue.documents.job import JobForm
from standtrue.documents.parts import DocumentForm
from standtrue.documents.reading import Document, Report
from standtrue.documents.rules import RulesForm
from standtrue.documents.setup import SetupForm
from standtrue.documents.site import SiteForm
from standtrue.documents.survey import SurveyForm
from standtrue.model.basics import DocumentMark, Fault
from standtrue.model.reason import Reason, Ref, because

CODE = "demonstration-mixed"


def check_unmixed(documents: Sequence[Document], faults: Mapping[str, list[Fault]]) -> None:
    """All that a job names, and all that names it, is invented, or nothing is. What is in the minority is told, each
    document once. Which cards its needs call for is looked at where they are found."""
    told: set[tuple[str, str]] = set()
    for document in documents:
        if not isinstance(document.form, JobForm):
            continue
        together = [document, *_pulled_in(document.form, documents)]
        odd = odd_ones([d.mark for d in together if d.mark is not None])
        for other in together:
            if other.mark in odd and other.mark is not None and (other.mark.kind, other.mark.name) not in told:
                told.add((other.mark.kind, other.mark.name))
                report = Report(other.file, other.content)
                report(("demonstration",), CODE, *mixed(other.mark, document.form.name))
                faults[other.file].extend(report.faults)


def odd_ones(marks: Sequence[DocumentMark]) -> tuple[DocumentMark, ...]:
    """Of documents of which some are invented: the fewer, the invented or the real ones. None where all are alike."""
    invented = tuple(mark for mark in marks if mark.demonstration)
    real = tuple(mark for mark in marks if not mark.demonstration)
    return invented if len(invented) <= len(real) else real


def mixed(mark: DocumentMark, job: str) -> tuple[Reason, Reason]:
    """What is wrong with a document among others that it may not be mixed with, and how to mend it."""
    what = "invented-among-real" if mark.demonstration else "real-among-invented"
    remedy = "take-demonstration-out" if mark.demonstration else "mark-as-demonstration"
    return because(what, job=Ref("job", job)), because(remedy)


def _pulled_in(job: JobForm, documents: Iterable[Document]) -> Iterator[Document]:
    """What a job stands on: its site and the site's lifts and surveys, its car, the rules, its set-ups, their cards."""
    every = list(documents)
    site = _of("site", job.site, every)
    yield from site
    yield from _of("vehicle", job.vehicle.name, every)
    for one in site:
        if isinstance(one.form, SiteForm):
            for lift in one.form.lifts:
                yield from _of("lift", lift.type, every)
    for document in every:
        form = document.form
        if (isinstance(form, RulesForm) and not is_default(document.mark)) or _is_about(form, job):
            yield document
        if isinstance(form, SetupForm) and form.job == job.name:
            yield from _of("procedure", form.procedure.partition("/")[0], every)


def is_default(mark: DocumentMark | None) -> bool:
    """Whether rules are those that come with the program: they are common practice, neither invented nor a shop's."""
    return mark is not None and mark.digest == default_rules_digest()


def _is_about(form: DocumentForm | None, job: JobForm) -> bool:
    """Whether a document is a survey of a job's floor, or a set-up of the job."""
    return (isinstance(form, SurveyForm) and form.site == job.site) or (
        isinstance(form, SetupForm) and form.job == job.name
    )


def _of(kind: str, name: str | None, documents: Iterable[Document]) -> list[Document]:
    return [d for d in documents if d.mark is not None and d.mark.kind == kind and d.mark.name == name]
