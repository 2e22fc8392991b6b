"""What a back end must be able to draw: lines, areas, circles and text in millimetres on paper, y down.

The front end (`ink`, `sheet_ink`) knows no more of a back end than this. Each call returns a mark, whatever the back
end makes: a piece of text for SVG, an entity for a format that has them. Marks are drawn in the order given.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, Protocol, TypeVar

from attrs import frozen

from standtrue.draw.lettering import TEXT_MM
from standtrue.draw.styles import BLACK
from standtrue.model.basics import Outline, Point

Mark = TypeVar("Mark")
Anchor = Literal["start", "middle", "end"]
Kind = Literal["", "name", "words", "words before", "words after", "leader", "dimension", "reading", "turn", "hatch"]
"""What a mark is on a picture, where that can be asked for: a thing's name and its words, alone or before or after the
line to the thing; that line, a dimension, the number of a reading or of a turn, a hatch."""

NONE = "none"
"""No fill."""


@frozen
class Pen:
    """How a line is drawn: its color, its width and its dashes, millimetres; `dots` gives its ends round caps."""

    color: str = BLACK
    width: float = 0.2
    dash: tuple[float, ...] = ()
    dots: bool = False


class Canvas(Protocol[Mark]):
    """A back end."""

    def line(self, start: Point, end: Point, pen: Pen, *, kind: Kind = "") -> Mark:
        """A straight line."""
        ...

    def path(
        self,
        lines: Sequence[Outline],
        pen: Pen | None,
        *,
        closed: bool = False,
        fill: str = NONE,
        opacity: float = 1.0,
        kind: Kind = "",
    ) -> Mark:
        """Lines as one mark; rings if `closed`, of which one inside another is a hole."""
        ...

    def circle(self, at: Point, radius: float, fill: str, pen: Pen) -> Mark:
        """A circle."""
        ...

    def box(
        self,
        at: Point,
        size: tuple[float, float],
        pen: Pen | None,
        *,
        fill: str = NONE,
        opacity: float = 1.0,
        round_mm: float = 0.0,
    ) -> Mark:
        """A level rectangle by its top left corner, with its corners rounded."""
        ...

    def text(
        self,
        words: str,
        at: Point,
        size: float = TEXT_MM,
        *,
        bold: bool = False,
        anchor: Anchor = "start",
        centered: bool = False,
        color: str = BLACK,
    ) -> Mark:
        """One line of text; `at` is on its baseline, or at half its height if `centered`."""
        ...

    def group(
        self,
        marks: Sequence[Mark],
        title: str = "",
        *,
        turned: tuple[float, Point] | None = None,
        edge: str = "",
        kind: Kind = "",
        faded: bool = False,
    ) -> Mark:
        """Several marks as one.

        `title` says what it shows, `turned` turns it by degrees clockwise about a point, `edge` is the color of an
        edge round its letters. What is `faded` has 28 % of its ink.
        """
        ...
