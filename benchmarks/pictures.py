"""The explanation's pictures: of the method by `python -m benchmarks.pictures`, of costs by the benchmarks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import numpy as np

from benchmarks.place import way_of
from benchmarks.place_region import sums_at
from standtrue.place.region.slices import free_polygons
from standtrue.plane.kernels import Array, rotation_core

FOLDER = Path(__file__).parents[1] / "docs" / "pictures"
BLUE, ORANGE, GREEN, GRAY = "#0072b2", "#d55e00", "#009e73", "#555555"
LOOKS = ((BLUE, ""), (ORANGE, "6 3"), (GREEN, "2 2"))
"""Colors that color-blind readers tell apart (Okabe and Ito), and never color alone."""

Curves = Mapping[str, Sequence[tuple[int, float]]]


def page(width: float, height: float, title: str, told: str, parts: Iterable[str]) -> str:
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img"'
    named = f"<title>{title}</title><desc>{told}</desc>"
    ground = f'<rect width="{width:g}" height="{height:g}" fill="#ffffff"/>'
    return "\n".join([f'{head} font-family="sans-serif" font-size="13">{named}{ground}', *parts, "</svg>\n"])


def text(x: float, y: float, said: str, anchor: str = "start", color: str = "#000000") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{color}">{said}</text>'


def shape(corners: Array, look: str) -> str:
    return f'<polygon points="{" ".join(f"{x:.2f},{y:.2f}" for x, y in corners)}" {look}/>'


def cost(curves: Curves) -> str:
    """Milliseconds against the number of things, and of zones, on logarithmic axes."""
    parts = []
    for panel, axis in enumerate(("things", "zones")):
        x0, y0, wide, high = 70.0 + panel * 400, 30.0, 290.0, 260.0
        kinds = {name.split(",")[0]: points for name, points in curves.items() if name.endswith(axis)}
        counts = [n for n, _ in next(iter(kinds.values()))]
        least, most = math.log10(counts[0]), math.log10(counts[-1])

        def at(n: float, s: float, x0: float = x0, least: float = least, most: float = most) -> tuple[float, float]:
            x = x0 + 290.0 * (math.log10(n) - least) / (most - least)
            return x, 290.0 - 260.0 * (math.log10(1e3 * s) + 2.0) / 5.0

        for power in range(-2, 4):
            y = at(counts[0], 10.0**power / 1e3)[1]
            parts.append(f'<path d="M{x0} {y:.1f}h{wide}" stroke="#dddddd"/>')
            parts.append(text(x0 - 6, y + 4, f"{10.0**power:g}", "end"))
        for n in counts:
            parts.append(text(at(n, 1.0)[0], y0 + high + 18, str(n), "middle"))
        parts.append(text(x0 + wide / 2, y0 + high + 38, f"number of {axis}", "middle"))
        if panel == 0:
            parts.append(text(20, y0 - 12, "milliseconds"))
        for (name, points), (color, dash) in zip(kinds.items(), LOOKS, strict=True):
            places = [at(n, s) for n, s in points]
            drawn = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            parts.append(f'<polyline points="{drawn}" fill="none" stroke="{color}" stroke-width="2"{dashed}/>')
            parts += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{color}"/>' for x, y in places]
            x, y = places[-1]
            parts.append(
                text(x, y + (22 if "region" in name else -8), name.replace(" of 72 headings", ""), "end", color)
            )
    told = "; ".join(
        f"{name}: {', '.join(f'{n} in {1e3 * s:.2g} ms' for n, s in points)}" for name, points in curves.items()
    )
    return page(800, 340, "Cost by the number of things and zones", told, parts)


def turned(corners: Array, angle: float) -> Array:
    c, s = math.cos(angle), math.sin(angle)
    found: Array = corners @ np.array([[c, s], [-s, c]])
    return found


def core() -> str:
    """A body turned to both ends of an interval of headings, and what it covers at all of them."""
    body = np.array([(-0.9, -0.9), (3.7, -0.9), (3.7, 0.9), (-0.9, 0.9)])
    half = math.radians(12)
    room, spare = np.empty((64, 2)), np.empty((64, 2))
    count = rotation_core(body, 0, 4, half, room, spare)
    place = np.array([1.0, -1.0]) * 80.0
    off = np.array([150.0, 180.0])
    parts = [
        shape(turned(body, half * k / 3) * place + off, f'fill="none" stroke="{GRAY}" stroke-width="0.6"')
        for k in range(-3, 4)
    ]
    look = f'fill="{BLUE}" fill-opacity="0.3" stroke="{BLUE}" stroke-width="2"'
    parts.append(shape(room[:count] * place + off, look))
    parts += [
        f'<circle cx="{off[0]}" cy="{off[1]}" r="4"/>',
        text(off[0] + 8, off[1] + 18, "the point it turns about"),
        text(175, 145, "core: covered at every heading"),
        text(60, 350, "thin: the body at headings from 12° right to 12° left"),
    ]
    return page(520, 370, "The rotation core of a body over 24 degrees of headings", "A core inside all copies.", parts)


def sums() -> str:
    """A room from above, the polygons that pairs forbid at one heading, and the positions that are left."""
    way = way_of(4, 5, (9.0, 6.0))
    heading, back = way.axis_rad + math.pi, -way.axis_rad
    outline = np.array(way.ground.site.outline)
    (x0, y0), (x1, y1) = turned(outline, back).min(axis=0), turned(outline, back).max(axis=0)
    scale = 580.0 / (x1 - x0)
    high = scale * (y1 - y0)
    place, off = np.array([scale, -scale]), np.array([20.0 - scale * x0, 20.0 + high + scale * y0])

    def drawn(corners: Array, look: str) -> str:
        return shape(turned(corners, back) * place + off, look)

    things = [pair for pair in way.pairs if pair.kind != "wall"]
    solid = {id(pair.pieces): pair.pieces for pair in things}
    thin = f'fill="{ORANGE}" fill-opacity="0.06" stroke="{ORANGE}" stroke-width="0.7"'
    green = f'fill="{GREEN}" fill-opacity="0.6" stroke="{GREEN}"'
    room = drawn(outline, 'fill="none" stroke="#000000" stroke-width="3"')
    inside = f'<clipPath id="room">{drawn(outline, "")}</clipPath><g clip-path="url(#room)">'
    parts = [inside, *(drawn(p, thin) for pair in things for p in sums_at(pair, heading))]
    parts += [drawn(np.array(outer), green) for outer, _ in free_polygons([(way.pairs, way.origins)], [heading])[0]]
    parts += [drawn(p, f'fill="{GRAY}"') for pieces in solid.values() for p in pieces]
    parts += [
        "</g>",
        room,
        text(20, high + 48, "gray: what stands in the room", color=GRAY),
        text(20, high + 68, "orange: where the rear axle must not be, for one zone and one thing each", color=ORANGE),
        text(20, high + 88, "green: where it may be, at this heading; what is left bare the walls forbid", color=GREEN),
    ]
    told = "What the forbidden polygons and the walls leave is free."
    return page(620, high + 104, "Forbidden polygons at one heading", told, parts)


def main() -> None:
    for name, drawing in (("place-core", core()), ("place-sums", sums())):
        (FOLDER / f"{name}.svg").write_text(drawing, encoding="utf-8")


if __name__ == "__main__":
    main()
