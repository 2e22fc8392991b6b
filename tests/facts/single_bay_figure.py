"""The figure of the page on single bays: three plans, and how many cars reach which target distance. Plain SVG."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import frozen
from facts_shop import STAND_DEPTH_M

from standtrue.model.basics import Outline
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle

# Okabe and Ito, "Color Universal Design", 2008: safe for color-blind readers. Line styles and words say it too.
ORANGE, SKY, BLUE, VERMILLION = "#E69F00", "#56B4E9", "#0072B2", "#D55E00"
INK, PALE, DECK = "#000000", "#F4F4F4", "#C8C8C8"
STYLES = ((VERMILLION, "2 4"), (BLUE, "9 5"), (INK, "none"))

HEADING = "A flush lift in a single bay, 16 ft x 30 ft (4.88 m x 9.14 m): how far ahead can a target stand?"
LEGEND = "The car of median length (blue) on the decks (gray), the target's stand (orange) and the view to it (dashed)"
WIDTH, HEIGHT = 1000, 700
PLAN_SCALE, PLAN_TOP, PLAN_LEFT, PLAN_STEP = 32.0, 96.0, 24.0, 326.0
CHART = (90.0, 350.0, 960.0, 630.0)
LONGEST_MM = 4700

Plan = tuple[str, Site, Vehicle, int]
Curve = tuple[str, list[int]]


def draw(plans: Sequence[Plan], curves: Sequence[Curve], rungs_mm: Sequence[int]) -> str:
    """The whole figure. Distances are whole millimetres, each curve's sorted upward."""
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        'aria-labelledby="title desc" font-family="sans-serif" font-size="14">',
        '<title id="title">How far ahead of a car a target can stand in a bay of 16 ft by 30 ft</title>',
        f'<desc id="desc">{_described(curves, rungs_mm)}</desc>',
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#FFFFFF"/>',
        _text(24, 34, HEADING, 18),
        _text(24, 55, LEGEND, 13),
    ]
    for number, plan in enumerate(plans):
        lines.extend(_Plan(PLAN_LEFT + number * PLAN_STEP, *plan).lines())
    lines.extend(_axes(rungs_mm, len(curves[0][1])))
    for (name, distances), (color, dash) in zip(curves, STYLES, strict=True):
        lines.extend(_curve(name, distances, color, dash))
    return "\n".join([*lines, "</svg>", ""])


def _described(curves: Sequence[Curve], rungs_mm: Sequence[int]) -> str:
    parts = []
    for name, distances in curves:
        counts = ", ".join(f"{sum(d >= r for d in distances)} reach {r / 1000:.2f} m" for r in rungs_mm)
        parts.append(f"With the lift {name}, of {len(distances)} cars {counts}.")
    return "Three plans of the bay, and below them how many cars reach which target distance. " + " ".join(parts)


@frozen
class _Plan:
    """One plan: the bay, the car as far back on the decks as it must be, and the target against the rear wall."""

    left: float
    place: str
    site: Site
    car: Vehicle
    distance_mm: int

    @property
    def bay(self) -> tuple[float, float]:
        return max(x for x, _ in self.site.outline), max(y for _, y in self.site.outline)

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A point of the bay on the drawing."""
        return self.left + x * PLAN_SCALE, PLAN_TOP + (self.bay[1] - y) * PLAN_SCALE

    def box(self, x0: float, y0: float, x1: float, y1: float, style: str) -> str:
        x, y = self.at(x0, y1)
        across, down = (x1 - x0) * PLAN_SCALE, (y1 - y0) * PLAN_SCALE
        return f'<rect x="{x:.1f}" y="{y:.1f}" width="{across:.1f}" height="{down:.1f}" {style}/>'

    def lines(self) -> Iterator[str]:
        yield _text(self.left, PLAN_TOP - 10, f"lift {self.place}", 15, bold=True)
        yield from self.room()
        length, middle = self.bay[0], self.bay[1] / 2
        distance = self.distance_mm / 1000
        face = length - STAND_DEPTH_M
        nose, half = face - distance, self.car.width_m / 2
        body = f'fill="{SKY}" fill-opacity="0.55" stroke="{BLUE}" stroke-width="1.5" rx="5"'
        yield self.box(nose - self.car.length_m, middle - half, nose, middle + half, body)
        yield self.box(face, middle - 0.6, length, middle + 0.6, f'fill="{ORANGE}" stroke="{INK}"')
        view = (self.at(x, middle + y) for x, y in ((nose, -0.4), (face, -0.8), (face, 0.8), (nose, 0.4)))
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in view)
        yield f'<polygon points="{points}" fill="none" stroke="{INK}" stroke-dasharray="3 3"/>'
        (a, y), (b, _) = self.at(nose, 0.0), self.at(face, 0.0)
        ticks = f"M{a:.1f} {y + 6:.1f}v12M{b:.1f} {y + 6:.1f}v12M{a:.1f} {y + 12:.1f}H{b:.1f}"
        yield f'<path d="{ticks}" stroke="{INK}" fill="none"/>'
        yield _text((a + b) / 2, y + 36, f"{distance:.2f} m ({distance / 0.3048:.1f} ft)", 14, anchor="middle")
        yield _text(self.left, y + 36, "door", 13)

    def room(self) -> Iterator[str]:
        """Walls, decks and the door, shut."""
        length, width = self.bay
        yield self.box(0, 0, length, width, f'fill="{PALE}" stroke="{INK}" stroke-width="3"')
        placed = self.site.lifts[0]
        x, y = placed.at
        for deck in placed.lift.rest.decks:
            (x0, y0), (x1, y1) = _bounds(deck)
            yield self.box(x + x0, y + y0, x + x1, y + y1, f'fill="{DECK}" stroke="#666666"')
        (x0, y0), (x1, y1) = (self.at(*end) for end in (self.site.doors[0].start, self.site.doors[0].end))
        line = f'<line x1="{x0:.1f}" y1="{y0:.1f}" x2="{x1:.1f}" y2="{y1:.1f}"'
        yield f'{line} stroke="#FFFFFF" stroke-width="5"/>'
        yield f'{line} stroke="{INK}" stroke-width="3" stroke-dasharray="4 3"/>'


def _bounds(outline: Outline) -> tuple[tuple[float, float], tuple[float, float]]:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _across(mm: float) -> float:
    return CHART[0] + (CHART[2] - CHART[0]) * mm / LONGEST_MM


def _up(count: float, of: int) -> float:
    return CHART[3] - (CHART[3] - CHART[1]) * count / of


def _axes(rungs_mm: Sequence[int], cars: int) -> Iterator[str]:
    x0, y0, x1, y1 = CHART
    yield _text(
        24, y0 - 30, f"How many of {cars} cars can have a target so far ahead of the front of the body", 15, bold=True
    )
    for count in (0, 20, 40, 60, 80, cars):
        y = _up(count, cars)
        yield f'<line x1="{x0:.1f}" y1="{y:.1f}" x2="{x1:.1f}" y2="{y:.1f}" stroke="#DDDDDD"/>'
        yield _text(x0 - 10, y + 5, str(count), 13, anchor="end")
    for rung in rungs_mm:
        x = _across(rung)
        yield f'<line x1="{x:.1f}" y1="{y0:.1f}" x2="{x:.1f}" y2="{y1:.1f}" stroke="#888888" stroke-dasharray="1 3"/>'
        yield _text(x, y1 + 20, f"{rung / 1000:.2f} m", 13, anchor="middle")
        yield _text(x, y1 + 37, f"{rung / 304.8:.1f} ft", 13, anchor="middle")
    yield f'<path d="M{x0:.1f} {y0:.1f}V{y1:.1f}H{x1:.1f}" stroke="{INK}" fill="none"/>'
    yield _text((x0 + x1) / 2, y1 + 58, "distance from the front of the body to the target's face", 13, anchor="middle")


def _curve(name: str, distances: list[int], color: str, dash: str) -> Iterator[str]:
    cars = len(distances)
    path = [f"M{_across(0):.1f} {_up(cars, cars):.1f}"]
    for passed, distance in enumerate(distances, start=1):
        path.append(f"H{_across(distance):.1f}V{_up(cars - passed, cars):.1f}")
    yield (f'<path d="{"".join(path)}" fill="none" stroke="{color}" stroke-width="3" stroke-dasharray="{dash}"/>')
    x = _across(distances[cars // 2])
    yield _text(x - 12, _up(cars / 2, cars) + 26, name, 14, anchor="end", bold=True)


def _text(x: float, y: float, words: str, size: int, *, anchor: str = "start", bold: bool = False) -> str:
    look = f'font-size="{size}" text-anchor="{anchor}" fill="{INK}"' + (' font-weight="bold"' if bold else "")
    return f'<text x="{x:.1f}" y="{y:.1f}" {look}>{words}</text>'
