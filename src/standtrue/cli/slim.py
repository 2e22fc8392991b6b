"""Makes a picture small that a page of `docs/` shows as an image: the same to the eye, to a tenth of a millimetre."""

from __future__ import annotations

import re
from itertools import pairwise

UNHEARD = re.compile(r"<style>.*?</style>|<title[ >].*?</title>|<desc[ >].*?</desc>| aria-[a-z]+=\"[^\"]*\"", re.DOTALL)
"""What a picture says to who does not see it: nobody hears it from an image; and its look on a dark screen: the page
about it is white."""

TENTHS = re.compile(r"(\d\.\d)\d+(?![\d.])")
WHOLE = re.compile(r"(\d)\.0(?![\d.])")
TAG = re.compile(r"<(path|line|rect|circle|text|g|tspan)((?: [\w-]+=\"[^\"]*\")+)(/?)>")
ATTRIBUTE = re.compile(r" ([\w-]+)=\"([^\"]*)\"")
LOOKS = frozenset(
    (
        *("stroke", "fill", "stroke-width", "stroke-dasharray", "stroke-linecap", "fill-rule", "fill-opacity"),
        *("font-weight", "font-size", "text-anchor", "paint-order"),
    )
)
"""Attributes that a style can carry as well."""

_UNITS = {"font-size": "px"}
"""What a style asks for beside the number."""

LINE = re.compile(r"M(-?[\d.]+,-?[\d.]+(?:L-?[\d.]+,-?[\d.]+)+)")


def slim(svg: str) -> str:
    """The picture without what an image never says, each look told once, each line from its own start."""
    styles: dict[str, str] = {}

    def styled(tag: re.Match[str]) -> str:
        told = [(name, WHOLE.sub(r"\1", TENTHS.sub(r"\1", value))) for name, value in ATTRIBUTE.findall(tag[2])]
        look = ";".join(f"{name}:{value}{_UNITS.get(name, '')}" for name, value in told if name in LOOKS)
        own = ((name, _path(value) if name == "d" else value) for name, value in told if name not in (*LOOKS, "class"))
        kept = "".join(f' {name}="{value}"' for name, value in own)
        named = f' class="{styles.setdefault(look, _name(len(styles)))}"' if look else ""
        return f"<{tag[1]}{named}{kept}{tag[3]}>"

    drawn = TAG.sub(styled, UNHEARD.sub("", svg))
    rules = "".join(f".{name}{{{look}}}" for look, name in styles.items())
    return re.sub(r"(<svg[^>]*>)", rf"\1<style>{rules}</style>", drawn, count=1)


def _name(number: int) -> str:
    """A short name that no number begins."""
    return f"{chr(97 + number % 26)}{number // 26 or ''}"


def _path(data: str) -> str:
    return LINE.sub(lambda line: _from_start(line[1]), data)


def _from_start(line: str) -> str:
    """A line whose points are told from each other, in tenths."""
    points = [tuple(round(10 * float(part)) for part in point.split(",")) for point in line.split("L")]
    steps = [(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in pairwise(points)]
    return f"M{_tenths(*points[0])}l{' '.join(_tenths(*step) for step in steps)}"


def _tenths(x: int, y: int) -> str:
    return f"{x / 10:g},{y / 10:g}"
