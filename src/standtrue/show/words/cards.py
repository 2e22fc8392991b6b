"""Cards with their life, and what two of them say differently, as a terminal shows it."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.model.card_fields import Difference, FieldValue
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Angle, Length, Reason
from standtrue.show.answers.cards import CardAnswer
from standtrue.show.words.blocks import Block, Lines, Rows, Table, Told
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.cards import field_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.card.life import CardsAnswer
from standtrue.work.card_notes import standing_of

NEXT = {
    "draft": N_("finish it, then let a second person read it"),
    "transcribed": N_("a second person reads it"),
    "verified": N_("current"),
    "questioned": N_("a second person reads it again"),
    "superseded": N_("use the newer edition"),
    "demonstration": N_("only where all is demonstration"),
}
"""What comes next in the life of a card, by what it counts as."""


def card_told(answer: CardsAnswer, reader: Reader) -> Told:
    """What was asked of cards: the list of them, a comparison, what was written."""
    if answer.form:
        return Told((Lines((reader.say("A blank form for a second reading of {card}.", card=answer.cards[0].name),)),))
    if answer.differences is not None:
        return _compared(answer, reader)
    if answer.remembered:
        names = tuple(card.name for card in answer.cards)
        said = reader.say("{job} is planned with these editions now: {cards}.", job=answer.remembered, cards=names)
        return Told((Lines((said,)),), tuple(_list(answer, reader)))
    first = reader.say_n(
        "{n} card: {statuses}.", "{n} cards: {statuses}.", len(answer.cards), statuses=_counts(answer, reader)
    )
    return Told(
        (Lines((first,) if answer.cards else (reader.say("There is no card."),)),), tuple(_list(answer, reader))
    )


def card_line(answer: CardAnswer, reader: Reader) -> str:
    """What was written into cards, or into a job, as the record tells it."""
    names = tuple(card.name for card in answer.cards)
    if answer.remembered:
        return reader.say("{job} is planned with these editions now: {cards}.", job=answer.remembered, cards=names)
    if answer.readings:
        return reader.say("{card}: the second reading says the same, verified by {by}.", card=names[0], by=answer.by)
    return reader.say("{newer} takes the place of {older}.", newer=names[-1], older=names[0])


def _counts(answer: CardsAnswer, reader: Reader) -> str:
    """How many cards there are of each status."""
    found: dict[str, int] = {}
    for card in answer.cards:
        found[card.source.status] = found.get(card.source.status, 0) + 1
    return ", ".join(reader.say("{n} {status}", n=found[s], status=reader.term(s)) for s in NEXT if s in found)


def _list(answer: CardsAnswer, reader: Reader) -> Iterator[Block]:
    """Each card in a row; below, why one counts as less than it says, or is questioned."""
    columns = tuple(reader.say(c) for c in (N_("card"), N_("edition"), N_("status"), N_("read by"), N_("next")))
    yield Rows(columns, tuple(_row(card, reader) for card in answer.cards))
    short = [(card.name, card.source.short_of) for card in answer.cards if card.source.short_of is not None]
    said = [reader.say("{card}: {why}", card=name, why=why) for name, why in short]
    said += [_clause(card, reader) for card in answer.cards if card.source.status == "questioned"]
    if said:
        yield Lines(tuple(said))


def _clause(card: Procedure, reader: Reader) -> str:
    stands = standing_of(card)
    assert stands is not None
    return as_sentence(reader.reason(stands))


def _row(card: Procedure, reader: Reader) -> tuple[str, ...]:
    source = card.source
    standing = standing_of(card)
    readers = " / ".join(name for name in (source.transcribed_by, source.verified_by) if name)
    after = reader.say(NEXT[source.status])
    if standing is not None and source.superseded_by:
        after = reader.say("use {newer}", newer=source.superseded_by)
    return card.name, source.edition, reader.term(source.status), readers, after


def _compared(answer: CardsAnswer, reader: Reader) -> Told:
    """Two editions, or two readings, side by side; neither is preferred."""
    found = answer.differences or ()
    lines = [*_verdict(answer, reader)]
    lines += [reader.say("Written: {file}.", file=file) for file in answer.written]
    first, second = (N_("first reading"), N_("second reading")) if answer.readings else (N_("older"), N_("newer"))
    columns = (reader.say("field"), reader.say(first), reader.say(second))
    table = Table("", columns, tuple(_difference(one, reader) for one in found))
    return Told((Lines(tuple(lines)), *((table,) if found else ())))


def _verdict(answer: CardsAnswer, reader: Reader) -> Iterator[str]:
    count = len(answer.differences or ())
    if not answer.readings:
        old, new = answer.cards
        yield (
            reader.say_n(
                "{old} and {new} differ in {n} field.",
                "{old} and {new} differ in {n} fields.",
                count,
                old=old.name,
                new=new.name,
            )
            if count
            else reader.say("{old} and {new} say the same.", old=old.name, new=new.name)
        )
    elif count:
        yield reader.say_n("The two readings differ in {n} field.", "The two readings differ in {n} fields.", count)
        yield reader.say("Look at the source together and mend the reading that is wrong, then compare again.")
        yield reader.say("The card stays as it is: not verified.")
    else:
        yield reader.say("The two readings are the same: verified by {by}.", by=answer.by)


def _difference(found: Difference, reader: Reader) -> tuple[str, ...]:
    """A field, and what each says there; where that reads the same for this reader, how far they are apart."""
    said = [reader.say("nothing") if v is None else as_written(v, reader) for v in (found.first, found.second)]
    if said[0] == said[1]:
        apart = _apart(found.first, found.second)
        if apart is not None:
            said[1] = reader.say("{value} (apart by {by:fine-up})", value=said[1], by=apart)
    return field_words(found.path, reader), *said


def _apart(first: object, second: object) -> Length | Angle | None:
    """How far two values are apart that are lengths or angles, or hold some: the most."""
    if isinstance(first, Length) and isinstance(second, Length):
        return Length(abs(first.metres - second.metres))
    if isinstance(first, Angle) and isinstance(second, Angle):
        return Angle(abs(first.radians - second.radians))
    if isinstance(first, Reason) and isinstance(second, Reason):
        pairs = zip(first.parts(), second.parts(), strict=False)
        found = [by for a, b in pairs if (by := _apart(a, b)) is not None]
        lengths = [by for by in found if isinstance(by, Length)]
        far = max(lengths, key=lambda by: by.metres, default=None)
        turned = max((by for by in found if isinstance(by, Angle)), key=lambda by: by.radians, default=None)
        return far if far is not None and far.metres > 0.0 else turned
    return None


def as_written(value: FieldValue, reader: Reader) -> str:
    """A value of a card in words."""
    return reader.write(value, "fine") if isinstance(value, Angle) else reader.write(value)
