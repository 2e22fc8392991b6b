"""Many rooms on one sheet, all to one scale: the car where it fits, a hatch where it does not."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from attrs import frozen

from standtrue.draw.backends.svg import SVG
from standtrue.draw.canvas import Pen
from standtrue.draw.hatching import hatch_lines
from standtrue.draw.lettering import LINE_MM, width_mm
from standtrue.draw.page import Drawn, Page, page_svg
from standtrue.draw.styles import BLUE, GRAY, LIGHT, Hatch
from standtrue.model.anchors import in_frame
from standtrue.model.basics import Outline, Point
from standtrue.model.fits import Fits
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.labels import cautions_heading
from standtrue.show.words.many import columns, fits_word, many_key, many_question, many_scale, many_title
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_title import picture_cells
from standtrue.show.words.texts import as_sentence
from standtrue.work.place.many import ManyFits, OneFit

GAP_MM = 2.5
NAMES_MM = LINE_MM + 1.0
"""What the names above the first row and below the last take."""

LARGEST_MM, LEAST_MM = 30.0, 1.0
"""No meter is drawn longer, or shorter."""

_HATCH = Hatch(GRAY, 45.0, 1.5, 0.15)
_NOSE_M = 0.6


@frozen
class _Grid:
    """Where the rooms lie: so many in a row, each in a cell of this size, `scale` millimetres a metre."""

    across: int
    scale: float
    cell: tuple[float, float]

    def corner(self, number: int) -> Point:
        """The lower left corner of a room's cell."""
        row, column = divmod(number, self.across)
        wide, high = self.cell
        return column * (wide + GAP_MM), NAMES_MM + (row + 1) * high + row * GAP_MM


def many_pictures(many: ManyFits) -> tuple[str, ...]:
    """The names of the pictures that there are: one for each car with each card."""
    return tuple(f"{car.name}, {card.key}" for car, card, _ in columns(many))


def many_svg(many: ManyFits, reader: Reader = ENGLISH, which: int = 0) -> str:
    """The rooms as SVG text for one car with one card, the same bytes for the same answer."""
    car, card, found = list(columns(many))[which]
    title, basis = many_title(car.name, card.key, found, reader), many.basis
    notes = [as_sentence(said) for said in (*many_key(reader), *reader.reasons((*basis.warnings, *basis.limits)))]
    cautions = tuple(reader.reasons(c.reason for c in basis.cautions))
    page = Page(
        kind="chart",
        paper=many.sites[0].reader.paper or "letter",
        language=reader.language,
        title=title,
        told=" ".join((title, *notes, *cautions)),
        cells=picture_cells(title, many_question(reader), basis.marks, reader),
        banner=charts.invented_chart(reader) if basis.demonstration else "",
        below=tuple(notes),
        cautions_heading=cautions_heading(reader),
        cautions=cautions,
        widest_scale=many_scale(reader),
    )

    tips = [f"{site.name}: {fits_word(one.fits, reader)}" for site, one in zip(many.sites, found, strict=True)]

    def draw(wide: float, room: float) -> Drawn | None:
        grid = _grid(many.sites, wide, room - 2 * NAMES_MM)
        if grid is None:
            return None
        marks = [
            SVG.group([*_room(site, car, one, grid.corner(n), grid.scale)], said)
            for n, (site, one, said) in enumerate(zip(many.sites, found, tips, strict=True))
        ]
        _, bottom = grid.corner(len(many.sites) - 1)
        return Drawn((*marks, *_corners(many.sites, grid, wide)), bottom + NAMES_MM, many_scale(reader))

    return page_svg(page, draw)


def _size(site: Site) -> tuple[float, float]:
    x0, y0, x1, y1 = shapely.MultiPoint(site.outline).bounds
    return x1 - x0, y1 - y0


def _grid(sites: Sequence[Site], wide_mm: float, high_mm: float) -> _Grid | None:
    """As many in a row as are equally wide or equally high one after another, where that gives full rows.

    None where they would be too small to tell apart.
    """
    sizes = [_size(site) for site in sites]
    runs = [next((i for i, size in enumerate(sizes) if size[k] != sizes[0][k]), len(sizes)) for k in (0, 1)]
    whole = [run for run in runs if 1 < run < len(sizes) and len(sizes) % run == 0]
    across = whole[0] if whole else math.ceil(math.sqrt(len(sizes)))
    down = math.ceil(len(sizes) / across)
    wide, high = max(s[0] for s in sizes), max(s[1] for s in sizes)
    scale = min(
        LARGEST_MM,
        (wide_mm - (across - 1) * GAP_MM) / across / wide,
        (high_mm - (down - 1) * GAP_MM) / down / high,
    )
    return _Grid(across, scale, (wide * scale, high * scale)) if scale >= LEAST_MM else None


def _room(site: Site, car: Vehicle, one: OneFit, corner: Point, scale: float) -> Iterator[str]:
    x0, y0, _, _ = shapely.MultiPoint(site.outline).bounds

    def drawn(points: Outline) -> Outline:
        return tuple((corner[0] + (x - x0) * scale, corner[1] - (y - y0) * scale) for x, y in points)

    floor = drawn(site.outline)
    if one.fits is Fits.NO:
        yield SVG.path(hatch_lines(shapely.Polygon(floor), _HATCH), Pen(_HATCH.color, _HATCH.width))
    solid = [*site.holes, *(o.outline for o in site.obstacles)]
    if solid:
        yield SVG.path([drawn(o) for o in solid], Pen(width=0.15), closed=True, fill=LIGHT)
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


def _corners(sites: Sequence[Site], grid: _Grid, wide_mm: float) -> Iterator[str]:
    """The names of the rooms at the corners, above the first row and below the last, as far as there is room."""
    first_below = len(sites) - 1 - (len(sites) - 1) % grid.across
    ends = {0, min(grid.across, len(sites)) - 1, first_below, len(sites) - 1}
    free = {False: 0.0, True: 0.0}
    for number in sorted(ends):
        below = number >= first_below > 0
        x, low = grid.corner(number)
        long = width_mm(sites[number].name)
        start = max(min(x, wide_mm - long), 0.0)
        if start >= free[below] and start + long <= wide_mm:
            free[below] = start + long + 2.0
            y = low + LINE_MM if below else low - grid.cell[1] - 1.5
            yield SVG.text(sites[number].name, (start, y))
