"""From a study's answer to the adviser's sheet, in a reader's words and pictures."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.metadata import version

from attrs import evolve

from standtrue.draw.backends.pdf import Picture
from standtrue.draw.paper_styles import SMALL_STYLES
from standtrue.model.site import Datum, from_datum
from standtrue.show.pictures.place import drawing_of, site_drawing
from standtrue.show.pictures.small_plan import small_plan
from standtrue.show.sheets.rests_on import LONGEST_PROGRAM, CardSource
from standtrue.show.sheets.room.sheet import LONGEST_NAME, AdviserSheet, Scenario, ShareRow, Stance, Stop
from standtrue.show.words import sheet_room as words
from standtrue.show.words.place import carried_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.study import assumptions, change_words, help_words, partial_words, stop_words
from standtrue.study.tally import Share
from standtrue.work.sheet.room import RoomContent, Served, StateContent
from standtrue.work.study.answer import StudyAnswer

MOST_STOPS = 8


def make_room_sheet(answer: StudyAnswer, content: RoomContent, reader: Reader, date: str) -> AdviserSheet:
    """The sheet of one room of a study for a reader. `date` is printed as it is."""
    room, tallies = content.room, [told.state.tally for told in content.states]
    stops = room.stops[:MOST_STOPS]
    more = len(room.stops) - len(stops)
    notes = (words.more_causes(more, reader),) if more else ()
    basis = content.basis
    return AdviserSheet(
        title=words.title(room.room.name, reader),
        answer=_answer(content, reader),
        shop=words.shop(answer.study.name, answer.study.mix, reader),
        date=date,
        program=f"Standtrue {version('standtrue')}"[:LONGEST_PROGRAM],
        reader=reader,
        scenarios=tuple(_scenario(told, reader) for told in content.states),
        by_order=_rows([t.by_order for t in tallies]),
        by_card=_rows([tuple(evolve(c.any_support, name=c.card) for c in t.by_card) for t in tallies]),
        stops=tuple(Stop(stop_words(s.stop, reader), s.stop.lost, help_words(s, reader), s.won) for s in stops),
        assumptions=assumptions(answer, reader),
        cautions=tuple(reader.reasons(c.reason for c in basis.cautions)),
        warnings=(*reader.reasons(basis.warnings), *notes),
        sources=tuple(
            CardSource(c.key, c.source.title, c.source.edition, c.source.read_on, c.source.status) for c in answer.cards
        ),
        documents=basis.marks,
        demonstration=basis.demonstration,
        partial=partial_words(answer, reader),
    )


def _answer(content: RoomContent, reader: Reader) -> str:
    """The share of today, and the most that one change makes of it."""
    whole = content.states[0].state.tally.whole
    changed = [s.state for s in content.states if s.state.change is not None]
    best = max(changed, key=lambda s: s.tally.whole.share, default=None)
    more = None
    if best is not None and best.change is not None and best.tally.whole.share > whole.share:
        more = change_words(best.change, reader), words.share_words(best.tally.whole.share, reader)
    return words.answer(words.share_words(whole.share, reader), whole.of, more, reader)


def _rows(shares: Sequence[Sequence[Share]]) -> tuple[ShareRow, ...]:
    """One row for each name of the first column, which every column has."""
    columns = [{s.name: s.share for s in column} for column in shares]
    return tuple(ShareRow(name, tuple(c[name] for c in columns)) for name in columns[0])


def _scenario(told: StateContent, reader: Reader) -> Scenario:
    change, whole = told.state.change, told.state.tally.whole
    name = words.today(reader) if change is None else change_words(change, reader)
    datum = told.state.room.site.datum
    return Scenario(
        _short(name),
        whole.share,
        whole.done,
        max(0.0, whole.of - whole.done),
        "" if change is None else words.wins(change.won, reader),
        _picture(told, reader) if told.drawn else None,
        tuple(_stance(one, datum, reader) for one in told.served),
    )


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"


def _picture(told: StateContent, reader: Reader) -> Picture:
    """The plan with the car where it stands for what is shown; where nothing is, the floor alone."""
    shown = told.shown
    if shown is None:
        return small_plan(site_drawing(told.state.grounds.at_rest(), reader), reader, styles=SMALL_STYLES)
    drawn = small_plan(drawing_of(shown.stance, reader), reader, styles=SMALL_STYLES)
    carries = carried_words(shown.stance.carrier, shown.support, reader)
    what = words.pictured(shown.car, shown.key, carries, reader)
    return evolve(drawn, caption="; ".join(part for part in (what, drawn.caption) if part))


def _stance(one: Served, datum: Datum, reader: Reader) -> Stance:
    uses, at = one.place.uses, one.place.place
    ways = dict.fromkeys(words.on(u.carrier, reader) for u in uses)
    opened = dict.fromkeys(d for u in uses for d in u.doors_open)
    right, up = from_datum((at.x_m, at.y_m), datum)
    work = words.served(one.order, one.car, one.number, one.of, reader)
    stands = words.stands(tuple(ways), tuple(opened), reader)
    return Stance(work, stands, right, up, at.heading_rad - datum.direction_rad)
