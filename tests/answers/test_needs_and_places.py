"""Answers of needs and of places read back as they were written, and their reasons do not hang on names."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.job import Event, Job
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import METHODS, Minutes, Procedure, Source, Zone
from standtrue.model.reason import Angle, Length, Ref, because
from standtrue.model.rules import EVENTS, WHERES
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Datum, Site
from standtrue.model.stages import STAGES
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.needs.tasks import CLOSED
from standtrue.show.answers.needs import NeedsAnswer, NeedShape, NotFittedShape, StepShape, of_needs
from standtrue.show.answers.parts import AnswerShape, Coded, Shape
from standtrue.show.answers.place import JobShape, PlaceAnswer, PlaceShape, SharedShape, of_job, of_places
from standtrue.show.answers.read import ReadAnswer
from standtrue.show.words import terms
from standtrue.show.words.catalog import catalog_of
from standtrue.show.words.extract import lacking
from standtrue.show.words.needs import needs_blocks
from standtrue.show.words.place_tables import place_blocks
from standtrue.show.words.reader import Reader
from standtrue.work.needs.jobs import JobAnswer, answer_job
from standtrue.work.place.places import Places

numbers = st.floats(allow_nan=False, allow_infinity=False)
codes = st.builds(Coded, code=st.text(max_size=5), values=st.dictionaries(st.text(max_size=5), numbers, max_size=2))
SHAPES: tuple[type[Shape], ...] = (
    NeedShape, StepShape, NotFittedShape, NeedsAnswer, PlaceShape, SharedShape, PlaceAnswer, JobShape, ReadAnswer,
)  # fmt: skip
METRIC = re.compile(r"\d ?(mm|m|kg)\b")


def every_shape(shape: type[Shape] = Shape) -> Iterator[type[Shape]]:
    for one in shape.__subclasses__():
        yield one
        yield from every_shape(one)


def small(shape: type[Shape]) -> st.SearchStrategy[Shape]:
    """Answers of a shape; those that hold many others hold one of a kind at most."""
    parts: dict[str, type[Shape]] = {
        "needs": NeedShape, "order": StepShape, "not_fitted": NotFittedShape,
        "answers": PlaceShape, "shared": SharedShape,
    }  # fmt: skip
    held = [n for n in shape.model_fields if n in parts and issubclass(shape, AnswerShape)]
    few = {n: st.lists(st.from_type(parts[n]), max_size=1) for n in held}
    return st.builds(shape, **few) if few else st.from_type(shape)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.__name__)
def test_every_answer_reads_back(shape: type[Shape]) -> None:
    # Shapes are built when first needed, and hypothesis asks for their fields before.
    for one in every_shape():
        one.model_rebuild()
    st.register_type_strategy(Coded, codes)
    st.register_type_strategy(float, numbers)

    @settings(derandomize=True, deadline=None, max_examples=20)
    @given(small(shape))
    def reads_back(answer: Shape) -> None:
        written = json.loads(json.dumps(answer.to_json()))
        assert shape.from_json(written) == answer
        assert shape.from_json(written).to_json() == written

    reads_back()


CAR = Vehicle(
    "car", 4.7, 1.85, 2.05, 1.5, 2.75, 0.975, 1.55, 1.55, 0.2, 0.65, 0.15, turning_circle_m=11.0,
    sensors=(Sensor("forward camera", at=(1.9, 0.0, 1.3)), Sensor("front radar", at=(3.6, 0.0, 0.5))),
)  # fmt: skip


def shop(wall: str, bench: str, room_m: float) -> Shop:
    """A room, its bench named like a wall or not, and a card that fits in front of it or not."""
    outline = ((0.0, 0.0), (room_m, 0.0), (room_m, 5.0), (0.0, 5.0))
    top = ((1.0, 4.2), (3.0, 4.2), (3.0, 4.9), (1.0, 4.9))
    post = ((room_m - 0.4, 0.1), (room_m - 0.1, 0.1), (room_m - 0.1, 0.4), (room_m - 0.4, 0.4))
    obstacles = (Obstacle(bench, top, 0.0, 1.0, movable=True), Obstacle(wall, post, 0.0, 3.0))
    zone = Zone("view", "clear", "front", ((0.0, -1.0), (2.0, -1.0), (2.0, 1.0), (0.0, 1.0)), 0.5, 2.0)
    cards = (
        Procedure("camera", "forward camera", "static", Source("invented"), minutes=Minutes(), zones=(zone,)),
        Procedure("radar", "front radar", "drive", Source("invented")),
    )
    job = Job("order", "site", "car", events=(Event("windshield replaced"), Event("front bumper removed", "front")))
    site = Site("site", outline, Datum((0.0, 0.0)), obstacles=obstacles)
    return Shop(Written(sites={"site": site}, vehicles={"car": CAR}, jobs={"order": job}, procedures=cards))


def answered(wall: str, bench: str, room_m: float) -> JobAnswer:
    asked = shop(wall, bench, room_m)
    return answer_job(asked, asked.jobs["order"])


@pytest.fixture(scope="module", params=[9.0, 6.0], ids=["fits", "does not fit"])
def room_m(request: pytest.FixtureRequest) -> float:
    assert isinstance(request.param, float)
    return request.param


def test_a_real_answer_reads_back(room_m: float) -> None:
    answer = answered("column", "bench", room_m)
    for told in (of_job(answer), of_needs(answer.needs), of_places(answer.places)):
        assert type(told).from_json(json.loads(json.dumps(told.to_json()))) == told


def amounts(told: Any) -> Iterator[Any]:
    """Every code, kind and number of an answer as data, in order; no name and no sentence."""
    if isinstance(told, dict):
        for key, value in told.items():
            yield key
            yield from amounts(value) if key not in ("documents",) else ()
    elif isinstance(told, list):
        for value in told:
            yield from amounts(value)
    elif not isinstance(told, str):
        yield told


def test_a_reason_does_not_depend_on_a_things_name(room_m: float) -> None:
    plain = of_job(answered("column", "bench", room_m)).to_json()
    for wall, bench in (("wall", "wall cabinet"), ("ceiling", "open pit"), ("deck", "floor not level")):
        assert list(amounts(of_job(answered(wall, bench, room_m)).to_json())) == list(amounts(plain))


def every_text(places: Places, answer: JobAnswer, reader: Reader) -> str:
    blocks = (*needs_blocks(answer.needs, reader), *place_blocks(places, reader))
    return json.dumps([str(block) for block in blocks], ensure_ascii=False)


def test_no_metric_figure_is_left_in_us_units(room_m: float) -> None:
    answer = answered("column", "bench", room_m)
    assert METRIC.search(every_text(answer.places, answer, Reader("metric")))
    assert not METRIC.search(every_text(answer.places, answer, Reader("us")))


def test_every_word_of_a_closed_list_is_a_term_and_has_its_spanish() -> None:
    lists = [value for name, value in vars(terms).items() if name.isupper() and isinstance(value, tuple)]
    known = {word for words in lists for word in words}
    assert {*EVENTS, *WHERES, *SUPPORT_CLASSES, *METHODS} <= known
    spanish = catalog_of("es").sentences
    assert all(word in spanish for word in {*known, *STAGES, *CLOSED})


def test_every_sentence_of_needs_and_places_has_its_spanish() -> None:
    own = ("needs", "place", "remedies", "cautions", "ask", "basis", "read", "terms", "car", "floor", "answers")
    files = {file for file in lacking("es") if file.rsplit("/", 1)[-1].removesuffix(".py") in own}
    assert not files


def test_floors_are_told_level_by_what_was_asked() -> None:
    survey, reader = Ref("survey", "laser"), Reader("us")
    both = because("no-level-floor", within=Length(0.008), slope=Angle(0.005), survey=survey)
    assert "5/16 in" in reader.reason(both)
    assert "0.28°" in reader.reason(both)
    assert "5/16 in" in reader.reason(because("no-level-floor", within=Length(0.008), survey=survey))
    assert "0.28°" in reader.reason(because("no-level-floor", slope=Angle(0.005), survey=survey))
    assert evolve(survey, name="tape") != survey
