"""What a card says, field by field, and in which fields two cards differ: editions of it, or two readings of one.

A field's value is a quantity, a text, or a reason that holds several of them. Two values are alike where they mean the
same: whatever the unit they were written in, the order of words in a list, the corner that an outline begins with.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from attrs import astuple, frozen

from standtrue.model.condition_units import converted
from standtrue.model.reason import Angle, Number, Quantity, Reason, Term, because

FieldValue = Quantity | Term | Reason | str
"""What stands in a field. Several values are a reason: see the codes below."""

WORDS, SPAN, SIZE, POINT, PATH, AMOUNT = (
    "card-words",
    "card-span",
    "card-size",
    "card-point",
    "card-path",
    "card-amount",
)
BOX, CIRCLE, SECTOR, CORNERS = "card-box", "card-circle", "card-sector", "card-corners"

_CLOSE = 1e-9
"""Metres, radians, seconds: what remains of reading one value in two units."""


@frozen
class CardField:
    """One field: its name as documents have it (`source.edition`, `top`), and its value; None where none is given."""

    name: str
    value: FieldValue | None


@frozen
class CardItem:
    """One of several of a kind: what it is called, "" if nothing, and its fields."""

    called: str
    fields: CardFields


@frozen
class CardList:
    """Zones, targets, conditions and the like. `ordered`: what stands first means something."""

    name: str
    items: tuple[CardItem, ...]
    ordered: bool = False


CardFields = tuple[CardField | CardList, ...]
"""What a card says; every card has the same fields in the same order."""


@frozen
class Difference:
    """A field in which two differ: where (names of fields, and of the items between them), and what each says there."""

    path: tuple[str, ...]
    first: FieldValue | None
    second: FieldValue | None


def differences(first: CardFields, second: CardFields, at: tuple[str, ...] = ()) -> Iterator[Difference]:
    """Every field in which two cards differ. Items of a list are matched by what they are called; those left over in
    their order, so that one called otherwise differs in its name alone. An item that only one has differs in all that
    it says."""
    for one, other in zip_longest(first, second):
        name = (one or other).name
        if isinstance(one, CardList) or isinstance(other, CardList):
            yield from _of_lists(one, other, (*at, name))
        else:
            yield from _of_fields(one, other, (*at, name))


def _of_fields(one: CardField | None, other: CardField | None, at: tuple[str, ...]) -> Iterator[Difference]:
    said, answered = (None if f is None else f.value for f in (one, other))
    if (said is None) != (answered is None) or (
        said is not None and answered is not None and not alike(said, answered)
    ):
        yield Difference(at, said, answered)


def _of_lists(one: object, other: object, at: tuple[str, ...]) -> Iterator[Difference]:
    lists = [found for found in (one, other) if isinstance(found, CardList)]
    items = [found.items if isinstance(found, CardList) else () for found in (one, other)]
    pairs = list(zip_longest(*items)) if any(found.ordered for found in lists) else _paired(*items)
    for number, (mine, yours) in enumerate(pairs, 1):
        there = mine or yours
        assert there is not None
        told = there.called or str(number)
        yield from differences(mine.fields if mine else (), yours.fields if yours else (), (*at, told))


def _paired(first: Sequence[CardItem], second: Sequence[CardItem]) -> list[tuple[CardItem | None, CardItem | None]]:
    """The items of two lists, each beside the one that is meant by it, in the order of the first."""
    left = list(second)
    pairs: list[tuple[CardItem | None, CardItem | None]] = []
    for item in first:
        named = next((other for other in left if folded(other.called) == folded(item.called)), None)
        pairs.append((item, named))
        if named is not None:
            left.remove(named)
    for at, (mine, yours) in enumerate(pairs):
        if yours is None and left:
            pairs[at] = (mine, left.pop(0))
    return [*pairs, *((None, other) for other in left)]


def folded(text: str) -> str:
    """A text as it is compared: case and white space mean nothing."""
    return " ".join(text.casefold().split())


def alike(one: object, other: object) -> bool:
    """Whether two values mean the same."""
    if isinstance(one, Reason) and isinstance(other, Reason):
        return _alike_several(one, other)
    if isinstance(one, str) and isinstance(other, str):
        return folded(one) == folded(other)
    if isinstance(one, Quantity) and type(one) is type(other):
        a, b = float(astuple(one)[0]), float(astuple(other)[0])
        if isinstance(one, Angle):
            return abs(math.remainder(a - b, math.tau)) <= _CLOSE
        return math.isclose(a, b, rel_tol=_CLOSE, abs_tol=_CLOSE)
    return one == other


def _alike_several(one: Reason, other: Reason) -> bool:
    if {one.code, other.code} == {BOX, CORNERS}:
        one, other = _as_corners(one), _as_corners(other)
    if one.code != other.code:
        return False
    mine, yours = list(one.parts()), list(other.parts())
    if one.code == WORDS:
        return {_word(part) for part in mine} == {_word(part) for part in yours}
    if one.code == CORNERS:
        return _alike_rings(mine, yours)
    if one.code == AMOUNT:
        return _alike_amounts(one, other)
    if one.code == BOX:
        return alike(_as_corners(one), _as_corners(other))
    return len(mine) == len(yours) and all(map(alike, mine, yours))


def _word(part: object) -> str:
    return folded(part.word if isinstance(part, Term) else str(part))


def _as_corners(shape: Reason) -> Reason:
    """A box as its corners."""
    if shape.code != BOX:
        return shape
    x0, y0, x1, y1 = shape.parts()
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return because(CORNERS, corners=tuple(because(POINT, x=x, y=y) for x, y in corners))


def _alike_rings(mine: Sequence[object], yours: Sequence[object]) -> bool:
    """Whether corners go round the same outline, from whichever corner and either way round."""
    if len(mine) != len(yours):
        return False
    turned = ([*way[at:], *way[:at]] for way in (yours, yours[::-1]) for at in range(len(yours)))
    return any(all(map(alike, mine, way)) for way in turned)


def _alike_amounts(one: Reason, other: Reason) -> bool:
    """Whether two amounts are one, in whichever units of one quantity."""
    value, unit, theirs, their_unit = one["value"], one["unit"], other["value"], other["unit"]
    assert isinstance(value, Number)  # an amount is made of a number and its unit, and of nothing else
    assert isinstance(theirs, Number)
    told, own = converted(theirs.value, str(their_unit), str(unit)), value.value
    return told is not None and math.isclose(own, told, rel_tol=_CLOSE, abs_tol=_CLOSE)
