"""How each role looks: color, hatch and line together, so that no meaning rests on color alone.

Colors are the Okabe-Ito set (Okabe and Ito 2008, "Color Universal Design"), safe for color-blind readers.
Widths, dashes and spacings are millimetres on paper.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from standtrue.draw.shapes import Role

BLACK, GRAY, WHITE = "#000000", "#595959", "#ffffff"
ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILION, PURPLE = "#0072B2", "#D55E00", "#a8548a"
TONE, FAINT_INK = "#f0ede4", "#77736a"
"""The light fill of what stands fixed; the ink of what is flat, stored or overhead: 4.5:1 on white."""
TINT_BLUE, TINT_VERMILION = "#d9ebf6", "#f8e2d2"
LIGHT, WORK, CLOSED = "#bbbbbb", "#dcdcdc", "#f2f2f2"
"""Fills of charts: what is solid in a small plan, the shop's hours, and outside them."""


@frozen
class Hatch:
    """Parallel lines at `angle_deg`, also across them (`cross`), or dots."""

    color: str
    angle_deg: float
    spacing: float
    width: float = 0.18
    cross: bool = False
    dots: bool = False


@frozen
class Style:
    """`fill_opacity` is for the fill alone, not for hatch or line."""

    stroke: str = BLACK
    width: float = 0.25
    dash: tuple[float, ...] = ()
    fill: str = "none"
    fill_opacity: float = 1.0
    hatch: Hatch | None = None


Styles = Mapping[Role, Style]

STYLES: Styles = {
    "region": Style(GREEN, 0.25, (0.5, 0.9), "none", 1.0, Hatch(GREEN, 0, 1.8, 0.24, dots=True)),
    "bay": Style(FAINT_INK, 0.3),
    "patch": Style("none", 0.0, (), "none", 1.0, Hatch(GRAY, 0, 1.5, 0.25, dots=True)),
    "uneven": Style(VERMILION, 0.3, (1.2, 0.7), TINT_VERMILION, 0.35),
    "unsurveyed": Style(GRAY, 0.16, (0.4, 1.0)),
    "contour": Style(BLUE, 0.3),
    "survey point": Style(BLACK, 0.2),
    "planned": Style(BLACK, 0.3, (1.6, 0.9)),
    "correction": Style(VERMILION, 0.7),
    "void": Style(BLACK, 0.5, (), WHITE, 1.0, Hatch(BLACK, 45, 1.5, 0.28, cross=True)),
    "slot": Style(FAINT_INK, 0.16),
    "open cover": Style(FAINT_INK, 0.16, (0.8, 0.8)),
    "closed cover": Style(FAINT_INK, 0.18),
    "flush deck": Style(FAINT_INK, 0.28),
    "ramp": Style(FAINT_INK, 0.18),
    "radius plate": Style(FAINT_INK, 0.16),
    "stored": Style(FAINT_INK, 0.18),
    "zone plain": Style(FAINT_INK, 0.25, (0.3, 1.0)),
    "zone clear": Style(BLUE, 0.28, (2.2, 1.1)),
    "zone metal-free": Style(FAINT_INK, 0.28, (1.6, 0.7, 0.3, 0.7)),
    "zone walk": Style(GREEN, 0.4, (0.4, 0.8)),
    "zone stand": Style(BLUE, 0.4, (), "none", 1.0, Hatch(BLUE, 45, 1.7, 0.22)),
    "swept": Style("none", 0.0, (), TINT_BLUE, 0.62),
    "ghost": Style(FAINT_INK, 0.28, (0.9, 0.9)),
    "equipment": Style(BLACK, 0.3, (), WHITE),
    "exit": Style(GREEN, 0.25, (0.6, 0.7)),
    "person": Style(GREEN, 0.25, (2.2, 0.7, 0.5, 0.7)),
    "obstacle": Style(BLACK, 0.3, (), TONE),
    "movable": Style(BLACK, 0.3, (), WHITE),
    "overhead": Style(FAINT_INK, 0.18, (2.6, 0.9, 0.4, 0.9)),
    "lift part": Style(BLACK, 0.3, (), TONE),
    "post": Style("none", 0.0, (), BLACK),
    "raised deck": Style(BLACK, 0.45, (), TONE),
    "wall": Style("none", 0.0, (), BLACK),
    "hole": Style(BLACK, 0.8, (), TONE),
    "door": Style(BLACK, 0.25),
    "way in": Style("none", 0.0, (), BLACK),
    "barrier": Style(VERMILION, 0.5, (1.2, 0.7), TINT_VERMILION, 0.6),
    "wheel": Style("none", 0.0, (), BLACK),
    "mirror": Style(BLACK, 0.28, (), WHITE),
    "body": Style(BLACK, 0.6, (), WHITE),
    "glass": Style(BLACK, 0.16),
    "front": Style("none", 0.0, (), BLACK),
    "centerline": Style(PURPLE, 0.32, (3.0, 0.9, 0.6, 0.9)),
    "reference": Style(FAINT_INK, 0.16, (1.0, 0.7)),
    "string": Style(BLACK, 0.2, (0.3, 1.2)),
    "heading": Style(BLACK, 0.3),
    "target path": Style(PURPLE, 0.2, (1.0, 0.6)),
    "target": Style(BLACK, 0.6),
    "slide": Style(BLUE, 0.65, (0.1, 1.3), BLUE),
    "reverse": Style(BLUE, 0.65, (1.8, 1.1), BLUE),
    "forward": Style(BLUE, 0.65, (), BLUE),
    "mark": Style(BLACK, 0.2),
    "datum": Style(BLACK, 0.25),
    "axle": Style(BLACK, 0.2),
    "steer": Style(BLUE, 0.3),
    "turn": Style(BLUE, 0.4),
    "nearest": Style(BLACK, 0.4),
    "touch": Style(BLACK, 0.4),
    "in the way": Style(VERMILION, 0.5, (1.2, 0.7)),
}
"""What is cut is solid, the car and its target heaviest, what stands medium, what is flat or stored a hair."""
