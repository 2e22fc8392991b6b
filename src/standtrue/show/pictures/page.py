"""A plan as one self-contained page that plays it: no server, no network, nothing kept.

`plan_player` is the part that a served page can put among its own; `plan_page` is the whole page.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from html import escape
from importlib import resources

from attrs import asdict, frozen

from standtrue.draw.lettering import clean
from standtrue.draw.shapes import Drawing
from standtrue.draw.styles import STYLES
from standtrue.model.basics import Place
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.page_floor import PageFloor, draw_floor, swatch_svg
from standtrue.show.pictures.time_chart import TIME_NOTE

COLUMNS = ("What", "After", "Takes", "Where", "People", "Why")
"""What the table says of each step, beside its number."""


@frozen(eq=False)
class PageScene:
    """One picture of the page: what it says, line by line, the floor then, and where the car goes.

    `path` is one place where the car stands, several where it moves, none where it is not in the shop.
    """

    title: str
    said: tuple[str, ...]
    plan: Drawing | None
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
    floor: Drawing
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
{_part("page.css")}{_part("player.css")}</style>
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
    if not plan.scenes:
        return ""
    said = f"The floor of the shop with the car. The steps in words follow below: {plan.title}"
    floor = draw_floor(plan.vehicle, plan.floor, [(s.plan, s.path) for s in plan.scenes], said)
    steps = "".join(f'<li><button type="button">{_text(scene.title)}</button></li>' for scene in plan.scenes)
    scenes = [{"said": s.said, **asdict(f)} for s, f in zip(plan.scenes, floor.scenes, strict=True)]
    told = json.dumps({"scenes": scenes}, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    return f"""<section class="player" data-plan aria-label="The plan, step by step">
<div>
{floor.svg}
<p class="away">The car is not in the shop now.</p>
<div class="bar">
<button type="button" class="back">Back</button>
<button type="button" class="play">Play</button>
<button type="button" class="next">Next</button>
<button type="button" class="near" aria-pressed="false">Near the car</button>
<input type="range" min="0" max="{len(plan.scenes) - 1}" value="0" step="1" aria-label="Step">
</div>
<div class="now" role="status" aria-live="polite"></div>
{_key(floor)}
<noscript><p>The plan is played by a script, which is switched off here. Every step is told in words.</p></noscript>
</div>
<div class="list">
<h2>Steps</h2>
<ol class="steps" aria-label="Steps">{steps}</ol>
</div>
<script type="application/json">{told}</script>
</section>"""


def _key(floor: PageFloor) -> str:
    """What each color, hatch and line means; the script shows those of the step, and its numbers."""
    items = "".join(f'<li data-role="{role}">{swatch_svg(role)}{_text(STYLES[role].words)}</li>' for role in floor.key)
    return f'<ul class="key" aria-label="What the picture shows">{items}</ul>'


def _part(name: str) -> str:
    return (resources.files("standtrue.show.pictures") / name).read_text(encoding="utf-8")


def _words(plan: PagePlan) -> str:
    """The whole plan in words: what one reads, prints, or has read out."""
    parts = []
    if plan.rows:
        parts.append(f"<h2>When</h2><p>The numbers are those of the steps. {TIME_NOTE}</p>")
        parts.append('<p class="hint">The chart is wider than this window: draw it sideways.</p>')
        parts.append('<div class="chart" tabindex="0" role="region" aria-label="Time chart">')
        parts.extend([plan.chart, "</div><h2>Every step in words</h2>", _table(plan.rows)])
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
