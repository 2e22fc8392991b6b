"""The answers of `verify`, `records` and `anchor`: whether the record is whole, what is in it, and its head."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import Field

from standtrue.seal import Head, Kept, head_text
from standtrue.show.answers.parts import Coded, Shape, coded, program
from standtrue.show.words.reader import ENGLISH
from standtrue.work.records.exporting import Handed
from standtrue.work.records.searching import Looked
from standtrue.work.records.verifying import Verified


class HeadShape(Shape):
    size: int = Field(description="How many entries the log has.")
    root: str = Field(description="The log's Merkle root (RFC 9162), in hexadecimal.")
    at: str = Field(description='When the last of them was kept (UTC); "" for none.')


class AnchorAnswer(HeadShape):
    line: str = Field(description="The same as one line, to print and hand out.")


class AgainstShape(HeadShape):
    holds: bool = Field(description="Whether the log still begins with it.")


class VerifyAnswer(Shape):
    program: str
    job: str | None = Field(description="Of a record that was handed out: whose it is; null for a store.")
    whole: bool
    head: HeadShape
    files: int = Field(description="How many files the entries name.")
    versions: int = Field(description="How many versions of documents are there.")
    removed: int = Field(0, description="Of how many entries what they held was taken out by the shop's rule.")
    wrong: list[str]
    wrong_coded: list[Coded]
    against: list[AgainstShape]


class FoundShape(Shape):
    job: str
    entries: int
    vehicle: str
    plate: str
    order_number: str
    first_at: str
    last_at: str


class EntryShape(Shape):
    number: int = Field(description="In the job, from 0.")
    index: int = Field(description="In the shop's log, from 0.")
    kind: str
    shape: int = Field(description="The version of the shape of `content`.")
    who: str
    at: str
    program: str
    digest: str
    told: list[str] = Field(description="In words; empty where the content was removed.")


class HandedShape(Shape):
    file: str
    entries: int
    files: int
    head: HeadShape


class RecordsAnswer(Shape):
    program: str
    jobs: list[FoundShape] = Field(description="Those that were found, the last kept first.")
    entries: list[EntryShape] = Field(description="Of the job that was named.")
    handed_out: HandedShape | None


def of_head(head: Head) -> HeadShape:
    """The log's head."""
    return HeadShape(size=head.size, root=head.root.hex(), at=head.at)


def of_anchor(head: Head) -> AnchorAnswer:
    """The log's head, to hand out."""
    return AnchorAnswer(**dict(of_head(head)), line=head_text(head))


def of_verified(verified: Verified) -> VerifyAnswer:
    """Whether the record is whole."""
    return VerifyAnswer(
        program=program(),
        job=verified.job,
        whole=not verified.wrong,
        head=of_head(verified.head),
        files=verified.files,
        versions=verified.versions,
        removed=verified.removed,
        wrong=ENGLISH.reasons(verified.wrong),
        wrong_coded=coded(verified.wrong),
        against=[AgainstShape(**dict(of_head(one.head)), holds=one.holds) for one in verified.anchors],
    )


def of_looked(looked: Looked) -> RecordsAnswer:
    """The jobs that were found."""
    jobs = [
        FoundShape(
            job=one.job,
            order_number=one.order_number,
            plate=one.plate,
            vehicle=one.vehicle,
            entries=one.entries,
            first_at=one.first_at,
            last_at=one.last_at,
        )
        for one in looked.found
    ]
    return RecordsAnswer(program=program(), jobs=jobs, entries=[], handed_out=None)


def of_job_record(kept: Sequence[tuple[Kept, Sequence[str]]], handed: Handed | None) -> RecordsAnswer:
    """One job's entries, each with what it says in words; and where it was written, if it was."""
    written = None
    if handed is not None:
        head = of_head(handed.head)
        written = HandedShape(file=str(handed.out), entries=handed.entries, files=handed.files, head=head)
    return RecordsAnswer(
        program=program(), jobs=[], entries=[_entry(one, told) for one, told in kept], handed_out=written
    )


def _entry(kept: Kept, told: Sequence[str]) -> EntryShape:
    one = kept.entry
    return EntryShape(
        number=one.number,
        index=one.index,
        kind=one.kind,
        shape=one.shape,
        who=one.who,
        at=one.at,
        program=one.program,
        digest=kept.digest.hex(),
        told=list(told),
    )
