"""How far from a car a target can stand, as the terminal's table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from standtrue.model.reason import Length
from standtrue.show.words.blocks import Block, Lines, Rows
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.study.ahead import Distance
from standtrue.work.study.ahead import WAYS, Ahead, AheadRow, Way

COLUMNS: Mapping[Way, str] = {
    "ahead": N_("ahead"),
    "behind": N_("behind"),
    "left": N_("to the left"),
    "right": N_("to the right"),
}


def ahead_blocks(answer: Ahead, reader: Reader) -> Iterator[Block]:
    """How far a target can stand from each car, on each support."""
    if answer.partial:
        yield Lines((), heading=reader.say("A partial answer: stopped before its end."))
    where = answer.site.name if answer.bay is None else f"{answer.site.name}, {answer.bay.name}"
    yield Lines((), reader.say("How far a target can stand from the car: {room}", room=where))
    yield Rows(
        (reader.say("car"), reader.say("stands"), *(reader.say(COLUMNS[way]) for way in WAYS)),
        tuple(line for row in answer.rows for line in _lines(row, reader)),
    )
    if answer.through_doors:
        shut = reader.say("What goes through an open door is told again in the line below, with every door shut.")
        yield Lines((shut,))
    yield Lines((reader.reason(answer.target.means),))


def _lines(row: AheadRow, reader: Reader) -> Iterator[tuple[str, ...]]:
    yield row.car, reader.term(row.support), *(_told(found, reader) for _, found in row.distances)
    if row.shut:
        yield "", reader.say("doors shut"), *(_told(found, reader) for _, found in row.shut)


def _told(found: Distance, reader: Reader) -> str:
    if not found.known:
        return reader.say("not known yet")
    if found.most_mm is None:
        return reader.say("none fits")
    return reader.say("{most:down}", most=Length(found.most_mm / 1000))
