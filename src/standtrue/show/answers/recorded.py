"""The record of one job made of its entries, and what is missing in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import frozen

from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.needs import sensor_ref
from standtrue.seal import Kept
from standtrue.show.answers.alignment import AlignmentAnswer
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.keep import KeepAnswer
from standtrue.show.answers.kept import read_again
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.needs import NeedsAnswer, NeedShape
from standtrue.show.answers.parts import AnswerShape, Shape, coded, program
from standtrue.show.answers.record import (
    AlignmentKept,
    BroughtKept,
    EntryLine,
    FloorKept,
    MeasuredKept,
    RecordAnswer,
    SignedKept,
    deciding,
    finished,
    is_dropped,
    measured_for,
)
from standtrue.show.answers.records import of_head
from standtrue.show.answers.sign import SignAnswer
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim.gate import May
from standtrue.work.records.gathering import JobRecord


@frozen
class _Read:
    line: EntryLine
    kept: Kept
    answer: Shape | None


def of_record(record: JobRecord) -> RecordAnswer:
    """The record of a job."""
    read = [_Read(_line(one), one, _answer(one)) for one in record.entries]
    needs = next((r.answer for r in reversed(read) if isinstance(r.answer, NeedsAnswer)), None)
    measured = [MeasuredKept(**dict(r.line), answer=r.answer) for r in read if isinstance(r.answer, MeasuredAnswer)]
    brought = [_brought(r.line, r.answer, record) for r in read if isinstance(r.answer, KeepAnswer)]
    signed = [
        SignedKept(**dict(r.line), answer=r.answer, entries_since=len(read) - r.line.number)
        for r in read
        if isinstance(r.answer, SignAnswer)
    ]
    missing = tuple(_missing(needs, deciding(measured), brought, signed, read))
    return RecordAnswer(
        program=program(),
        job=record.job,
        demonstration=any(r.answer.demonstration for r in read if isinstance(r.answer, AnswerShape)),
        needs=needs,
        measured=measured,
        alignments=[
            AlignmentKept(**dict(r.line), answer=r.answer) for r in read if isinstance(r.answer, AlignmentAnswer)
        ],
        floors=_floors(record.of_shop, needs, measured),
        brought=brought,
        signed=signed,
        entries=[r.line for r in read],
        missing=ENGLISH.reasons(missing),
        missing_coded=coded(missing),
        whole=not record.wrong,
        wrong=ENGLISH.reasons(record.wrong),
        wrong_coded=coded(record.wrong),
        digest=record.entries[-1].digest.hex(),
        head=of_head(record.head),
    )


def _floors(of_shop: Sequence[Kept], needs: NeedsAnswer | None, measured: Sequence[MeasuredKept]) -> list[FloorKept]:
    """Of each survey of the job's site what was last told of it."""
    sites = {one.answer.set_up.site for one in measured if one.answer.set_up is not None}
    sites |= set() if needs is None or needs.job is None else {needs.job.site}
    last: dict[str, FloorKept] = {}
    for kept in of_shop:
        answer = _answer(kept)
        if isinstance(answer, FloorAnswer) and sites & {d.name for d in answer.documents if d.kind == "site"}:
            last[answer.survey] = FloorKept(**dict(_line(kept)), answer=answer)
    return list(last.values())


def _line(kept: Kept) -> EntryLine:
    one = kept.entry
    return EntryLine(
        number=one.number + 1,
        kind=one.kind,
        who=one.who,
        at=one.at,
        program=one.program,
        digest=kept.digest.hex(),
        removed=kept.content is None,
    )


def _answer(kept: Kept) -> Shape | None:
    """What an entry holds; None where it was removed, is altered, or is of a newer release."""
    if kept.content is None or not kept.whole:
        return None
    try:
        return read_again(kept.entry.kind, kept.entry.shape, kept.content)
    except ValueError:
        return None


def _brought(line: EntryLine, answer: KeepAnswer, record: JobRecord) -> BroughtKept:
    files = {file.digest: record.files[file.digest].value for file in answer.files if file.digest in record.files}
    return BroughtKept(**dict(line), answer=answer, files=files)


def _missing(
    needs: NeedsAnswer | None,
    measured: Sequence[MeasuredKept],
    brought: Sequence[BroughtKept],
    signed: Sequence[SignedKept],
    read: Sequence[_Read],
) -> Iterator[Reason]:
    """What was not looked at or not kept: what a reader might take for done."""
    if needs is None:
        yield because("record-no-needs")
    else:
        yield from _of_needs(needs, measured)
    for one in measured:
        if one.answer.gate.verdict is not May.YES:
            name = "" if one.answer.set_up is None else one.answer.set_up.name
            yield because("record-setup-not-accepted", setup=Ref("setup", name))
    kept = {one.answer.what for one in brought}
    written = {} if needs is None or needs.job is None else {s.when: s.findings for s in needs.job.scans}
    for when in ("before", "after"):
        if f"scan {when}" not in kept and not written.get(when):
            yield because(f"record-no-scan-{when}")
    if not signed:
        yield because("record-unsigned")
    elif since := signed[-1].entries_since:
        yield because("record-entries-since", count=since)
    unread = [r for r in read if r.answer is None]
    if removed := sum(r.line.removed for r in unread):
        yield because("record-removed", count=removed)
    if other := sum(not r.line.removed for r in unread):
        yield because("record-unread", count=other)


def _of_needs(needs: NeedsAnswer, measured: Sequence[MeasuredKept]) -> Iterator[Reason]:
    """Of the needs that nobody dropped: what was not looked at, not measured, not finished; sensors alike together."""
    for question in needs.open_questions:
        yield because("record-open-question", event=Term(question.event))
    for code in _LACKS:
        sensors = tuple(
            sensor_ref(n.sensor, n.side) for n in needs.needs if not is_dropped(n) and _lack(n, needs, measured) == code
        )
        if sensors:
            yield because(code, sensors=sensors)


_LACKS = ("record-nothing-kept", "record-not-finished", "record-not-looked-at")


def _lack(need: NeedShape, needs: NeedsAnswer, measured: Sequence[MeasuredKept]) -> str:
    """What a need lacks, as the code of its sentence; "" for nothing."""
    if need.how != "required":
        return "record-not-looked-at"
    if finished(need, needs) is not None:
        return ""
    return "record-not-finished" if measured_for(need, measured) else "record-nothing-kept"
