"""Sheets of the demonstration shop's jobs, made once for all tests."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from attrs import evolve
from paper_makers import Read, read

from kept_answers import kept
from standtrue.demo import MAIN_JOB, demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.draw.backends.pdf import PaperSize
from standtrue.model.basics import DocumentMark
from standtrue.model.procedure import Procedure
from standtrue.model.reader_units import Language, System
from standtrue.show.sheets.job.sheet import job_pdf
from standtrue.show.words.reader import Reader
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan
from standtrue.work.sheet.content import CardPart, SheetContent
from standtrue.work.sheet.job import find_job_sheet

MM = 72 / 25.4

READERS: tuple[tuple[PaperSize, System, Language], ...] = (
    ("letter", "us", "en"),
    ("a4", "metric", "en"),
    ("letter", "metric", "es"),
    ("a4", "us", "es"),
)


@cache
def shop() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


@cache
def plan(job: str = MAIN_JOB) -> PlanAnswer:
    return kept(find_plan)(shop().shop(), shop().jobs[job], alternatives=False)


@cache
def content(job: str = MAIN_JOB, *, planned: bool = True) -> SheetContent:
    return kept(find_job_sheet)(shop().shop(), shop().jobs[job], plan=plan(job) if planned else None)


def parts(made: SheetContent) -> list[CardPart]:
    return [part for stance in made.stances for part in stance.cards]


def printed(folder: Path, made: SheetContent, paper: PaperSize, units: System, language: Language = "en") -> Read:
    if made not in (content(), content("nib windshield")):
        return read(folder, job_pdf(made, paper, Reader(units, language)))
    return read(folder, _printed(made.needs.job.name, paper, units, language))


@cache
def _printed(job: str, paper: PaperSize, units: System, language: Language) -> bytes:
    return job_pdf(content(job), paper, Reader(units, language))


def with_names(made: SheetContent, added: str) -> SheetContent:
    """The same with this behind the names of its job, car, cards and documents."""

    def named(card: Procedure) -> Procedure:
        return evolve(card, name=card.name + added)

    needs = evolve(
        made.needs,
        job=evolve(made.needs.job, order_number=made.needs.job.order_number + added, plate="", vin=""),
        vehicle=evolve(made.needs.vehicle, name=made.needs.vehicle.name + added),
    )
    stances = tuple(
        evolve(
            stance, cards=tuple(evolve(p, card=named(p.card), setup=p.setup and p.setup + added) for p in stance.cards)
        )
        for stance in made.stances
    )
    marks = tuple(DocumentMark(m.kind, m.name + added, m.digest, m.demonstration) for m in made.basis.marks)
    return evolve(made, needs=needs, stances=stances, basis=evolve(made.basis, marks=marks))
