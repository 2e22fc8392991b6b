"""Places as a terminal shows them: a row for each answer, what would make room, and the fewest places for all cards."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.model.fits import Fits
from standtrue.model.reason import Length, Number
from standtrue.model.stance import Carrier, written
from standtrue.place.many.shared import Shared, Use
from standtrue.place.question.answer import Answer
from standtrue.show.words.blocks import Block, Lines, Rows, Table, Told
from standtrue.show.words.level import level_word, not_surveyed
from standtrue.show.words.place import alignment, fits_word, verdict
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import change_lines, remedies_words
from standtrue.show.words.texts import as_sentence
from standtrue.work.place.places import Places

MOST_HELP = 3
"""How many single changes that would help are told first."""

FEW = 3
"""So many answers are told in a sentence each; of more, which cards have a place and which have none."""


def place_told(places: Places, reader: Reader) -> Told:
    """Which cards have a place and what would help the others; then a line an answer; at length every reason."""
    lines = list(_few(places, reader) if len(places.answers) <= FEW else _many(places, reader))
    shared = places.shared
    if (served := sum(len(place.uses) for place in shared.places)) > 1:
        lines.append(f"{_title(len(shared.places), served, shared.proven, reader)}.")
    title = reader.say("{car} in {site}", car=places.vehicle.name, site=places.site.name)
    short = [Rows(table.columns, table.rows) for table in place_blocks(places, reader) if isinstance(table, Table)]
    return Told((Lines(tuple(lines), title),), tuple(short), tuple(place_blocks(places, reader)))


def _few(places: Places, reader: Reader) -> Iterator[str]:
    """Each answer in a sentence, and the first that would help."""
    for answer, remedies in zip(places.answers, places.remedies, strict=True):
        yield reader.say("{card}: {verdict}", card=answer.name, verdict=verdict(answer, reader))
        yield from remedies_words(remedies, answer, reader)[:MOST_HELP]


def _many(places: Places, reader: Reader) -> Iterator[str]:
    """Which cards fit, which do not and what would help, of which it is undecided."""
    verdicts = places.by_card
    if fits := tuple(name for name, one in verdicts.items() if one is Fits.YES):
        yield reader.say("Fits: {cards}.", cards=fits)
    if undecided := tuple(name for name, one in verdicts.items() if one is Fits.UNDECIDED):
        yield reader.say("Cannot tell: {cards}.", cards=undecided)
    for name in (name for name, one in verdicts.items() if one is Fits.NO):
        helps = [
            line
            for answer, remedies in zip(places.answers, places.remedies, strict=True)
            if answer.name == name
            for line in remedies_words(remedies, answer, reader)[:1]
        ]
        yield " ".join((reader.say("Does not fit: {card}.", card=name), *helps[:1]))


def place_blocks(places: Places, reader: Reader) -> Iterator[Block]:
    """Each answer as a row and as a sentence, with what would make room; then the fewest places that serve all."""
    columns = ["card", "carried by", "fits", "level", "x", "y", "heading", "margin"]
    asked = [level for answer in places.answers if (level := answer.stands.level) is not None]
    title = reader.say("Where the car can stand (the rear axle's center, from the site's origin)")
    if asked and all(map(not_surveyed, asked)):
        title = reader.say(
            "Where the car can stand, level not surveyed (the rear axle's center, from the site's origin)"
        )
    if not asked:
        columns.remove("level")
    yield Table(
        title,
        tuple(_heads(reader)[column] for column in columns),
        tuple(_row(answer, reader, leveled=bool(asked)) for answer in places.answers),
    )
    for answer, remedies in zip(places.answers, places.remedies, strict=True):
        said = reader.say("{card}: {verdict}", card=answer.name, verdict=verdict(answer, reader))
        yield Lines((said,), indent=1)
        if answer.chosen is not None:
            yield Lines((alignment(answer.chosen.because, reader),), indent=5)
        level = answer.stands.level
        if level is not None:
            yield Lines(tuple(as_sentence(r) for r in reader.reasons(level.because)), indent=5)
        yield Lines(tuple(change_lines(remedies, answer, reader)), indent=5)
    yield from shared_blocks(places.shared, reader)


def shared_blocks(shared: Shared, reader: Reader) -> Iterator[Block]:
    """The fewest places that serve all cards; nothing where at most one card is served."""
    served = sum(len(place.uses) for place in shared.places)
    if served < 2:
        return
    columns = ["place", "x", "y", "heading", "card", "carried by", "level", "margin"]
    leveled = any(use.level is not None for place in shared.places for use in place.uses)
    if not leveled:
        columns.remove("level")
    yield Table(
        _title(len(shared.places), served, shared.proven, reader),
        tuple(_heads(reader)[column] for column in columns),
        tuple(_shared_rows(shared, reader, leveled=leveled)),
    )
    for number, place in enumerate(shared.places, start=1):
        yield Lines((reader.say("Place {n}: {how}.", n=number, how=place.aligned.because),), indent=1)


def _heads(reader: Reader) -> dict[str, str]:
    return {
        "card": reader.say("card"),
        "carried by": reader.say("carried by"),
        "fits": reader.say("fits"),
        "level": reader.say("level"),
        "x": reader.say("x"),
        "y": reader.say("y"),
        "heading": reader.say("heading"),
        "margin": reader.say("margin"),
        "place": reader.say("place"),
    }


def _title(places: int, served: int, proven: bool, reader: Reader) -> str:
    if proven:
        return reader.say_n(
            "{n} place serves all {served} procedures (proven: no fewer do)",
            "{n} places serve all {served} procedures (proven: no fewer do)",
            places,
            served=served,
        )
    return reader.say_n(
        "{n} place serves all {served} procedures (not proven: fewer may do)",
        "{n} places serve all {served} procedures (not proven: fewer may do)",
        places,
        served=served,
    )


def _row(answer: Answer, reader: Reader, *, leveled: bool) -> tuple[str, ...]:
    answer = answer.stands
    stance = ("", "", "")
    if answer.place is not None:
        at = answer.place
        stance = (reader.write(Length(at.x_m)), reader.write(Length(at.y_m)), _heading(at.heading_deg, reader))
    margin = "" if answer.margin_m is None else reader.write(Length(answer.margin_m), "down")
    by = reader.term(answer.support) if answer.carrier is None else _carried(answer.carrier, reader)
    level = (level_word(answer.level, reader),) if leveled else ()
    return (answer.name, by, fits_word(answer.fits, reader), *level, *stance, margin)


def _shared_rows(shared: Shared, reader: Reader, *, leveled: bool) -> Iterator[tuple[str, ...]]:
    for number, place in enumerate(shared.places, start=1):
        at = place.place
        x, y = reader.write(Length(at.x_m)), reader.write(Length(at.y_m))
        where = [str(number), x, y, _heading(at.heading_deg, reader)]
        for use in place.uses:
            card, carried, margin = _use(use, reader)
            level = (level_word(use.level, reader),) if leveled else ()
            yield (*where, card, carried, *level, margin)
            where = [""] * len(where)


def _use(use: Use, reader: Reader) -> tuple[str, str, str]:
    carried = _carried(use.carrier, reader)
    if use.doors_open:
        carried = reader.say("{carried}, {doors} open", carried=carried, doors=use.doors_open)
    card = use.card.key if use.variant is None else f"{use.card.key} ({use.variant})"
    return card, carried, reader.write(Length(use.margin_m), "down")


def _carried(carrier: Carrier, reader: Reader) -> str:
    """The carrier as documents write it, and how high it stands."""
    by = reader.term("floor") if carrier.is_floor else written(carrier)
    if carrier.height_m <= 0.0:
        return by
    return reader.say("{carrier} at {height}", carrier=by, height=Length(carrier.height_m))


def _heading(degrees: float, reader: Reader) -> str:
    """Above -180 and up to 180 degrees as it is read: half a turn is one way, not two."""
    return reader.say("{degrees}°", degrees=Number(180.0 if degrees < -179.995 else degrees, 2))
