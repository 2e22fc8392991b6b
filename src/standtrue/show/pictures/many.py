"""Many rooms on one sheet, all to one scale: the car where it fits, a hatch where it does not."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from attrs import frozen

from standtrue.draw.backends.svg import SVG, document, mark_of
from standtrue.draw.canvas import Pen
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.lettering import LINE, TEXT_MM, width_mm
from standtrue.draw.styles import BLUE, GRAY, Hatch
from standtrue.model.anchors import in_frame
from standtrue.model.basics import Outline, Point
from standtrue.model.fits import Fits
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.banner import UNDER_MM, banner, paragraph
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.many import columns, fits_word, many_key, many_title
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.place.many import ManyFits, OneFit

WIDE_MM, HIGH_MM = 184.0, 200.0
"""What the rooms may take, so that a sheet of any paper holds them."""

GAP_MM, LEFT_MM = 2.5, 1.5
TITLE_MM = 4.6
LARGEST_MM = 30.0
"""No meter is drawn longer."""

_HATCH = Hatch(GRAY, 45.0, 1.5, 0.15)
_NOSE_M = 0.6


@frozen
class _Grid:
    """Where the rooms lie: so many in a row, each in a cell of this size, `scale` millimetres a metre."""

    across: int
    scale: float
    cell: tuple[float, float]
    top: float

    def corner(self, number: int) -> Point:
        """The lower left corner of a room's cell."""
        row, column = divmod(number, self.across)
        wide, high = self.cell
        return LEFT_MM + column * (wide + GAP_MM), self.top + (row + 1) * high + row * GAP_MM


def many_pictures(many: ManyFits) -> tuple[str, ...]:
    """The names of the pictures that there are: one for each car with each card."""
    return tuple(f"{car.name}, {card.key}" for car, card, _ in columns(many))


def many_svg(many: ManyFits, reader: Reader = ENGLISH, which: int = 0) -> str:
    """The rooms as SVG text for one car with one card, the same bytes for the same answer."""
    car, card, found = list(columns(many))[which]
    title, basis = many_title(car.name, card.key, found, reader), many.basis
    body, y = list[str](), 1.2
    if basis.demonstration:
        body.extend(banner(charts.invented_chart(reader), WIDE_MM))
        y = UNDER_MM
    y = paragraph(body, title, (LEFT_MM, y), WIDE_MM - 2 * LEFT_MM, TITLE_MM, bold=True) + 2.0
    grid = _grid(many.sites, y + TEXT_MM * LINE)
    for number, (site, one) in enumerate(zip(many.sites, found, strict=True)):
        said = f"{site.name}: {fits_word(one.fits, reader)}"
        body.append(SVG.group([*_room(site, car, one, grid.corner(number), grid.scale)], said))
    rows = math.ceil(len(many.sites) / grid.across)
    bottom = grid.top + rows * grid.cell[1] + (rows - 1) * GAP_MM
    body.extend(_corners(many.sites, grid, rows))
    notes = [
        *many_key(reader),
        *reader.reasons((*basis.warnings, *basis.limits)),
        *(charts.caution_sentence(c.reason, reader) for c in basis.cautions),
    ]
    y = bottom + 2 * TEXT_MM * LINE
    for note in notes:
        y = paragraph(body, note, (LEFT_MM, y), WIDE_MM - 2 * LEFT_MM) + 0.9
    told, mark = " ".join([title, *notes]), mark_of(title, *notes, reader.units)
    return document((WIDE_MM, y + 1.0), body, title=title, told=told, language=reader.language, mark=mark)


def _size(site: Site) -> tuple[float, float]:
    x0, y0, x1, y1 = shapely.MultiPoint(site.outline).bounds
    return x1 - x0, y1 - y0


def _grid(sites: Sequence[Site], top: float) -> _Grid:
    """As many in a row as are equally wide or equally high one after another, where that gives full rows."""
    sizes = [_size(site) for site in sites]
    runs = [next((i for i, size in enumerate(sizes) if size[k] != sizes[0][k]), len(sizes)) for k in (0, 1)]
    whole = [run for run in runs if 1 < run < len(sizes) and len(sizes) % run == 0]
    across = whole[0] if whole else math.ceil(math.sqrt(len(sizes)))
    down = math.ceil(len(sizes) / across)
    wide, high = max(s[0] for s in sizes), max(s[1] for s in sizes)
    scale = min(
        LARGEST_MM,
        ((WIDE_MM - 2 * LEFT_MM) - (across - 1) * GAP_MM) / across / wide,
        (HIGH_MM - (down - 1) * GAP_MM) / down / high,
    )
    return _Grid(across, scale, (wide * scale, high * scale), top)


def _room(site: Site, car: Vehicle, one: OneFit, corner: Point, scale: float) -> Iterator[str]:
    x0, y0, _, _ = shapely.MultiPoint(site.outline).bounds

    def drawn(points: Outline) -> Outline:
        return tuple((corner[0] + (x - x0) * scale, corner[1] - (y - y0) * scale) for x, y in points)

    floor = drawn(site.outline)
    if one.fits is Fits.NO:
        yield SVG.path(hatch_lines(shapely.Polygon(floor), _HATCH), Pen(_HATCH.color, _HATCH.width))
    solid = [*site.holes, *(o.outline for o in site.obstacles)]
    if solid:
        yield SVG.path([drawn(o) for o in solid], Pen(width=0.15), closed=True, fill="#bbbbbb")
    flat = [*(v.outline for v in site.voids)]
    if flat:
        yield SVG.path([drawn(o) for o in flat], Pen(width=0.3, dash=(0.8, 0.5)), closed=True)
    yield SVG.path([floor], Pen(width=0.35), closed=True)
    if one.place is not None:
        at = (one.place.x_m, one.place.y_m), one.place.heading_rad
        yield SVG.path([drawn(in_frame(at, car.body))], Pen(width=0.3), closed=True, fill=BLUE, opacity=0.2)
        half, nose = car.width_m / 3, car.front_x_m - 0.1
        arrow = ((nose - _NOSE_M, half), (nose, 0.0), (nose - _NOSE_M, -half))
        yield SVG.path([drawn(in_frame(at, arrow))], Pen(BLUE, 0.3))
    if one.fits is Fits.UNDECIDED:
        middle = shapely.Polygon(floor).representative_point()
        yield SVG.text("?", (middle.x, middle.y), bold=True, anchor="middle", centered=True)


def _corners(sites: Sequence[Site], grid: _Grid, rows: int) -> Iterator[str]:
    """The names of the rooms at the corners, above the first row and below the last, as far as there is room."""
    ends = {0, min(grid.across, len(sites)) - 1, (rows - 1) * grid.across, len(sites) - 1}
    taken: dict[bool, float] = {}
    for number in sorted(ends):
        below = number >= (rows - 1) * grid.across and rows > 1
        x, low = grid.corner(number)
        y = low + TEXT_MM * LINE if below else low - grid.cell[1] - 1.0
        long = width_mm(sites[number].name)
        last = x + grid.cell[0] > WIDE_MM - LEFT_MM - 1.0 and len(ends) > 1 and number % grid.across
        start = x + grid.cell[0] - long if last else x
        if start >= taken.get(below, 0.0):
            taken[below] = start + long + 2.0
            yield SVG.text(sites[number].name, (start, y))
