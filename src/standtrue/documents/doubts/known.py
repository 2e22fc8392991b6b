"""What a doubt about a document must know of the others, of the day, and of how a value was typed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from attrs import astuple, evolve, field, frozen

from standtrue.documents.parts import Path, Tell
from standtrue.documents.site import SiteForm
from standtrue.model.lift import Lift
from standtrue.model.reason import Angle, Duration, Length, Light, Mass, Number, Reason, Speed, Term, because

NEARLY = 0.85
"""How alike two spellings are of which one is meant for the other."""

Measured = Length | Angle | Duration | Light | Mass | Number | Speed


@frozen(eq=False)
class Known:
    """The lifts by name, the sites of a size that can be meant, the events that some rule knows, its content.

    `today` is "" where nobody says which day it is. `odd_lifts` are those whose own sizes cannot be meant: where they
    reach is not looked at.
    """

    today: str = ""
    lifts: Mapping[str, Lift] = field(factory=dict)
    sites: Mapping[str, SiteForm] = field(factory=dict)
    events: tuple[str, ...] = ()
    odd_lifts: frozenset[str] = frozenset()
    content: Mapping[str, Any] = field(factory=dict)

    def of(self, content: Mapping[str, Any]) -> Known:
        """The same, for a document of this content. Invented data have no dates that could lie ahead."""
        invented = content.get("demonstration") is True
        return evolve(self, content=content, today="" if invented else self.today)

    def is_bare(self, name: str) -> bool:
        """Whether a top field was typed as a number without a unit."""
        return isinstance(self.content.get(name), (int, float))

    def is_ahead(self, day: str) -> bool:
        """Whether a date lies after today."""
        return bool(self.today and day and day[:10] > self.today)


@frozen
class Size:
    """A size, what it is of, and between which it lies as a rule: all in the program's units."""

    path: Path
    what: str
    value: Measured
    least: float
    most: float
    remedy: Reason | None = None

    @property
    def side(self) -> int:
        """-1 below the rule, 1 above it, 0 within; 0 too for a value that could not be read."""
        amount = amount_of(self.value)
        return 0 if math.isnan(amount) else -1 if amount < self.least else 1 if amount > self.most else 0


def amount_of(value: Measured) -> float:
    """The one number of a quantity."""
    return float(astuple(value)[0])


def tell_sizes(sizes: Iterable[Size], tell: Tell, units: bool = True) -> bool:
    """Tell of each size that is beyond its rule; whether there are any.

    Several that are all too large, or all too small, are one mistake: the document's units, where it has some.
    """
    odd = [size for size in sizes if size.side]
    if units and len(odd) > 1 and len({size.side for size in odd}) == 1:
        said = tuple(because("one-size", what=Term(size.what), value=size.value) for size in odd[:4])
        tell(("units",), "size-unusual", because("sizes-unusual", sizes=said), because("look-at-the-units"))
        return True
    for size in odd:
        kind = type(size.value)
        least = kind(size.least) if math.isfinite(size.least) and size.least != 0.0 else None
        what = because("size-unusual", what=Term(size.what), value=size.value, least=least, most=kind(size.most))
        tell(size.path, "size-unusual", what, size.remedy or because("look-at-value-and-unit"))
    return bool(odd)
