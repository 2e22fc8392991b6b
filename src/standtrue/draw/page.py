"""A plan as one self-contained page that plays it: no server, no network, nothing kept.

`plan_player` is the part that a served page can put among its own; `plan_page` is the whole page.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from html import escape
from importlib import resources

from attrs import evolve, frozen

from standtrue.draw.drive_shapes import car_shapes
from standtrue.draw.lettering import FONTS, TEXT_MM, clean
from standtrue.draw.shapes import Plan, Role, Shape
from standtrue.draw.sheet import Header, Paper, Sheet, bounds_of, write_names
from standtrue.draw.styles import BLACK, WHITE
from standtrue.draw.svg import Ink, n
from standtrue.model.basics import Place
from standtrue.model.site import Datum
from standtrue.model.vehicle import Vehicle

WIDTH_MM = 240.0
"""How wide the floor is drawn; the page shows it at whatever size there is."""

MOST_POSES = 60
"""How many poses of a path are kept: the player turns the car evenly between them."""

CAR_ROLES: frozenset[Role] = frozenset(
    {"body", "mirror", "wheel", "front", "axle", "heading", "centerline", "reference", "touch", "nearest"}
)
"""What moves with the car, or would hide it: the player draws the car itself."""

COLUMNS = ("What", "After", "Takes", "Where", "People", "Why")
"""What the table says of each step, beside its number."""

UNDRAWN: frozenset[Role] = frozenset({"region", "mark", "datum", "radius plate"})


@frozen(eq=False)
class PageScene:
    """One picture of the page: what it says, line by line, the floor then, and where the car goes.

    `path` is one place where the car stands, several where it moves, none where it is not in the shop.
    """

    title: str
    said: tuple[str, ...]
    plan: Plan | None
    path: tuple[Place, ...]


@frozen
class PageRow:
    """One step in words, for the table."""

    number: int
    what: str
    when: str
    takes: str
    where: str
    people: str
    because: str


@frozen(eq=False)
class PagePlan:
    """All that a page shows. `floor` is the shop at rest; `chart` an SVG; `undone` and `others` are sentences."""

    title: str
    facts: tuple[str, ...]
    vehicle: Vehicle
    floor: Plan
    scenes: tuple[PageScene, ...]
    rows: tuple[PageRow, ...]
    chart: str
    undone: tuple[tuple[str, tuple[str, ...]], ...] = ()
    others: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    demonstration: bool = False


def plan_page(plan: PagePlan) -> str:
    """The whole page as HTML."""
    policy = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
    banner = (
        '<p class="invented">INVENTED DEMONSTRATION DATA: do not work on a real car by this page</p>'
        if plan.demonstration
        else ""
    )
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<title>{_text(plan.title)}</title>
<style>
{_part("player.css")}</style>
</head>
<body>
<header>{banner}
<h1>{_text(plan.title)}</h1>
{"".join(f"<p>{_text(fact)}</p>" for fact in plan.facts)}
</header>
<main>
{plan_player(plan)}
{_words(plan)}
</main>
<script>
{_part("player.js")}</script>
</body>
</html>
"""


def plan_player(plan: PagePlan) -> str:
    """The player alone: the floor, its buttons and the list of steps. It wants `player.css` and `player.js`."""
    steps = "".join(f'<li><button type="button">{_text(scene.title)}</button></li>' for scene in plan.scenes)
    paper = _paper(plan)
    told = json.dumps({"scenes": _told(plan, paper)}, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    last = max(0, len(plan.scenes) - 1)
    return f"""<section class="player" data-plan aria-label="The plan, step by step">
<div>
{_svg(plan, paper)}
<div class="bar">
<button type="button" class="back">Back</button>
<button type="button" class="play">Play</button>
<button type="button" class="next">Next</button>
<input type="range" min="0" max="{last}" value="0" step="1" aria-label="Step">
</div>
<div class="now" role="status" aria-live="polite"></div>
</div>
<div class="list">
<h2>Steps</h2>
<ol class="steps" aria-label="Steps">{steps}</ol>
</div>
<script type="application/json">{told}</script>
</section>"""


def _part(name: str) -> str:
    return (resources.files("standtrue.draw") / name).read_text(encoding="utf-8")


def _paper(plan: PagePlan) -> Paper:
    """The floor with everything that is ever drawn on it, at one scale."""
    every = [s for p in (plan.floor, *(s.plan for s in plan.scenes if s.plan)) for s in p.shapes]
    whole = evolve(plan.floor, shapes=tuple(s for s in every if s.role not in UNDRAWN))
    low_x, _, high_x, _ = bounds = bounds_of(whole)
    return Paper(plan.floor, (WIDTH_MM - 8.0) / (high_x - low_x), 4.0, 4.0, bounds)


def _svg(plan: PagePlan, paper: Paper) -> str:
    height = (paper.bounds[3] - paper.bounds[1]) * paper.k + 8.0
    floor = _floor_shapes(plan.floor)
    names = write_names(
        evolve(plan.floor, shapes=tuple(_bare(s) for s in floor)), paper, (1.0, 1.0, WIDTH_MM - 1.0, height)
    )
    ink = Ink("page", _sheet(paper, height))
    base = set(floor)
    body = [f'<g class="floor-part">{ink.shape(s)}</g>' for s in floor]
    for scene in plan.scenes:
        own = () if scene.plan is None else _floor_shapes(scene.plan)
        drawn = "".join(ink.shape(s) for s in own if s not in base and s.role not in CAR_ROLES)
        body.append(f'<g class="scene off">{drawn}</g>')
    body.append(f'<g pointer-events="none">{"".join(ink.name(w) for w in names)}</g>')
    body.append(_car(plan.vehicle, paper.k))
    told = f"The floor of the shop with the car. The steps in words follow below: {plan.title}"
    return (
        f'<svg class="floor" viewBox="0 0 {n(WIDTH_MM)} {n(height)}" role="img" aria-label="{_text(told)}" '
        f'font-family="{escape(FONTS)}" font-size="{n(TEXT_MM)}" fill="{BLACK}" stroke-linejoin="round">\n'
        f'<rect width="{n(WIDTH_MM)}" height="{n(height)}" fill="{WHITE}"/>\n' + "\n".join(body) + "\n</svg>"
    )


def _floor_shapes(plan: Plan) -> tuple[Shape, ...]:
    return tuple(s for s in plan.shapes if s.role not in UNDRAWN)


def _bare(shape: Shape) -> Shape:
    return evolve(shape, tag="")


def _sheet(paper: Paper, height: float) -> Sheet:
    size = (WIDTH_MM, height)
    return Sheet(WIDTH_MM, height, 1, Header((), (), (), 0.0), paper, size, (), (), (), 0.0, (), (), 0.0, 0.0)


def _car(vehicle: Vehicle, k: float) -> str:
    """The car about its own origin, to be shifted and turned."""
    datum = Datum((0.0, 0.0))
    shapes = tuple(car_shapes(vehicle, Place(0.0, 0.0, 0.0), "the car"))
    paper = Paper(Plan("", (), "", datum, shapes), k, 0.0, 0.0, (0.0, 0.0, 0.0, 0.0))
    ink = Ink("car", _sheet(paper, 1.0))
    return f'<g class="car off">{"".join(ink.shape(s) for s in shapes if s.role != "axle")}</g>'


def _told(plan: PagePlan, paper: Paper) -> list[dict[str, object]]:
    floor = _floor_shapes(plan.floor)
    told: list[dict[str, object]] = []
    for scene in plan.scenes:
        shapes = set(floor) if scene.plan is None else set(_floor_shapes(scene.plan))
        hidden = [number for number, shape in enumerate(floor) if shape not in shapes]
        told.append({"said": scene.said, "path": _poses(scene.path, paper), "hidden": hidden})
    return told


def _poses(path: Sequence[Place], paper: Paper) -> list[list[float]]:
    """Poses on the drawing: millimetres, and degrees clockwise."""
    step = max(1, math.ceil(len(path) / MOST_POSES))
    kept = [*path[:-1:step], *path[-1:]]
    turned = paper.plan.datum.direction_rad
    poses = []
    for place in kept:
        x, y = paper.at((place.x_m, place.y_m))
        poses.append([round(x, 2), round(y, 2), round(-math.degrees(place.heading_rad - turned), 2)])
    return poses


def _words(plan: PagePlan) -> str:
    """The whole plan in words: what one reads, prints, or has read out."""
    parts = [
        '<h2>When</h2><div class="chart" tabindex="0" role="region" aria-label="Time chart">',
        plan.chart,
        "</div><h2>Every step in words</h2>",
        _table(plan.rows),
    ]
    if plan.undone:
        parts.append("<h2>Not done here</h2>")
        for name, lines in plan.undone:
            parts.append(f"<h3>{_text(name)}</h3><ul>{_items(lines)}</ul>")
    if plan.others:
        parts.append(f"<h2>Otherwise</h2><ul>{_items(plan.others)}</ul>")
    if plan.cautions:
        parts.append(f"<h2>Cautions</h2><ul>{_items(plan.cautions)}</ul>")
    return "\n".join(parts)


def _table(rows: Sequence[PageRow]) -> str:
    """The steps as a table. The roles say that it is one also where a narrow window stacks its cells."""
    heads = "".join(f'<th role="columnheader" scope="col">{name}</th>' for name in ("Step", *COLUMNS))
    return (
        f'<table role="table"><thead role="rowgroup"><tr role="row">{heads}</tr></thead>'
        f'<tbody role="rowgroup">{"".join(map(_row, rows))}</tbody></table>'
    )


def _row(row: PageRow) -> str:
    cells = (row.what, row.when, row.takes, row.where, row.people, row.because)
    told = "".join(
        f'<td role="cell" data-column="{name}">{_text(cell)}</td>' for name, cell in zip(COLUMNS, cells, strict=True)
    )
    return f'<tr role="row"><th role="rowheader" scope="row">{row.number}</th>{told}</tr>'


def _items(lines: Sequence[str]) -> str:
    return "".join(f"<li>{_text(line)}</li>" for line in lines)


def _text(text: str) -> str:
    return escape(clean(text))
