"""How large a bay must be, in words and as the terminal's tables."""

from __future__ import annotations

import math
from collections.abc import Sequence

from standtrue.model.reader_units import INCH_M
from standtrue.model.reason import Length, Number
from standtrue.show.words.blocks import Lines, Rows, Table, Told
from standtrue.show.words.reader import Reader
from standtrue.study.coverage import Coverage, LeastBay
from standtrue.study.sizes import Frontier, Size
from standtrue.work.study.sizes import SHARES, Sizes

MOST_BAYS = 4
"""How many of the least bays of a share are told in words."""


def percent(share: float, reader: Reader) -> str:
    """A share in per cent, to a tenth where it is not whole; never rounded up to a whole that it does not reach."""
    tenths = math.floor(share * 1000 + 1e-6)
    return reader.say("{percent} %", percent=Number(tenths / 10, 1 if tenths % 10 else 0))


def size_words(size: Size, reader: Reader) -> str:
    """A room's size as a sentence has it."""
    return reader.say("{wide} wide by {long} long", wide=Length(size.width_m), long=Length(size.length_m))


def needed_words(size: Size, reader: Reader) -> str:
    """A least size as a sentence has it: rounded up, for that much is needed."""
    return reader.say("{wide:up} wide by {long:up} long", wide=Length(size.width_m), long=Length(size.length_m))


def needed_cell(size: Size, reader: Reader) -> str:
    """A least size as a table has it."""
    return reader.say("{wide:up} x {long:up}", wide=Length(size.width_m), long=Length(size.length_m))


def area_words(size: Size, reader: Reader) -> str:
    """A size's area."""
    if reader.units == "us":
        return reader.say("{area} sq ft", area=Number(size.area_m2 / float(12 * INCH_M) ** 2))
    return reader.say("{area} m²", area=Number(size.area_m2, 1))


def coverage_words(coverage: Coverage, least: Sequence[LeastBay], reader: Reader) -> str:
    """The contours in sentences."""
    return " ".join([greatest_words(coverage, reader), *(least_words(one, reader) for one in least)])


def greatest_words(coverage: Coverage, reader: Reader) -> str:
    """What the largest room looked at covers."""
    largest = Size(coverage.sizes.width_m[1], coverage.sizes.length_m[1])
    return reader.say(
        "The largest room looked at, {size}, covers {share} of the work.",
        size=size_words(largest, reader),
        share=percent(coverage.greatest, reader),
    )


def least_words(least: LeastBay, reader: Reader) -> str:
    """The least bays for one share, the one of the least area first."""
    best, share = least.least_area, percent(least.share, reader)
    if best is None:
        return reader.say("{share} of the work: no size looked at covers it.", share=share)
    told = {"share": share, "size": needed_words(best, reader), "area": area_words(best, reader)}
    others = tuple(needed_words(bay, reader) for bay in _spaced(least.bays, MOST_BAYS) if bay != best)
    if not others:
        return reader.say("{share} of the work: least area {size} ({area}).", **told)
    return reader.say(
        "{share} of the work: least area {size} ({area}); also {others}.", **told, others=", ".join(others)
    )


def today_words(size: Size, coverage: Coverage, reader: Reader) -> str:
    """The room as it is, and what one of its size covers."""
    return reader.say(
        "Today: {size}. A room of that size laid out by the rule covers {share} of the work.",
        size=size_words(size, reader),
        share=percent(coverage.share(size), reader),
    )


def layout_words(answer: Sizes, reader: Reader) -> str:
    """How the rooms are laid out."""
    return " ".join(reader.reasons(answer.rooms.rules))


def sizes_told(answer: Sizes, reader: Reader) -> Told:
    """The least bay for each share of the work; at length from which size on each car fits for each card."""
    bays = _bays(answer, reader)
    lines = [greatest_words(answer.coverage, reader)]
    if answer.partial:
        lines.insert(0, reader.say("A partial answer: stopped before its end."))
    if answer.today is not None:
        lines.append(today_words(answer.today, answer.coverage, reader))
    first = Lines(tuple(lines)), Rows(bays.columns, bays.rows)
    assumed = layout_words(answer, reader), reader.reason(answer.work.rule)
    return Told(first, long=(_frontiers(answer, reader),), assumed=assumed)


def _bays(answer: Sizes, reader: Reader) -> Table:
    rows: list[tuple[str, ...]] = []
    for share in SHARES:
        bay = answer.coverage.least_bay(share)
        best = bay.least_area
        if best is None:
            rows.append((percent(share, reader), reader.say("no size looked at"), "", "", ""))
        else:
            sizes = [needed_cell(size, reader) for size in (best, bay.bays[0], bay.bays[-1])]
            rows.append((percent(share, reader), sizes[0], area_words(best, reader), *sizes[1:]))
    columns = (
        reader.say("share of the work"),
        reader.say("least area"),
        reader.say("area"),
        reader.say("narrowest"),
        reader.say("shortest"),
    )
    return Table(reader.say("The least bays"), columns, tuple(rows))


def _frontiers(answer: Sizes, reader: Reader) -> Table:
    rows = []
    for frontier in answer.frontiers:
        car, card = answer.work.cars[frontier.car].name, answer.work.cards[frontier.card].key
        rows.append((car, card, *_corners(answer, frontier, reader)))
    columns = (
        reader.say("car"),
        reader.say("card"),
        reader.say("least area"),
        reader.say("narrowest"),
        reader.say("shortest"),
    )
    return Table(reader.say("From which size on it fits (width x length)"), columns, tuple(rows))


def _corners(answer: Sizes, frontier: Frontier, reader: Reader) -> tuple[str, ...]:
    found = frontier.corners
    if found:
        best = min(found, key=lambda corner: (corner.area_m2, corner))
        return tuple(needed_cell(size, reader) for size in (best, found[0], found[-1]))
    if not frontier.whole:
        return (reader.say("not known yet"), "", "")
    lifted = answer.rooms.lift is None and "floor" not in answer.work.cards[frontier.card].all_supports
    return (reader.say("needs a lift") if lifted else reader.say("no size looked at"), "", "")


def _spaced(bays: Sequence[Size], most: int) -> list[Size]:
    """The first and the last of the bays and some between."""
    if len(bays) <= most:
        return list(bays)
    return [bays[round(i * (len(bays) - 1) / (most - 1))] for i in range(most)]
