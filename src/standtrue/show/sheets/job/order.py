"""The order of work on the job sheet: every step with room for its true time, the floor at it, and when it happens."""

from __future__ import annotations

from collections.abc import Sequence
from html import unescape
from re import search

from attrs import evolve, frozen

from standtrue.draw.backends.pdf import WIDEST_MM, Data, Picture
from standtrue.show.pictures.plan_strip import Scene
from standtrue.show.pictures.small_plan import small_plan
from standtrue.show.pictures.time_chart import Bar, time_chart_svg
from standtrue.show.words import labels_charts as charts
from standtrue.show.words.reader import Reader

PICTURE_MM = 118.0, 73.0
MOVE_MM = 118.0, 86.0
"""How large a floor picture is at the most, and that of a move: words stand beside it, and about three go on a page."""

MOST_ROWS = 20
"""Places and people of a time chart that is no higher than a page."""

Row = tuple[str, ...]


@frozen
class OrderStep:
    """One step. `equipment` is what it is done with, `moving` whether the car moves.

    `stance` is the number of the sheet's stance that shows it, `picture` that of its floor picture.
    """

    number: int
    what: str
    where: str
    people: tuple[str, ...]
    starts: str
    takes: str
    equipment: tuple[str, ...] = ()
    moving: bool = False
    stance: int | None = None
    picture: int | None = None


@frozen
class LeftOut:
    """What the plan leaves out, and why; `no_room`: because it fits nowhere."""

    name: str
    what: str
    because: tuple[str, ...]
    no_room: bool = False


@frozen(eq=False)
class FloorPicture:
    """The floor at one step or several that look alike there: their words stand beside it."""

    scenes: tuple[Scene, ...]
    picture: Picture


@frozen(eq=False)
class OrderOfWork:
    """The plan of the job: what it comes to, each step, what is left out, what one could do otherwise, pictures.

    A row of `otherwise` is name, time, moves, what is left out; `places` say where the car stands at each.
    """

    sentences: tuple[str, ...]
    steps: tuple[OrderStep, ...]
    proven: bool
    left_out: tuple[LeftOut, ...] = ()
    otherwise: tuple[Row, ...] = ()
    places: tuple[str, ...] = ()
    pictures: tuple[FloorPicture, ...] = ()
    bars: tuple[Bar, ...] = ()
    cautions: tuple[str, ...] = ()


def floor_pictures(scenes: Sequence[Scene], reader: Reader) -> tuple[FloorPicture, ...]:
    """A picture of each scene that has one; of those that look alike only the first, which then tells them all."""
    found: dict[str, FloorPicture] = {}
    for scene in scenes:
        if scene.drawing is None:
            continue
        moves = any(shape.role == "swept" for shape in scene.drawing.shapes)
        width, height = MOVE_MM if moves else PICTURE_MM
        picture = small_plan(scene.drawing, reader, width_mm=width, height_mm=height)
        before = found.get(picture.svg)
        shown = FloorPicture((scene,), picture) if before is None else evolve(before, scenes=(*before.scenes, scene))
        found[picture.svg] = shown
    return tuple(found.values())


def order_data(order: OrderOfWork, reader: Reader) -> dict[str, Data]:
    """What the template is given."""
    return {
        "sentences": order.sentences,
        "cautions": order.cautions,
        "steps": [_step(s) for s in order.steps],
        "left-out": [{"what": u.what, "because": u.because} for u in order.left_out],
        "otherwise": order.otherwise,
        "places": order.places,
        "pictures": [_picture(p) for p in order.pictures],
        "chart": _chart(order.bars, reader),
    }


def _step(step: OrderStep) -> dict[str, Data]:
    return {
        "number": str(step.number),
        "what": step.what,
        "equipment": ", ".join(step.equipment),
        "where": step.where,
        "people": ", ".join(step.people),
        "starts": step.starts,
        "takes": step.takes,
        "moving": step.moving,
        "stance": step.stance,
        "picture": step.picture,
    }


def _picture(shown: FloorPicture) -> dict[str, Data]:
    words: list[Data] = [{"title": f"{s.numbers}  {s.title}", "lines": s.lines} for s in shown.scenes]
    return {"words": words, "picture": shown.picture}


def _chart(bars: Sequence[Bar], reader: Reader) -> Picture | None:
    """When each step runs, by place and by person; none where so many take part that no page would hold it."""
    rows = {b.place for b in bars} | {p for b in bars for p in b.people}
    if not bars or len(rows) > MOST_ROWS:
        return None
    title = charts.chart_title(reader)
    svg = time_chart_svg(title, bars, reader, width_mm=WIDEST_MM, bare=True)
    told = search(r"<desc[^>]*>(.*?)</desc>", svg)
    return Picture(svg, unescape(told[1]) if told else title)
