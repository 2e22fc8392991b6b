"""What whole views keep to, over random shops and the demonstration's plan: few names, none over another, under a hatch
or off the page with the widest letters; leaders that do not cross; real paper; open pits always named.
"""

from __future__ import annotations

import math
import random
import re

import pytest
import shapely
from draw_makers import CAMERA, LIFT, RADAR, answer, box
from picture_laws import faults, read_picture
from sheet_cases import plan
from sheet_cases import shop as folder

from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.lift import Obstacle, PlacedLift
from standtrue.model.reader_units import Language, System
from standtrue.model.reason import Ref, Text
from standtrue.model.site import Bay, Cover, Datum, Door, Mark, Patch, Site, Void
from standtrue.place.question.answer import Answer, Slice, Touch
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.place import drawing_of
from standtrue.show.pictures.plan import plan_strip
from standtrue.show.pictures.small_plan import small_plan
from standtrue.show.words.reader import Reader
from standtrue.work.needs.jobs import answer_job

READERS: tuple[tuple[System, Language], ...] = (("metric", "en"), ("us", "en"), ("metric", "es"), ("us", "es"))
NAMES = ("rack", "tire shelving", "rolling bench with a vise", "bumper rack by the wall", "aligner", "A", "M" * 40)


def shop(seed: int) -> Answer:
    """An answer by hand in a room with as much in it as there is room for, drawn anew for each seed."""
    rng = random.Random(seed)
    wide, deep = rng.uniform(8.0, 45.0), rng.uniform(6.0, 30.0)

    def spot(w: float, d: float) -> tuple[float, float, float, float]:
        x, y = rng.uniform(0.0, max(wide - w, 0.1)), rng.uniform(0.0, max(deep - d, 0.1))
        return x, y, x + w, y + d

    def thing(i: int) -> Obstacle:
        low, top = rng.choice(((0.0, 1.0), (0.0, 4.0), (2.5, 3.0)))
        place = box(*spot(rng.uniform(0.2, 3.0), rng.uniform(0.2, 1.5)))
        return Obstacle(f"{rng.choice(NAMES)} {i}", place, low, top, movable=rng.random() < 0.4)

    def pit(i: int) -> Void:
        x0, y0, x1, y1 = spot(rng.uniform(1.0, 5.0), rng.uniform(0.8, 1.4))
        cover = Cover(f"cover {i}", box(x0, y0, (x0 + x1) / 2, y1))
        return Void(f"pit {i}", box(x0, y0, x1, y1), covers=(cover,), closed=rng.choice(((), (cover.name,))))

    obstacles = tuple(thing(i) for i in range(rng.randrange(25)))
    site = Site(
        f"shop {seed}",
        box(0.0, 0.0, wide, deep),
        Datum((rng.uniform(0.0, 2.0), rng.uniform(0.0, 2.0)), rng.choice((0.0, math.pi / 2, 0.3))),
        obstacles=obstacles,
        doors=(Door("street door", (wide, 0.5), (wide, 4.0), 3.5), Door("gate", (0.5, deep), (4.0, deep), 3.5)),
        bays=tuple(Bay(f"bay {i}", box(*spot(7.0, 4.0))) for i in range(rng.randrange(4))),
        marks=tuple(Mark(f"stud {i}", spot(0.1, 0.1)[:2]) for i in range(rng.randrange(4))),
        patches=tuple(Patch(f"drain {i}", box(*spot(0.4, 2.0)), Text("slope")) for i in range(rng.randrange(3))),
        voids=tuple(pit(i) for i in range(rng.randrange(4))),
        lifts=(PlacedLift("lift", spot(6.0, 3.0)[:2], rng.choice((0.0, 0.4)), LIFT),) if rng.random() < 0.5 else (),
        clear_height_m=4.0,
    )
    place = Place(rng.uniform(1.5, wide - 1.5), rng.uniform(1.5, deep - 1.5), rng.uniform(-math.pi, math.pi))
    fits = rng.choice((Fits.YES, Fits.NO))
    touches = tuple(
        Touch(Ref("body"), Ref("obstacle", o.name), "obstacle", rng.uniform(-0.1, 0.4), 0.05, *_ends(o, place))
        for o in obstacles[: rng.randrange(5)]
        if fits is Fits.NO or o.bottom_m == 0.0
    )
    cards = rng.choice(((CAMERA,), (RADAR,), (CAMERA, RADAR)))
    return answer(site, cards, place, fits=fits, touches=touches)


def _ends(thing: Obstacle, place: Place) -> tuple[tuple[float, float], tuple[float, float]]:
    return thing.outline[0], (place.x_m, place.y_m)


SEEDS = (*range(6), *(pytest.param(seed, marks=pytest.mark.long) for seed in range(6, 106)))
"""A few always, a hundred in the long run."""


@pytest.mark.parametrize("seed", SEEDS)
def test_every_law_of_a_whole_view_holds_in_any_shop(seed: int) -> None:
    made = shop(seed)
    reader = Reader(*READERS[seed % len(READERS)])
    region = (Slice(0.0, ((box(1.0, 1.0, 3.0, 2.0), ()),)),) if seed % 3 == 0 else ()
    drawing = drawing_of(made, reader, slices=region, demonstration=seed % 2 == 0)
    svg = svg_of(drawing, reader)
    assert faults(read_picture(svg)) == []
    pits = sum(s.role == "void" for s in drawing.shapes)
    named = re.findall(r'<g class="name">.*?</g></g>', svg)
    said = [" ".join(re.findall(r">([^<]+)</text>", one)) for one in named]
    assert said.count("open pit" if reader.language == "en" else "fosa abierta") == min(pits, 7)
    small = small_plan(drawing, reader)
    assert re.sub(r"\s+", " ", small.svg).count('class="name"') <= 7


@pytest.mark.parametrize(
    ("units", "language"),
    [*READERS[1:3], *(pytest.param(*READERS[k], marks=pytest.mark.long) for k in (0, 3))],
)
def test_every_page_of_a_plan_keeps_them_too(units: System, language: Language) -> None:
    pages = plan_strip(plan(), Reader(units, language))
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        assert faults(read_picture(page)) == [], number


def test_a_job_draws_each_card_where_its_table_sends_the_car() -> None:
    """At the place that is recommended, in the state that the table names, and not where the card alone fits best."""
    made = answer_job(folder().shop(), folder().jobs["nib windshield"])
    uses = [(place, use) for place in made.places.shared.places for use in place.uses]
    assert uses
    for place, use in uses:
        shown = made.best(use.card)
        assert shown is not None
        assert (shown.stands.place, shown.stands.carrier) == (place.place, use.carrier)
        (body,) = (s for s in drawing_of(shown).shapes if s.role == "body")
        rear = shapely.Point(place.place.x_m, place.place.y_m)
        assert shapely.Polygon(body.areas[0][0]).covers(rear)
