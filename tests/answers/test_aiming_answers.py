"""The answers of aiming read back, and are said in a reader's units and language."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Iterator
from functools import cache

import pytest
from attrs import evolve
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from standtrue.demo import demo_files
from standtrue.documents import gather, load_text
from standtrue.model.basics import Place
from standtrue.model.reason import Angle, Length
from standtrue.model.shop import Shop
from standtrue.show.answers.alignment import AlignmentAnswer, of_alignment
from standtrue.show.answers.floor import FloorAnswer, of_floor
from standtrue.show.answers.loads import LoadsAnswer, of_loads
from standtrue.show.answers.measured import MeasuredAnswer, of_measured
from standtrue.show.answers.parts import Coded, Shape
from standtrue.show.answers.reflector import ReflectorAnswer, of_reflector
from standtrue.show.answers.targets import TargetsAnswer, of_targets
from standtrue.show.words.alignment import alignment_blocks, loads_blocks, reflector_blocks
from standtrue.show.words.blocks import Block, Lines, Table
from standtrue.show.words.catalog import catalog_of
from standtrue.show.words.extract import lacking
from standtrue.show.words.floor import floor_blocks, floor_words, standing_notes
from standtrue.show.words.measured import measured_blocks
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.reasons.aim import SENTENCES
from standtrue.show.words.targets import targets_blocks
from standtrue.work.aim.aiming import judge_alignment, judge_measured
from standtrue.work.aim.floors import judge_floor
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.aim.loads import judge_loads
from standtrue.work.aim.reflectors import asked_reflector

METRIC = re.compile(r"\d\s?(mm|m|km|kg|m²)(?![A-Za-z])")
SHAPES = (TargetsAnswer, MeasuredAnswer, FloorAnswer, AlignmentAnswer, LoadsAnswer, ReflectorAnswer)

numbers = st.floats(allow_nan=False, allow_infinity=False)
values = st.one_of(st.text(max_size=5), numbers, st.integers(), st.none(), st.lists(numbers, max_size=2))
codes = st.builds(Coded, code=st.text(max_size=5), values=st.dictionaries(st.text(max_size=5), values, max_size=2))


def built(shape: type[Shape]) -> None:
    """Build every shape: they are built when first needed, and hypothesis asks for their fields before."""
    for one in shape.__subclasses__():
        one.model_rebuild()
        built(one)


@pytest.mark.parametrize("shape", SHAPES)
def test_every_answer_reads_back(shape: type[Shape]) -> None:
    built(Shape)
    st.register_type_strategy(Coded, codes)
    st.register_type_strategy(float, numbers)

    # The answer of `targets` holds many lists of readings: examples that grow beyond what is drawn are left out.
    @settings(derandomize=True, deadline=None, max_examples=15, suppress_health_check=[HealthCheck.data_too_large])
    @given(st.from_type(shape))
    def law(answer: Shape) -> None:
        assert shape.from_json(json.loads(json.dumps(answer.to_json()))) == answer

    law()


@cache
def shop() -> Shop:
    return gather(load_text(content, name) for name, content in demo_files().items()).shop()


def demonstration() -> Iterator[tuple[Shape, list[Block], list[Block]]]:
    """Each answer of the demonstration's set-up: its shape, and its blocks in US units and in Spanish."""
    us, spanish = Reader("us"), Reader("us", "es")
    found = shop().anew()
    setup, car = found.setups["corrow camera"], found.vehicles["Tavlin Corrow"]
    (survey,) = found.surveys.values()
    card = next(c for c in found.procedures if c.key == "forward camera wide board")
    targets = lay_targets_out(found, setup)
    yield of_targets(targets), [*targets_blocks(targets, us)], [*targets_blocks(targets, spanish)]
    for one in (setup, evolve(setup, readings=(evolve(setup.readings[0], value=0.1), *setup.readings[1:]))):
        measured = judge_measured(found, one)
        yield of_measured(measured), [*measured_blocks(measured, us)], [*measured_blocks(measured, spanish)]
    floor = judge_floor(found, survey, card, car, Place(15.24, 2.743, math.pi))
    yield of_floor(floor), [*floor_blocks(floor, us)], [*floor_blocks(floor, spanish)]
    alignment = judge_alignment(found, setup)
    yield of_alignment(alignment), [*alignment_blocks(alignment, us)], [*alignment_blocks(alignment, spanish)]
    for lift in found.sites[survey.site].lifts:
        loads = judge_loads(found, car, lift)
        yield of_loads(loads), [*loads_blocks(loads, us)], [*loads_blocks(loads, spanish)]
    reflector = asked_reflector("80 mm", None, 77.0)
    yield of_reflector(reflector), [*reflector_blocks(reflector, us)], [*reflector_blocks(reflector, spanish)]


def texts(blocks: Iterable[Block]) -> Iterator[str]:
    """All that blocks say, piece by piece."""
    for block in blocks:
        if isinstance(block, Lines):
            yield from (block.heading, *block.lines)
        else:
            title = block.title if isinstance(block, Table) else ""
            yield from (title, *block.columns, *(cell for row in block.rows for cell in row))


def test_the_demonstrations_answers_read_back_and_hold_no_metric_figure_in_us_units() -> None:
    for answer, us, spanish in demonstration():
        assert type(answer).from_json(json.loads(json.dumps(answer.to_json()))) == answer
        for said in (*texts(us), *texts(spanish)):
            assert not METRIC.search(said), said


def test_a_spanish_reader_finds_no_english_sentence() -> None:
    english = set(catalog_of("es").sentences)
    told = {said for _, _, blocks in demonstration() for said in texts(blocks)}
    same = {one for one in english if catalog_of("es").one(one) == one}
    assert not (told & english) - same
    files = ("/aim.py", "/targets.py", "/measured.py", "/floor.py", "/alignment.py", "/heights.py")
    own = [file for file in lacking("es") if file.startswith(("show/words/", "show/pictures/"))]
    assert not [file for file in own if file.endswith(files) and file != "show/pictures/floor.py"]
    assert all(isinstance(s, str) or callable(s) for s in SENTENCES.values())


def test_the_floor_in_words() -> None:
    found = shop().anew()
    (survey,) = found.surveys.values()
    answer = judge_floor(found, survey)
    assert not METRIC.search(floor_words(answer, Reader("us")))
    assert "de un plano" in floor_words(answer, Reader("metric", "es"))
    assert standing_notes(None, ENGLISH) == ()
    assert {m.kind for m in answer.basis.marks} == {"site", "lift", "survey"}


def test_sentence_and_table_tell_the_same_way_up_from_a_turned_datum() -> None:
    found = shop().anew()
    (survey,) = found.surveys.values()
    answer = judge_floor(found, survey)
    turned = evolve(answer, site=evolve(answer.site, datum=evolve(answer.site.datum, direction_rad=0.7)))
    for one in (answer, turned):
        rows = [row for block in floor_blocks(one, ENGLISH) if isinstance(block, Table) for row in block.rows]
        (uphill,) = [said for name, said in rows if name == "uphill"]
        assert uphill.split(" (")[0] in floor_words(one, ENGLISH)


def test_an_answer_rests_on_all_that_was_looked_up() -> None:
    found = shop().anew()
    measured = judge_measured(found, found.setups["corrow camera"])
    assert {m.kind for m in measured.basis.marks} >= {"site", "lift", "vehicle", "procedure", "job", "setup", "survey"}
    assert measured.basis.demonstration


@pytest.mark.parametrize(
    ("quantity", "spec", "metric", "us"),
    [
        (Length(0.003), "fine-down", "3 mm", "1/16 in"),
        (Length(0.003), "fine-up", "3 mm", "1/8 in"),
        (Length(0.0005), "fine-down", "0.5 mm", "<1/16 in"),
        (Length(-0.00421), "fine-up", "-4.3 mm", "-3/16 in"),
        (Length(0.00002), "fine", "<0.1 mm", "<1/16 in"),
        (Length(0.0), "fine-up", "0 mm", "0 in"),
        (Angle(math.radians(0.1004)), "fine-up", "0.11°", "0.11°"),
        (Angle(math.radians(-0.1004)), "fine-down", "-0.10°", "-0.10°"),
    ],
)
def test_tolerances_are_rounded_down_and_deviations_up_by_their_size(
    quantity: Length | Angle, spec: str, metric: str, us: str
) -> None:
    assert ENGLISH.write(quantity, spec) == metric
    assert Reader("us").write(quantity, spec) == us
