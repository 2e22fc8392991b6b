"""How each role looks on paper that is copied and faxed: black on white alone, told apart by weight, dash and hatch."""

from __future__ import annotations

from standtrue.draw.styles import BLACK, BLUE, GREEN, PURPLE, STYLES, VERMILION, WHITE, Hatch, Style, Styles

HEAVY_MM, STANDING_MM, HAIR_MM = 0.65, 0.35, 0.16
"""The car and its target; what stands on the floor; what may vanish in a copy."""

_OWN: Styles = {
    "wall": Style(BLACK, 0.2, (), BLACK),
    "hole": Style(BLACK, STANDING_MM, (), WHITE, 1.0, Hatch(BLACK, 45, 1.6, HAIR_MM)),
    "post": Style(BLACK, 0.2, (), BLACK),
    "obstacle": Style(BLACK, 0.2, (), BLACK),
    "lift part": Style(BLACK, STANDING_MM, (), WHITE, 1.0, Hatch(BLACK, 90, 1.1, HAIR_MM)),
    "raised deck": Style(BLACK, HEAVY_MM, (), WHITE),
    "movable": Style(BLACK, STANDING_MM, (), WHITE),
    "void": Style(BLACK, HEAVY_MM, (), WHITE, 1.0, Hatch(BLACK, 45, 1.5, 0.18, cross=True)),
    "slot": Style(BLACK, 0.2, (), BLACK),
    "open cover": Style(BLACK, HAIR_MM, (0.8, 0.8)),
    "closed cover": Style(BLACK, HAIR_MM),
    "flush deck": Style(BLACK, HAIR_MM),
    "ramp": Style(BLACK, HAIR_MM, (), "none", 1.0, Hatch(BLACK, 0, 2.0, HAIR_MM)),
    "radius plate": Style(BLACK, HAIR_MM),
    "patch": Style(BLACK, HAIR_MM, (1.0, 0.8)),
    "uneven": Style(BLACK, HAIR_MM, (1.0, 0.8), "none", 1.0, Hatch(BLACK, 0, 2.4, HAIR_MM)),
    "stored": Style(BLACK, HAIR_MM, (0.5, 0.7)),
    "overhead": Style(BLACK, HAIR_MM, (3.0, 0.8, 0.4, 0.8)),
    "door": Style(BLACK, STANDING_MM),
    "way in": Style(BLACK, 0.2, (), BLACK),
    "bay": Style(BLACK, 0.25),
    "equipment": Style(BLACK, STANDING_MM, (), WHITE),
    "zone plain": Style(BLACK, 0.25, (0.5, 0.9)),
    "zone clear": Style(BLACK, 0.25, (2.0, 1.0)),
    "zone metal-free": Style(BLACK, 0.25, (2.6, 0.8, 0.5, 0.8)),
    "zone walk": Style(BLACK, HAIR_MM, (1.0, 1.4)),
    "zone stand": Style(BLACK, 0.25, (1.2, 0.7)),
    "planned": Style(BLACK, 0.25, (1.6, 0.9)),
    "body": Style(BLACK, HEAVY_MM, (), WHITE),
    "mirror": Style(BLACK, STANDING_MM, (), WHITE),
    "wheel": Style(BLACK, 0.2, (), BLACK),
    "glass": Style(BLACK, 0.2),
    "front": Style(BLACK, 0.2, (), BLACK),
    "heading": Style(BLACK, 0.5),
    "centerline": Style(BLACK, 0.3, (4.0, 0.9, 0.5, 0.9)),
    "string": Style(BLACK, HAIR_MM, (0.3, 1.2)),
    "target": Style(BLACK, HEAVY_MM + 0.4),
    "target path": Style(BLACK, STANDING_MM, (1.0, 0.6)),
    "correction": Style(BLACK, 0.9),
    "mark": Style(BLACK, STANDING_MM, (), WHITE),
    "datum": Style(BLACK, STANDING_MM, (), WHITE),
}

PAPER_STYLES: Styles = {role: _OWN.get(role, Style(BLACK, HAIR_MM)) for role in STYLES}
"""Every role; what no sheet draws is a hair line."""

SMALL_STYLES: Styles = {**PAPER_STYLES, "uneven": Style(BLACK, STANDING_MM, (1.2, 0.7))}
"""A floor in one column of a sheet: names stand on floor that is too uneven for a card; it is dashed, not hatched."""

NEAR_STYLES: Styles = {
    **PAPER_STYLES,
    "zone plain": Style(BLUE, 0.3, (0.4, 0.9)),
    "zone clear": Style(BLUE, 0.35, (2.6, 1.3)),
    "zone metal-free": Style(BLUE, 0.35, (2.6, 0.8, 0.5, 0.8)),
    "zone walk": Style(GREEN, 0.45, (0.5, 0.9)),
    "zone stand": Style(BLUE, 0.45, (), WHITE, 1.0, Hatch(BLUE, 45, 1.8, 0.25)),
    "centerline": Style(PURPLE, 0.35, (4.0, 0.9, 0.5, 0.9)),
    "string": Style(PURPLE, 0.2, (0.3, 1.2)),
    "target path": Style(BLUE, STANDING_MM, (1.0, 0.6)),
    "correction": Style(BLUE, 0.8),
    "in the way": Style(VERMILION, 0.5, (1.4, 0.8)),
}
"""Near views on a screen and in color: blue where something goes, green where one may be, purple what is measured
from, vermilion what is in the way; each with its own dash or hatch."""
