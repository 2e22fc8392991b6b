"""What a job calls for, as a terminal shows it."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.model.job import Decision
from standtrue.needs import Need, NeedsAnswer, OpenQuestion, sensor_ref
from standtrue.show.words.blocks import Block, Lines, Rows, Table, Told
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.needs.jobs import Needs


def needs_told(needs: Needs, reader: Reader) -> Told:
    """What must be calibrated, what somebody must look at first, what is open; a line each; at length also why."""
    found = needs.answer
    kept = [need for need in found.needs if not need.dropped]
    stand = [*card_lines(needs, reader), *standing_words(found, reader), *reader.reasons(found.open_points)]
    stand += [dropped_words(n, reader) for n in found.needs if n.dropped and n not in found.dropped]
    lines = []
    if required := tuple(need.ref for need in kept if need.how == "required"):
        lines.append(reader.say("Must be calibrated: {sensors}.", sensors=required))
    if look := tuple(need.ref for need in kept if need.how != "required"):
        lines.append(reader.say("Look first whether it must be: {sensors}.", sensors=look))
    if lacking := tuple(need.ref for need in kept if not need.chain):
        lines.append(reader.say("No card yet, so get the maker's procedure: {sensors}.", sensors=lacking))
    if not kept:
        lines.append(reader.say("Nothing must be calibrated."))
    columns = ("", reader.say("sensor"), reader.say("how"), reader.say("card"))
    rows = Rows(columns, tuple(_row(need, reader) for need in found.needs))
    first = (*((Lines(tuple(stand)),) if stand else ()), Lines(tuple(lines), _title(needs, reader)))
    return Told(first, (rows,) if found.needs else (), tuple(needs_blocks(needs, reader)))


def needs_blocks(needs: Needs, reader: Reader) -> Iterator[Block]:
    """What is open and what was dropped; what must be calibrated, why, what comes first, and the order of work."""
    if first := (
        *card_lines(needs, reader),
        *standing_words(needs.answer, reader),
        *reader.reasons(needs.answer.open_points),
    ):
        yield Lines(first)
    yield Table(
        _title(needs, reader),
        ("", reader.say("sensor"), reader.say("how"), reader.say("card")),
        tuple(_row(need, reader) for need in needs.answer.needs),
    )
    yield Lines((), reader.say("Why, and what comes first"))
    for need in needs.answer.needs:
        yield Lines((f"{need.order or '-':>3}  {reader.write(need.ref)}",))
        yield Lines(tuple(_lines(need, reader)), indent=5)
    absent = [sensor_ref(sensor.sensor, sensor.side) for sensor in needs.answer.not_fitted]
    if absent:
        said = (reader.say("Not fitted on this car, so not needed: {sensor}", sensor=sensor) for sensor in absent)
        yield Lines(tuple(said))
    yield Table(
        reader.say("Order of work"),
        ("", reader.say("stage"), reader.say("what")),
        tuple((str(step.order), reader.term(step.stage), reader.reason(step.what)) for step in needs.order),
    )


def _title(needs: Needs, reader: Reader) -> str:
    return reader.say("What must be calibrated: {job} ({car})", job=needs.job.name, car=needs.vehicle.name)


def card_lines(needs: Needs, reader: Reader) -> tuple[str, ...]:
    """What every later answer tells of the cards, a line each: what changed since the plan, what cannot be used."""
    return tuple(as_sentence(said) for said in reader.reasons(needs.of_cards))


def standing_words(answer: NeedsAnswer, reader: Reader) -> Iterator[str]:
    """What every later answer tells of the needs, a line each: what is open, and what is required but dropped."""
    yield from (open_words(question, reader) for question in answer.open_questions)
    yield from (dropped_words(need, reader) for need in answer.dropped)


def open_words(question: OpenQuestion, reader: Reader) -> str:
    """An event that no rule knows and nobody has decided."""
    return reader.say("Open question: {what}", what=question.reason)


def dropped_words(need: Need, reader: Reader) -> str:
    """A calibration that a person decided against: by whom, when and why. The need must have been dropped."""
    decision = need.overruled
    assert decision is not None
    by, because = signed(decision, reader), decision.because
    if need.how == "required":
        return reader.say(
            "Required, but dropped by {by}: {sensor} ({because})", by=by, sensor=need.ref, because=because
        )
    return reader.say("Dropped by {by}: {sensor} ({because})", by=by, sensor=need.ref, because=because)


def signed(decision: Decision, reader: Reader) -> str:
    """Who took a decision, and when."""
    if not decision.on:
        return reader.say("{by}, no date given", by=decision.by)
    return reader.say("{by} on {day}", by=decision.by, day=decision.on)


def _row(need: Need, reader: Reader) -> tuple[str, ...]:
    how = reader.term("dropped" if need.dropped else "look first" if need.how == "conditional" else need.how)
    chain = need.chain
    card = reader.say("no card") if not chain else chain[0]
    for later in chain[1:]:
        card = reader.say("{card} then {later}", card=card, later=later)
    return str(need.order or "-"), reader.write(need.ref), how, card


def _lines(need: Need, reader: Reader) -> Iterator[str]:
    yield from reader.reasons(need.because)
    decision = need.overruled
    if decision is not None and need.dropped:
        yield reader.say("dropped by {by}: {because}", by=signed(decision, reader), because=decision.because)
    elif decision is not None:
        yield reader.say("kept by {by}: {because}", by=signed(decision, reader), because=decision.because)
    if need.before:
        yield reader.say("first: {before}", before=need.before)
