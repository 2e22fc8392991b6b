"""A plan as one self-contained page that plays it: no server, no network, nothing kept.

`order_player` is the part that a served page can put among its own; `order_page` is the whole page.
"""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Mapping, Sequence
from hashlib import sha256
from html import escape
from importlib import resources
from typing import Literal

from attrs import asdict, frozen

from standtrue.draw.backends.web_font import font_faces
from standtrue.draw.lettering import clean
from standtrue.draw.night import page_css, picture_css
from standtrue.draw.shapes import Drawing
from standtrue.model.basics import Place
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.page_floor import PageFloor, draw_floor, swatch_svg
from standtrue.show.words import labels, labels_plan
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.drawing import LEGEND
from standtrue.show.words.reader import Reader


@frozen(eq=False)
class PageScene:
    """One picture of the page: what it says, line by line, the floor then, and where the car goes.

    `path` is one place where the car stands, several where it moves, none where it is not in the shop. `short` is what
    the list of steps calls it; `cautions` stand right below its title.
    """

    title: str
    short: str
    said: tuple[str, ...]
    cautions: tuple[str, ...]
    drawing: Drawing | None
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


@frozen
class PageFact:
    """A sentence at the head of the page: that something is not done, or the car late, stands out."""

    said: str
    kind: Literal["", "undone", "late"] = ""


@frozen(eq=False)
class OrderPage:
    """All that a page shows. `floor` is the shop at rest; `chart` an SVG; the rest are sentences: `facts` at its head,
    `stands` on where the car stands, `undone` and `others`.

    `untimed`: why the chart has no times of day; "" where it has.
    """

    title: str
    facts: tuple[PageFact, ...]
    stands: tuple[str, ...]
    vehicle: Vehicle
    floor: Drawing
    scenes: tuple[PageScene, ...]
    rows: tuple[PageRow, ...]
    chart: str
    undone: tuple[tuple[str, tuple[str, ...]], ...] = ()
    others: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    demonstration: bool = False
    untimed: str = ""


def order_page(page: OrderPage, reader: Reader) -> str:
    """The whole page as HTML."""
    script = f"\n{_part('player.js')}"
    digest = b64encode(sha256(script.encode()).digest()).decode("ascii")
    policy = f"default-src 'none'; font-src data:; style-src 'unsafe-inline'; script-src 'sha256-{digest}'"
    invented = labels_plan.invented_page(reader)
    banner = f'<p class="invented">{_text(invented)}</p>' if page.demonstration else ""
    return f"""<!DOCTYPE html>
<html lang="{reader.language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<title>{_text(page.title)}</title>
<style>
{font_faces()}{page_css()}
{_part("page.css")}{_part("player.css")}</style>
</head>
<body>
<header>{banner}
<h1>{_text(page.title)}</h1>
<div class="facts">{"".join(map(_fact, page.facts))}</div>
</header>
<main>
{order_player(page, reader)}
{_words(page, reader)}
</main>
<script>{script}</script>
</body>
</html>
"""


def picture_styles() -> str:
    """The rules that every picture among a page's own parts wants."""
    return picture_css()


def order_player(page: OrderPage, reader: Reader) -> str:
    """The player alone: the floor, its buttons and the list of steps. It wants `player.css` and `player.js`."""
    if not page.scenes:
        return ""
    said = labels_plan.played_floor(page.title, reader)
    floor = draw_floor(page.vehicle, page.floor, [(s.drawing, s.path) for s in page.scenes], said, reader)
    return f"""<section class="player" data-plan aria-label="{_text(labels_plan.player(reader))}">
<div class="now" role="status" aria-live="polite"></div>
<div class="view">
{floor.svg}
<p class="away">{_text(labels_plan.car_away(reader))}</p>
{_bar(len(page.scenes), reader)}
{_key(floor, reader)}
<noscript><p>{_text(labels_plan.without_script(reader))}</p></noscript>
</div>
{_steps(page, reader)}
<script type="application/json">{_data(page, floor, reader)}</script>
</section>"""


def _bar(steps: int, reader: Reader) -> str:
    """The buttons, and the slider through the steps."""
    kinds = labels_plan.buttons(reader).items()
    buttons = "\n".join(f'<button type="button" class="{kind}">{_text(said)}</button>' for kind, said in kinds)
    return f"""<div class="bar">
{buttons}
<button type="button" class="near" aria-pressed="false">{_text(labels_plan.near_button(reader))}</button>
<input type="range" min="0" max="{steps - 1}" value="0" step="1" aria-label="{_text(labels_plan.step(reader))}">
</div>"""


def _steps(page: OrderPage, reader: Reader) -> str:
    heading = _text(labels_plan.steps_heading(reader))
    items = "".join(f'<li><button type="button">{_text(scene.short)}</button></li>' for scene in page.scenes)
    return f'<div class="list">\n<h2>{heading}</h2>\n<ol class="steps" aria-label="{heading}">{items}</ol>\n</div>'


def _data(page: OrderPage, floor: PageFloor, reader: Reader) -> str:
    """What the script shows of each step, and what it writes on its button."""
    scenes = [
        {"title": s.title, "cautions": s.cautions, "said": s.said, **asdict(f)}
        for s, f in zip(page.scenes, floor.scenes, strict=True)
    ]
    told = {"words": labels_plan.play_and_pause(reader), "scenes": scenes}
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def _key(floor: PageFloor, reader: Reader) -> str:
    """What each color, hatch and line means; the script shows those of the step, and its numbers."""
    items = "".join(
        f'<li data-role="{role}">{swatch_svg(role)}{_text(reader.term(LEGEND[role]))}</li>' for role in floor.key
    )
    return f'<ul class="key" aria-label="{_text(labels_plan.key_name(reader))}">{items}</ul>'


def _part(name: str) -> str:
    return (resources.files("standtrue.show.pictures") / name).read_text(encoding="utf-8")


def _words(page: OrderPage, reader: Reader) -> str:
    """The whole plan in words: what one reads, prints, or has read out."""
    parts = []
    if page.stands:
        parts.append(f"{_heading(labels_plan.stands_heading(reader))}<ul>{_items(page.stands)}</ul>")
    if page.rows:
        numbers = _text(labels_plan.numbers_note(reader))
        note = _text(charts.time_note(page.untimed, reader))
        parts.append(f"{_heading(labels_plan.when_heading(reader))}<p>{numbers} {note}</p>")
        parts.append(f'<p class="hint">{_text(labels_plan.wide_chart(reader))}</p>')
        name = _text(labels_plan.chart_name(reader))
        parts.append(f'<div class="chart" tabindex="0" role="region" aria-label="{name}">')
        parts.extend([page.chart, f"</div>{_heading(labels_plan.table_heading(reader))}", _table(page.rows, reader)])
    if page.undone:
        parts.append(_heading(labels_plan.undone_heading(reader)))
        for name, lines in page.undone:
            parts.append(f"<h3>{_text(name)}</h3><ul>{_items(lines)}</ul>")
    if page.others:
        parts.append(f"{_heading(labels_plan.alternatives_heading(reader))}<ul>{_items(page.others)}</ul>")
    if page.cautions:
        parts.append(f"{_heading(labels.cautions_heading(reader))}<ul>{_items(page.cautions)}</ul>")
    return "\n".join(parts)


def _fact(fact: PageFact) -> str:
    return f'<p class="{fact.kind}">{_text(fact.said)}</p>' if fact.kind else f"<p>{_text(fact.said)}</p>"


def _heading(words: str) -> str:
    return f"<h2>{_text(words)}</h2>"


def _table(rows: Sequence[PageRow], reader: Reader) -> str:
    """The steps as a table. The roles say that it is one also where a narrow window stacks its cells."""
    names = labels_plan.columns(reader)
    heads = "".join(
        f'<th role="columnheader" scope="col">{_text(name)}</th>'
        for name in (labels_plan.step(reader), *names.values())
    )
    return (
        f'<table role="table"><thead role="rowgroup"><tr role="row">{heads}</tr></thead>'
        f'<tbody role="rowgroup">{"".join(_row(row, names) for row in rows)}</tbody></table>'
    )


def _row(row: PageRow, names: Mapping[str, str]) -> str:
    cells = (row.what, row.when, row.takes, row.where, row.people, row.because)
    told = "".join(
        f'<td role="cell" class="{kind}" data-column="{_text(name)}">{_text(cell)}</td>'
        for (kind, name), cell in zip(names.items(), cells, strict=True)
    )
    return f'<tr role="row"><th role="rowheader" scope="row">{row.number}</th>{told}</tr>'


def _items(lines: Sequence[str]) -> str:
    return "".join(f"<li>{_text(line)}</li>" for line in lines)


def _text(text: str) -> str:
    return escape(clean(text))
