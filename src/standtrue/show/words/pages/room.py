"""What the page says on which a room's year is answered."""

from __future__ import annotations

from attrs import frozen

from standtrue.model.reason import Duration, Number
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_room import orders


@frozen
class RoomWords:
    """The fixed words of the page."""

    question: str
    work: str
    work_columns: tuple[str, str, str, str]
    scale: str
    stops: str
    stops_columns: tuple[str, str, str, str]
    changes: str
    changes_columns: tuple[str, str, str, str]
    rooms: str
    of_a_year: str
    share: str
    best: str
    assumed: str
    sheet: str
    stop: str
    failed: str
    file: str
    studies: str
    nothing_stops: str
    caution: str


def room_words(reader: Reader) -> RoomWords:
    """They."""
    return RoomWords(
        question=reader.say("What can this room do?"),
        work=reader.say("Which work, how much of it?"),
        work_columns=(reader.say("order"), reader.say("a year"), reader.say("held"), reader.say("share")),
        scale=reader.say("Black: the room holds it. Hatched: stopped. Lengths to one scale."),
        stops=reader.say("What stops the rest?"),
        stops_columns=(
            reader.say("what stops it"),
            reader.say("orders lost"),
            reader.say("by it alone"),
            reader.say("what wins most of it back"),
        ),
        changes=reader.say("What wins it back?"),
        changes_columns=(
            reader.say("one change"),
            reader.say("wins back"),
            reader.say("orders"),
            reader.say("share then"),
        ),
        rooms=reader.say("Which room would do better?"),
        of_a_year=reader.say("a year"),
        share=reader.say("share of the work"),
        best=reader.say("best next change"),
        assumed=reader.say("What was assumed"),
        sheet=reader.say("Print the sheet"),
        stop=reader.say("Stop: with what is known by then"),
        failed=reader.say("This study cannot be answered:"),
        file=reader.say("The study as a document"),
        studies=reader.say("Another study"),
        nothing_stops=reader.say("Nothing stops any of it."),
        caution=reader.say(
            "Before concrete is cut: have the supplier confirm the lift's drawing, and an engineer whatever carries "
            "the building."
        ),
    )


def over(study: str, count: float, cars: int, reader: Reader) -> str:
    """Which study it is."""
    return reader.say_n(
        "{study}: {orders} orders a year, {n} kind of car",
        "{study}: {orders} orders a year, {n} kinds of car",
        cars,
        study=study,
        orders=orders(count),
    )


def finished(count: float, change: str, then: str, reader: Reader) -> str:
    """What the large figure is of, and the change that makes most of it."""
    said = reader.say("of {orders} orders a year the room holds.", orders=orders(count))
    if not change:
        return said
    return " ".join((said, reader.say("One change makes it {share}: {change}.", share=then, change=change)))


def of_all(done: float, of: float, reader: Reader) -> str:
    """So many of so many orders."""
    return reader.say("{done} of {all}", done=orders(done), all=orders(of))


def best_change(change: str, won: float, reader: Reader) -> str:
    """A room's best change, and what it wins."""
    if not change:
        return reader.say("nothing that was tried")
    return reader.say("{change}, {orders} more", change=change, orders=orders(won))


def working(done: int, of: int, seconds: float, reader: Reader) -> str:
    """How far the answer is."""
    so_far = Duration(seconds)
    if not of:
        return reader.say("Working, {seconds} so far.", seconds=so_far)
    return reader.say(
        "{done} of {all} questions answered, {seconds} so far.", done=Number(done), all=Number(of), seconds=so_far
    )
