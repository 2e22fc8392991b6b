"""What the sheet of a room says of its own."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from standtrue.model.reason import Length, Number
from standtrue.model.stance import Carrier
from standtrue.show.words.reader import Reader


def title(room: str, reader: Reader) -> str:
    return reader.say("What can this room do? {room}", room=room)


def answer(share: str, count: float, best: tuple[str, str] | None, reader: Reader) -> str:
    """What the sheet answers: the share of today, and the change that wins most back with the share then."""
    said = reader.say("The room holds {share} of {orders} orders a year.", share=share, orders=orders(count))
    if best is None:
        return said
    change, then = best
    return f"{said} {reader.say('With one change {share}: {change}.', share=then, change=change)}"


def shop(study: str, mix: str, reader: Reader) -> str:
    return reader.say("{study}, car mix “{mix}”", study=study, mix=mix)


def share_means(reader: Reader) -> str:
    """What the large figure is."""
    return reader.say(
        "The large figure is the share of a year's repair orders that the room holds: those for which every card that "
        "they call for has a place to stand. What the shop has, and whether the cars can be driven there, is not in it."
    )


def share_words(share: float | None, reader: Reader) -> str:
    """A share as whole percent: all or nothing is said only where it is exactly so (`>99 %`, `<1 %`)."""
    if share is None:
        return "–"
    if 0.0 < share < 0.01:
        return reader.say("<{percent} %", percent=1)
    if 0.99 < share < 1.0:
        return reader.say(">{percent} %", percent=99)
    return reader.say("{percent} %", percent=Number(share * 100))


def orders(count: float) -> str:
    """A number of orders, whole."""
    return f"{math.floor(count + 0.5):,}"


def orders_done(count: float, reader: Reader) -> str:
    return reader.say("{orders} orders a year done", orders=orders(count))


def orders_lost(count: float, reader: Reader) -> str:
    return reader.say("{orders} lost", orders=orders(count))


def today(reader: Reader) -> str:
    return reader.say("the room today")


def wins(count: float, reader: Reader) -> str:
    """What a change wins; what stands under the room as it is, where there is none."""
    return reader.say("Wins back {orders} orders a year.", orders=orders(count))


def as_now(reader: Reader) -> str:
    return reader.say("As it is now.")


def no_change(reader: Reader) -> str:
    return reader.say("No single change that was tried")


def more_causes(count: int, reader: Reader) -> str:
    return reader.say_n(
        "{n} more cause, of less work lost, is in the answer on the screen",
        "{n} more causes, each of less work lost, are in the answer on the screen",
        count,
    )


def sources_in_short(statuses: Sequence[str], read_on: Sequence[str], reader: Reader) -> str:
    """How far the cards are to be trusted, one a card, and when their sources were read: where each finds no room."""
    by = Counter(statuses)
    told = ", ".join(reader.say("{n} {status}", n=n, status=reader.term(status)) for status, n in sorted(by.items()))
    said = [reader.say_n("{n} card: {statuses}.", "{n} cards: {statuses}.", len(statuses), statuses=told)]
    days = sorted(day for day in read_on if day)
    if days:
        said.append(reader.say("Their sources were read from {first} to {last}.", first=days[0], last=days[-1]))
    return " ".join((*said, reader.say("Each is in the answer as data.")))


def documents_in_short(count: int, reader: Reader) -> str:
    """Where the documents stand that there is no room to name."""
    return reader.say_n(
        "{n} document, under the digest at the foot; it is in the answer as data.",
        "{n} documents, under the digest at the foot; each is in the answer as data.",
        count,
    )


def pictured(car: str, card: str, carries: str, reader: Reader) -> str:
    """What a picture shows, under it."""
    return reader.say("{car} for {card}, {carried}", car=car, card=card, carried=carries)


def served(work: str, car: str, number: int, of: int, reader: Reader) -> str:
    """What is done at a place."""
    if of == 1:
        return reader.say("{work}: {car}", work=work, car=car)
    return reader.say("{work}: {car}, place {number} of {places}", work=work, car=car, number=number, places=of)


def stands(ways: Sequence[str], doors: Sequence[str], reader: Reader) -> str:
    """On what the car stands, and what must be open."""
    on = ", ".join(ways)
    return reader.say("{on}, {doors} open", on=on, doors=reader.all_of(doors)) if doors else on


def on(carrier: Carrier, reader: Reader) -> str:
    """What carries the car, in few words."""
    if carrier.lift is None:
        return reader.say("floor")
    if carrier.height_m > 0.0:
        height = Length(carrier.height_m)
        return reader.say("{lift} {state} at {height}", lift=carrier.lift, state=carrier.state, height=height)
    return reader.say("{lift} {state}", lift=carrier.lift, state=carrier.state)
