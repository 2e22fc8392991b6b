"""The answer of `plan` reads back, and is told in US units and in Spanish without figures or words of another kind."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.documents import read_folder
from standtrue.show.answers.parts import Coded, Shape
from standtrue.show.answers.plan import PlanShape, of_plan
from standtrue.show.pictures.plan import plan_html, plan_strip
from standtrue.show.pictures.plan_chart import plan_chart
from standtrue.show.words.blocks import Lines, Table
from standtrue.show.words.plan import alternatives_by_name
from standtrue.show.words.plan_tables import plan_told
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan, tell_otherwise

SHOP = Path(__file__).parents[1] / "work" / "plan_shop"
US, SPANISH = Reader("us"), Reader("us", "es")
METRIC = re.compile(r"\d\s?(mm|m|km|kg)\b(?!\w)")
ENGLISH_WORDS = re.compile(
    r"\b(the|and|place|takes|step|proven|moves?|found|with|after|outside|drive in)\b", re.IGNORECASE
)

numbers = st.floats(allow_nan=False, allow_infinity=False)
values = st.one_of(st.text(max_size=5), numbers, st.integers(), st.none(), st.lists(numbers, max_size=2))
coded = st.builds(Coded, code=st.text(max_size=5), values=st.dictionaries(st.text(max_size=5), values, max_size=2))


@cache
def answer(job: str = "open") -> PlanAnswer:
    shop = read_folder(SHOP)
    return find_plan(shop.shop(), shop.jobs[job])


def shapes(shape: type[Shape] = Shape) -> Iterator[type[Shape]]:
    for one in shape.__subclasses__():
        yield one
        yield from shapes(one)


def test_every_answer_reads_back() -> None:
    # Shapes are built when first needed, and hypothesis asks for their fields before.
    for shape in shapes():
        shape.model_rebuild()
    st.register_type_strategy(Coded, coded)
    st.register_type_strategy(float, numbers)
    # Steps hold several lists each: short ones show as much, and leave room for all of them.
    st.register_type_strategy(list, lambda of: st.lists(st.from_type(get_args(of)[0]), max_size=2))

    @settings(derandomize=True, deadline=None, max_examples=25)
    @given(st.from_type(PlanShape))
    def law(told: PlanShape) -> None:
        assert PlanShape.from_json(json.loads(json.dumps(told.to_json()))) == told

    law()


def test_an_answer_of_a_shop_reads_back_with_its_reasons() -> None:
    told = of_plan(answer())
    assert PlanShape.from_json(told.to_json()) == told
    assert [a.what_coded.code for a in told.alternatives][:1] == ["only-in-bay"]
    assert told.undone
    assert all(len(step.because_coded) <= len(step.because) for step in told.steps)
    assert len(told.warnings) == len(set(told.warnings))


def said(reader: Reader) -> Iterator[str]:
    """Everything that a reader is told, in lines and in pictures."""
    told = plan_told(answer(), reader)
    for block in (*told.first, *told.short, *told.long):
        if isinstance(block, Lines):
            yield from (block.heading, *block.lines)
        else:
            title = block.title if isinstance(block, Table) else ""
            yield from (title, *block.columns, *(cell for row in block.rows for cell in row))
    for svg in (*plan_strip(answer(), reader), plan_chart(answer(), reader)):
        yield from re.findall(r"<(?:text|title|desc)[^>]*>([^<]*)<", svg)
    yield re.sub(
        r"<style.*?</style>|<script(?! type).*?</script>|<[^>]*>", " ", plan_html(answer(), reader), flags=re.S
    )


def test_no_metric_figure_is_told_in_us_units() -> None:
    assert [line for line in said(US) if METRIC.search(line)] == []


def test_an_alternative_is_named_in_either_language() -> None:
    found = answer()
    name = "solo en the bay"
    assert alternatives_by_name(name, found.alternatives, ENGLISH)[name] is found.alternatives[0]
    chosen = alternatives_by_name("only in the bay", found.alternatives, SPANISH)["only in the bay"]
    other = tell_otherwise(found, chosen)
    assert other.otherwise is chosen
    assert other.alternatives[0].change.code == "as-planned"


def test_the_page_is_in_the_readers_language() -> None:
    page = plan_html(answer(), SPANISH)
    assert '<html lang="es">' in page
    assert '{"play":"Reproducir","pause":"Pausa"}' in page
    assert ">Atrás</button>" in page
    steps = [row for block in plan_told(answer(), SPANISH).long if not isinstance(block, Lines) for row in block.rows]
    assert [cell for row in steps for cell in row[2:] if ENGLISH_WORDS.search(cell) and "the bay" not in cell] == []
