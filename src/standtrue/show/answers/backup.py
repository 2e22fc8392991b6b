"""The answers of `backup`, `restore`, `move` and `remove`: what was copied, and what was taken out."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.show.answers.exchange import SavedVersion, of_saved
from standtrue.show.answers.parts import Coded, Shape, coded, program
from standtrue.show.answers.records import HeadShape, of_head
from standtrue.show.words.reader import ENGLISH
from standtrue.work.backup.copies import Copied
from standtrue.work.backup.removing import Removed, Rule


class CopyAnswer(Shape):
    program: str
    what: Literal["backup", "restore", "move"]
    source: str = Field(description="Without a password.")
    target: str
    head: HeadShape = Field(description="Of the log that was copied.")
    files: int
    versions: int
    whole: bool
    wrong: list[str] = Field(description="Of what was copied; a copy has it too.")
    wrong_coded: list[Coded]


class RuleAnswer(Shape):
    """The shop's rule: how long a job is kept at least."""

    program: str
    years: float
    because: str
    by: str


class DocumentTakenOut(Shape):
    kind: str
    name: str
    version: int


class RemovalAnswer(Shape):
    program: str
    job: str
    because: str
    by: str
    years: float = Field(description="The rule that allowed it: for how many years the job was kept at least.")
    entries: list[int] = Field(description="Whose content was taken out: numbers in the job, from 0.")
    files: list[str] = Field(description="Digests of the files that were taken out.")
    documents: list[DocumentTakenOut]
    saved: list[SavedVersion] = Field(
        default=[], description="The versions that say of its documents that they were removed."
    )
    written_over: bool = Field(
        default=False,
        description="Whether the store's files were made anew without it; in the entry itself: not yet.",
    )
    server: bool = Field(description="Of a server: its own log holds what was taken out until it is recycled.")


def of_copied(copied: Copied) -> CopyAnswer:
    """What was copied."""
    return CopyAnswer.model_validate(
        {
            "program": program(),
            "what": copied.what,
            "source": copied.source,
            "target": copied.target,
            "head": of_head(copied.head),
            "files": copied.files,
            "versions": copied.versions,
            "whole": not copied.wrong,
            "wrong": ENGLISH.reasons(copied.wrong),
            "wrong_coded": coded(copied.wrong),
        }
    )


def of_rule(rule: Rule) -> RuleAnswer:
    """The rule as it was set."""
    return RuleAnswer(program=program(), years=rule.years, because=rule.because, by=rule.by)


def of_removed(removed: Removed) -> RemovalAnswer:
    """What was taken out."""
    taken = removed.taken
    return RemovalAnswer(
        program=program(),
        job=removed.job,
        because=removed.because,
        by=removed.by,
        years=removed.years,
        entries=list(taken.entries),
        files=list(taken.files),
        documents=[DocumentTakenOut(kind=k, name=n, version=v) for k, n, v in taken.documents],
        saved=[of_saved(one) for one in removed.saved],
        written_over=removed.written_over,
        server=removed.server,
    )
