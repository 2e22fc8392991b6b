"""The words of a job's record on paper: what a customer reads first, and the proof behind it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from standtrue.model.reason import Ref, Text
from standtrue.needs import sensor_ref
from standtrue.show.answers.keep import FileShape
from standtrue.show.answers.needs import NeedsAnswer, NeedShape
from standtrue.show.answers.record import (
    BroughtKept,
    EntryLine,
    MeasuredKept,
    RecordAnswer,
    finished,
    is_dropped,
    measured_for,
)
from standtrue.show.answers.uncoded import told_again
from standtrue.show.words.catalog import N_
from standtrue.show.words.kept import BROUGHT, kind_words
from standtrue.show.words.moments import moment
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.aim.gate import May

Row = tuple[str, ...]
MAY_MARKS: Mapping[May, str] = {May.YES: "yes", May.NO: "no", May.CANNOT_TELL: "open"}

_FOUND: Mapping[May, str] = {
    May.YES: N_("within the card's limits"),
    May.NO: N_("not within all that the card asks"),
    May.CANNOT_TELL: N_("cannot tell"),
}
_FILES: Mapping[str, str] = {
    "altered": N_("altered since it was kept"),
    "lost": N_("lost"),
    "removed": N_("removed by the shop's rule"),
}


def zone(record: RecordAnswer) -> str:
    """The time zone that the job's site named when its needs were last asked for; "" for none."""
    return "" if record.needs is None or record.needs.job is None else record.needs.job.time_zone


def title(record: RecordAnswer, reader: Reader) -> str:
    return reader.say("Record: {job}", job=record.job)


def head(record: RecordAnswer, reader: Reader) -> tuple[str, str]:
    """The shop, and whose car it is."""
    order = None if record.needs is None else record.needs.job
    if order is None:
        return record.job, ""
    said = [order.order_number or record.job, order.vehicle]
    said += [reader.say("plate {plate}", plate=order.plate)] if order.plate else []
    return order.site, ", ".join(said)


def answer(record: RecordAnswer, reader: Reader) -> list[str]:
    """What was done, in a few sentences: first what is wrong, if anything is."""
    return [*_wholeness(record, reader), *_counted(record, reader), *_lacking(record, reader)]


def _wholeness(record: RecordAnswer, reader: Reader) -> Iterator[str]:
    if record.whole:
        yield reader.say_n(
            "The record is whole: {n} entry, not altered.",
            "The record is whole: {n} entries, none altered.",
            len(record.entries),
        )
        return
    yield reader.say("The record is not whole. What stands here cannot be relied on.")
    yield from wrong_lines(record, reader)


def wrong_lines(record: RecordAnswer, reader: Reader) -> Iterator[str]:
    """What was altered, lost or moved."""
    yield from map(as_sentence, told_again(record.wrong_coded, record.wrong, reader))


def _counted(record: RecordAnswer, reader: Reader) -> Iterator[str]:
    if record.needs is None:
        return
    asked = [need for need in record.needs.needs if need.how == "required" and not is_dropped(need)]
    may = [n for n in asked if (m := measured_for(n, record.measured)) and all(_may(one) is May.YES for one in m)]
    done = [need for need in asked if finished(need, record.needs) is not None]
    yield reader.say_n("Required: {n} calibration.", "Required: {n} calibrations.", len(asked))
    yield reader.say(
        "As last measured, {n} of {all} stood within all that their cards ask.", n=len(may), all=len(asked)
    )
    yield reader.say("It is written down that {n} of {all} finished.", n=len(done), all=len(asked))


def _lacking(record: RecordAnswer, reader: Reader) -> Iterator[str]:
    if record.missing:
        yield reader.say_n(
            "{n} thing is missing, or was not looked at: see below.",
            "{n} things are missing, or were not looked at: see below.",
            len(record.missing),
        )


def _may(one: MeasuredKept) -> May:
    return one.answer.gate.verdict


def need_rows(record: RecordAnswer, reader: Reader) -> Iterator[Row]:
    """Each sensor: why, by which card, what was found, whether it finished. Shape and word of the verdict last."""
    if record.needs is None:
        return
    for need in record.needs.needs:
        sensor = reader.write(sensor_ref(need.sensor, need.side))
        why = next(iter(told_again(need.because_coded, need.because, reader)), "")
        yield capital(sensor), why, _finished(need, record.needs, reader), *_state(need, record, reader)


def why_rows(record: RecordAnswer, reader: Reader) -> Iterator[Row]:
    """Sensors with every reason that called for them; those that have the same stand together."""
    together: dict[str, list[Ref]] = {}
    for need in [] if record.needs is None else record.needs.needs:
        why = told_again(need.because_coded, need.because, reader)
        together.setdefault(" ".join(map(as_sentence, why)), []).append(sensor_ref(need.sensor, need.side))
    yield from ((capital(reader.all_of(sensors)), why) for why, sensors in together.items())


def in_short(record: RecordAnswer, reader: Reader) -> dict[str, list[str]]:
    """What stands on the customer's page where there is no room for each: how many, and where they stand."""
    missing, dropped = len(record.missing), sum(1 for _ in overruled_lines(record, reader))
    things = reader.say_n("{n} thing: it stands behind this page.", "{n} things: they stand behind this page.", missing)
    decisions = reader.say_n(
        "{n} decision: it stands behind this page.", "{n} decisions: they stand behind this page.", dropped
    )
    signed = [reader.say("{by}, {at}.", by=s.answer.by, at=moment(s.at, reader)) for s in record.signed[-1:]]
    return {"missing": [things] if missing else [], "decided": [decisions] if dropped else [], "signed": signed}


def code_told(reader: Reader) -> str:
    """What the QR code holds."""
    return reader.say("QR code of the job's name, the same 64 characters and the command that checks the file.")


def _state(need: NeedShape, record: RecordAnswer, reader: Reader) -> Row:
    if is_dropped(need):
        return "open", reader.say("dropped")
    if need.how != "required":
        return "open", reader.say("look first")
    found = [_may(one) for one in measured_for(need, record.measured)]
    if not found:
        return "open", reader.say("no set-up measured")
    worst = next((may for may in (May.NO, May.CANNOT_TELL) if may in found), May.YES)
    return MAY_MARKS[worst], reader.say(_FOUND[worst])


def _finished(need: NeedShape, needs: NeedsAnswer, reader: Reader) -> str:
    found = finished(need, needs)
    if found is None:
        return reader.say("nobody wrote so")
    at, by = moment(found[0], reader), found[1]
    return reader.say("{at}, {by}", at=at, by=by) if by else at


def overruled_lines(record: RecordAnswer, reader: Reader) -> Iterator[str]:
    """Who decided otherwise, why, and on which day."""
    for need in [] if record.needs is None else record.needs.needs:
        one = need.overruled
        if one is None:
            continue
        sensor, why = sensor_ref(need.sensor, need.side), Text(one.because, one.because_es)
        form = N_("{sensor}: dropped by {by}, {on}: {because}") if one.verdict == "drop" else (
            N_("{sensor}: kept by {by}, {on}: {because}")
        )  # fmt: skip
        on = one.on or reader.say("on a day not told")
        yield as_sentence(capital(reader.say(form, sensor=sensor, by=one.by, on=on, because=why)))


def missing_lines(record: RecordAnswer, reader: Reader) -> list[str]:
    return [capital(said) for said in told_again(record.missing_coded, record.missing, reader)]


def sign_lines(record: RecordAnswer, reader: Reader) -> Iterator[str]:
    """Who signed, when, and what that covers."""
    for one in record.signed:
        at = moment(one.at, reader)
        if one.answer.told_apart == "PIN":
            yield reader.say("{by}, {at}, told apart by a PIN.", by=one.answer.by, at=at)
        elif one.answer.told_apart == "name":
            yield reader.say("{by}, {at}, by name only.", by=one.answer.by, at=at)
        else:
            yield reader.say("{by}, {at}.", by=one.answer.by, at=at)
        for covered in one.answer.covers:
            sensor = sensor_ref(covered.sensor, covered.side)
            yield reader.say(
                "Covers {sensor}: card {card}, set-up {setup}.",
                sensor=sensor, card=covered.procedure, setup=covered.setup,
            )  # fmt: skip
        for out in one.answer.outside:
            sensor = sensor_ref(out.sensor, out.side)
            why = "; ".join(told_again(out.because_coded, out.because, reader))
            yield as_sentence(reader.say("Does not cover {sensor}: {why}", sensor=sensor, why=why))


def check_lines(reader: Reader) -> list[str]:
    """How anybody checks it."""
    return [
        reader.say(
            "This is the digest (SHA-256) of the job's last entry, which holds all before it. Ask the shop for the "
            "record's file ({command}): its page says how anybody's own few lines compute these 64 characters from it, "
            "without an account.",
            command="standtrue records",
        ),
        reader.say("All 64 the same: it is the record that this page was printed from. Any other: one was changed."),
    ]


def log_line(record: RecordAnswer, reader: Reader) -> str:
    """By which head of the shop's log the entries were proven."""
    root = record.head.root
    return reader.say(
        "The head of the shop's log when it was printed: {size} entries, {root}.",
        size=record.head.size,
        root=" ".join(root[i : i + 8] for i in range(0, len(root), 8)),
    )


# What was brought, and every entry


def scan_lines(record: RecordAnswer, reader: Reader) -> Iterator[str]:
    """Scans as the order has them, and the files that were kept of them."""
    for scan in [] if record.needs is None or record.needs.job is None else record.needs.job.scans:
        if scan.findings:
            when = reader.say(BROUGHT[f"scan {scan.when}"])
            yield reader.say(
                "{when}, as the order has it: {found}.", when=capital(when), found="; ".join(scan.findings)
            )
    for one in record.brought:
        if one.answer.what != "photo":
            yield from _brought(one, reader)


def _brought(one: BroughtKept, reader: Reader) -> Iterator[str]:
    what = capital(reader.say(BROUGHT[one.answer.what]))
    yield reader.say(
        "{what}, entry {number}, {at}, {who}.",
        what=what, number=one.number, at=moment(one.at, reader), who=who(one, reader),
    )  # fmt: skip
    yield from ([as_sentence(one.answer.text)] if one.answer.text else [])
    for file in one.answer.files:
        yield file_line(file, one, reader)


def file_line(file: FileShape, one: BroughtKept, reader: Reader, why: str = "") -> str:
    """A file by its name, size and digest; what became of it."""
    state = one.files.get(file.digest, "lost")
    said = why if state == "whole" else reader.say(_FILES[state])
    told = reader.say("{name}, {size} bytes, digest {digest}", name=file.name, size=file.size, digest=file.digest[:16])
    return f"{told}: {said}." if said else f"{told}."


def photo_caption(file: FileShape, one: BroughtKept, reader: Reader) -> str:
    """What stands under a photo; the program never says what is on it."""
    said = [one.answer.text] if one.answer.text else []
    return " ".join(
        (*map(as_sentence, said), reader.say("{name}, entry {number}, {at}, {who}.", name=file.name, number=one.number,
                                             at=moment(one.at, reader), who=who(one, reader)))
    )  # fmt: skip


def photo_unprinted(reader: Reader) -> str:
    return reader.say("not printed: no JPEG or PNG that fits here; it is in the record's file")


def entry_rows(record: RecordAnswer, reader: Reader) -> Iterator[Row]:
    """Every entry: number, when, what, who, the first digits of its digest."""
    for one in record.entries:
        what = kind_words(one.kind, reader)
        if one.removed:
            what = reader.say("{what}: removed by the shop's rule", what=what)
        digest = f"{one.digest[:4]} {one.digest[4:8]}"
        yield str(one.number), moment(one.at, reader), what, who(one, reader), digest


def who(one: EntryLine, reader: Reader) -> str:
    return one.who or reader.say("nobody named")


def capital(said: str) -> str:
    return said[:1].upper() + said[1:]
