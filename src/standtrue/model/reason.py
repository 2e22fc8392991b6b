"""Reasons as values: a code with named quantities and references, never a sentence.

Why something does not fit, what is assumed, what is wrong with a document, what could hurt someone: an engine says it
with a `Reason`, and whoever shows it makes a sentence of it, in the reader's units and language (`show.words`).
"""

from __future__ import annotations

from collections.abc import Iterator

from attrs import frozen


@frozen
class Length:
    metres: float


@frozen
class Angle:
    radians: float


@frozen
class Duration:
    seconds: float


@frozen
class Mass:
    kilograms: float


@frozen
class Light:
    lux: float


@frozen
class Speed:
    metres_per_s: float


@frozen
class Share:
    """A part of one: 0.81 is 81 percent."""

    of_one: float


@frozen
class Number:
    """A number without a unit, to be shown with so many digits behind the point."""

    value: float
    digits: int = 0


Quantity = Length | Angle | Duration | Mass | Light | Speed | Share | Number


@frozen(order=True)
class Ref:
    """What is meant: something of the site, the car, a card or a document, by its kind and identity.

    `name` is what the user calls it; `of` is what it is a part of (the lift of a deck, the pit of a cover), `number`
    which of several (from 1), `state` how it is just now (`stored`, `in use`). Two references mean the same thing if
    and only if they are equal: nothing is ever told apart by its wording.
    """

    kind: str
    name: str = ""
    of: str = ""
    number: int = 0
    state: str = ""


@frozen
class Term:
    """A word of the trade from a closed list, such as a sensor kind: shown in the reader's language."""

    word: str


@frozen
class Text:
    """A text for people as a document gives it: in US English, in Spanish, or both; "" where it is not given."""

    en: str = ""
    es: str = ""

    def __bool__(self) -> bool:
        """Whether it says anything."""
        return bool(self.en.strip() or self.es.strip())


Value = Quantity | Ref | Term | Text | str | int | bool | None
"""A text is the user's own words, or a name: it is shown as it is."""


@frozen
class Reason:
    """Why: a stable code, and what its sentence names. Values may be reasons themselves, or several of a kind."""

    code: str
    values: tuple[tuple[str, Value | Reason | tuple[Value | Reason, ...]], ...] = ()

    def __getitem__(self, name: str) -> Value | Reason | tuple[Value | Reason, ...]:
        """The value of this name. Raises KeyError."""
        return dict(self.values)[name]

    def parts(self) -> Iterator[Value | Reason]:
        """Every value, those of tuples one by one."""
        for _, value in self.values:
            yield from value if isinstance(value, tuple) else (value,)


def because(code: str, **values: Value | Reason | tuple[Value | Reason, ...]) -> Reason:
    """A reason: `because("wheelbase-outside", lift=Ref("lift", "flush lift"), least=Length(2.4))`."""
    return Reason(code, tuple(values.items()))
