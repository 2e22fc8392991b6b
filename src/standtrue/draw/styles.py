"""How each role looks: color, hatch and line together, so that no meaning rests on color alone.

Colors are the Okabe-Ito set (Okabe and Ito 2008, "Color Universal Design"), safe for color-blind readers.
Widths, dashes and spacings are millimetres on paper.
"""

from __future__ import annotations

from attrs import frozen

from standtrue.draw.shapes import Role

BLACK, GRAY, WHITE = "#000000", "#595959", "#ffffff"
ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILION, PURPLE = "#0072B2", "#D55E00", "#CC79A7"


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


STYLES: dict[Role, Style] = {
    "region": Style(BLUE, 0.3, (0.3, 0.9), BLUE, 0.16, Hatch(BLUE, 0, 1.6, 0.3, dots=True)),
    "bay": Style(GRAY, 0.25, (3.0, 1.5)),
    "patch": Style(GRAY, 0.25, (1.0, 0.8), "#e8e8e8", 1.0, Hatch(GRAY, 90, 1.2)),
    "uneven": Style(GRAY, 0.25, (1.0, 0.8), "#f0f0f0", 1.0, Hatch(GRAY, 0, 1.2)),
    "unsurveyed": Style(GRAY, 0.2, (0.4, 0.8), "none", 1.0, Hatch(GRAY, -45, 5.0, 0.12)),
    "contour": Style(BLUE, 0.35),
    "survey point": Style(BLACK, 0.2),
    "planned": Style(GRAY, 0.35, (1.6, 0.9)),
    "correction": Style(VERMILION, 0.7),
    "void": Style(BLACK, 0.5, (), "#cfcfcf", 1.0, Hatch(BLACK, 45, 1.1, 0.28, cross=True)),
    "slot": Style(BLACK, 0.2, (), BLACK, 0.5),
    "open cover": Style(BLACK, 0.25, (0.8, 0.8)),
    "closed cover": Style(BLACK, 0.3, (), "#f4f4f4"),
    "flush deck": Style(BLACK, 0.3, (), "#f4f4f4"),
    "ramp": Style(BLACK, 0.25, (), "#f4f4f4", 1.0, Hatch(GRAY, 0, 1.0)),
    "radius plate": Style(GRAY, 0.25),
    "stored": Style(GRAY, 0.25, (0.5, 0.7)),
    "zone plain": Style(
        PURPLE,
        0.4,
        (0.4, 0.8),
        PURPLE,
        0.07,
        Hatch(PURPLE, 0, 2.4, 0.15),
    ),
    "zone clear": Style(SKY, 0.5, (4.0, 1.2), SKY, 0.10, Hatch(SKY, -45, 3.2, 0.16)),
    "zone metal-free": Style(
        ORANGE,
        0.5,
        (3.0, 0.9, 0.5, 0.9),
        ORANGE,
        0.08,
        Hatch(ORANGE, 30, 3.6, 0.16, cross=True),
    ),
    "zone walk": Style(
        GREEN,
        0.45,
        (1.6, 0.9),
        GREEN,
        0.07,
        Hatch(GREEN, 0, 2.0, 0.28, dots=True),
    ),
    "zone stand": Style(BLUE, 0.6, (), BLUE, 0.10, Hatch(BLUE, 45, 1.8, 0.22)),
    "swept": Style(SKY, 0.35, (2.0, 0.8), SKY, 0.2),
    "wheel strip": Style(GRAY, 0.2, (), GRAY, 0.22, Hatch(GRAY, 60, 1.6, 0.12)),
    "ghost": Style(BLACK, 0.25, (1.2, 0.6)),
    "equipment": Style(BLACK, 0.25, (), WHITE, 0.8),
    "exit": Style(GREEN, 0.3, (0.6, 0.7)),
    "person": Style(GREEN, 0.3, (2.2, 0.7, 0.5, 0.7)),
    "obstacle": Style(BLACK, 0.35, (), "#dcdcdc", 1.0, Hatch(GRAY, 45, 1.4)),
    "movable": Style(BLACK, 0.35, (1.6, 0.8), "#eeeeee", 1.0, Hatch(GRAY, -45, 2.2)),
    "overhead": Style(BLACK, 0.3, (3.0, 0.8), GRAY, 0.06, Hatch(GRAY, -45, 3.0)),
    "lift part": Style(BLACK, 0.35, (), "#c4c4c4", 1.0, Hatch(BLACK, 90, 0.9)),
    "post": Style(BLACK, 0.35, (), "#8c8c8c"),
    "raised deck": Style(BLACK, 0.5, (), "#d0d0d0", 1.0, Hatch(BLACK, 0, 1.8)),
    "wall": Style(BLACK, 0.4, (), "#f0f0f0", 1.0, Hatch(BLACK, 45, 0.8)),
    "hole": Style(BLACK, 0.4, (), "#f0f0f0", 1.0, Hatch(BLACK, 45, 0.8)),
    "door": Style(BLACK, 0.3),
    "barrier": Style(VERMILION, 1.0, (), VERMILION, 0.15, Hatch(VERMILION, -45, 1.6, 0.25)),
    "wheel": Style(BLACK, 0.2, (), BLACK, 0.75),
    "mirror": Style(BLACK, 0.35, (), WHITE, 0.9),
    "body": Style(BLACK, 0.6, (), WHITE, 0.82),
    "glass": Style(BLACK, 0.2),
    "front": Style(BLACK, 0.3, (), BLACK, 0.82),
    "centerline": Style(BLACK, 0.2, (4.0, 0.9, 0.5, 0.9)),
    "reference": Style(GRAY, 0.2, (1.0, 0.7)),
    "string": Style(BLACK, 0.2, (0.3, 1.2)),
    "heading": Style(BLACK, 0.5),
    "target path": Style(PURPLE, 0.3, (1.0, 0.6)),
    "target": Style(PURPLE, 0.9),
    "slide": Style(PURPLE, 0.7, (1.0, 0.7)),
    "reverse": Style(VERMILION, 0.7, (2.2, 0.9)),
    "forward": Style(BLUE, 0.7),
    "mark": Style(BLACK, 0.25),
    "datum": Style(BLACK, 0.3, (), WHITE),
    "axle": Style(BLACK, 0.3, (), WHITE),
    "steer": Style(BLACK, 0.3, (), WHITE),
    "turn": Style(BLACK, 0.3, (), WHITE),
    "nearest": Style(BLACK, 0.7, (), SKY),
    "touch": Style(BLACK, 0.7, (), YELLOW),
    "in the way": Style(BLACK, 0.7, (), YELLOW),
}

SOLID: frozenset[Role] = frozenset(
    {
        "void", "obstacle", "movable", "overhead", "lift part", "post", "raised deck", "wall", "hole", "door", "wheel",
        "mirror", "body", "front", "heading", "target", "touch", "in the way", "equipment", "axle", "mark", "datum",
        "barrier", "forward", "reverse", "slide", "steer", "turn", "nearest",
    }
)  # fmt: skip
"""What no name may be written over, if there is room elsewhere."""

FAINT: frozenset[Role] = frozenset(
    (
        "swept",
        "wheel strip",
        "ghost",
        "region",
        "bay",
        "unsurveyed",
        "planned",
        "exit",
        "person",
        "centerline",
        "reference",
        "radius plate",
    )
)
"""What another shape's name may be written over without harm."""

SELF_NAMED: frozenset[Role] = frozenset(
    ("wheel", "mirror", "glass", "front", "heading", "datum", "axle", "bay", "void", "open cover", "closed cover")
)
"""What says on the drawing itself what it is, and needs no entry in the legend."""
