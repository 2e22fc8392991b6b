"""The answers of studies read back: whatever their shapes hold, and those of the demonstration shop."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from unittest.mock import create_autospec

import pytest
from attrs import evolve
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from standtrue.demo import write_demo
from standtrue.documents import read_folder
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.show.answers.ahead import AheadShape, of_ahead
from standtrue.show.answers.mix import MixShape, of_mix
from standtrue.show.answers.parts import Coded, Shape
from standtrue.show.answers.sizes import SizesShape, of_sizes
from standtrue.show.answers.study import StudyShape, of_study, study_rows
from standtrue.show.pictures.sizes import sizes_svg
from standtrue.show.words.ahead import ahead_blocks
from standtrue.show.words.basis import whole_blocks
from standtrue.show.words.blocks import Block, Lines, Table
from standtrue.show.words.mix import mix_blocks
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.remedies import engineer_first
from standtrue.show.words.sizes import sizes_told
from standtrue.show.words.study import change_words, study_blocks
from standtrue.study.sizes import SizeRange
from standtrue.work.mix.table import read_mix_table
from standtrue.work.study.ahead import find_ahead
from standtrue.work.study.answer import Change
from standtrue.work.study.rooms import ChangeKind
from standtrue.work.study.sizes import find_sizes, work_of_cars
from standtrue.work.study.studies import find_study

METRIC = re.compile(r"\d\s?(mm|m|km|kg|m²)\b")
LAW = settings(derandomize=True, deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])
"""An answer of many parts takes long to make up, and longer where the machine does much else."""

numbers = st.floats(allow_nan=False, allow_infinity=False)
values = st.one_of(st.text(max_size=5), numbers, st.integers(), st.none(), st.lists(numbers, max_size=2))
codes = st.builds(Coded, code=st.text(max_size=5), values=st.dictionaries(st.text(max_size=5), values, max_size=2))
st.register_type_strategy(Coded, codes)
st.register_type_strategy(float, numbers)


def built(shape: type[Shape]) -> None:
    """Build every shape: they are built when first needed, and hypothesis asks for their fields before."""
    for one in shape.__subclasses__():
        one.model_rebuild()
        built(one)


@pytest.mark.parametrize("shape", [StudyShape, SizesShape, AheadShape, MixShape])
def test_every_answer_reads_back(shape: type[Shape]) -> None:
    built(Shape)

    @LAW
    @given(st.from_type(shape))
    def law(answer: Shape) -> None:
        assert shape.from_json(json.loads(json.dumps(answer.to_json()))) == answer

    law()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """The demonstration shop with one car in its mix."""
    folder = tmp_path_factory.mktemp("shop")
    write_demo(folder)
    found = read_folder(folder)
    (mix,) = found.mixes.values()
    return evolve(found, mixes={mix.name: evolve(mix, vehicles=mix.vehicles[:1])}).shop()


@pytest.mark.parametrize(
    ("kind", "what", "asks"),
    [
        ("fixed", because("take-away", thing=Ref("column", "A1")), True),
        ("wall", because("wall-outward", wall=Ref("wall", "W1")), True),
        ("movable", because("move-out-of-room", thing=Ref("movable", "bench")), False),
    ],
)
def test_what_may_carry_the_building_asks_for_an_engineer_wherever_it_is_told(
    kind: ChangeKind, what: Reason, asks: bool
) -> None:
    change = create_autospec(Change, instance=True, kind=kind, reason=what)
    for reader in (ENGLISH, Reader("us", "es")):
        assert engineer_first("", reader).strip() in change_words(change, reader) or not asks
        assert ("(" in change_words(change, reader)) is asks


def same(answer: Shape) -> None:
    assert type(answer).from_json(json.loads(json.dumps(answer.to_json()))) == answer


def set_in_words(blocks: Callable[[Reader], Iterable[Block]]) -> None:
    """US units leave no metric figure; Spanish says what English says, in as many lines."""
    told = {reader: list(lines(blocks(reader))) for reader in (ENGLISH, Reader("us"), Reader("metric", "es"))}
    english, us, spanish = told.values()
    assert not [line for line in us if METRIC.search(line)]
    assert len(english) == len(us) == len(spanish)
    assert sum(a != b for a, b in zip(english, spanish, strict=True)) > 5


def lines(blocks: Iterable[Block]) -> Iterator[str]:
    for block in blocks:
        if isinstance(block, Lines):
            yield from (block.heading, *block.lines)
        else:
            title = block.title if isinstance(block, Table) else ""
            yield from (title, *block.columns, *(cell for row in block.rows for cell in row))


def test_the_study_of_the_demonstration_reads_back(shop: Shop) -> None:
    (study,) = shop.studies.values()
    answer = find_study(shop.anew(), evolve(study, work=study.work[2:4]), places=False)
    set_in_words(lambda reader: study_blocks(answer, reader))
    told = of_study(answer)
    same(told)
    assert told.rooms
    assert len(study_rows(told)) == sum(len(room.fits) for room in told.rooms)
    assert [c.code for c in told.assumptions_coded][:2] == ["order-done-if-placed", "orders-weighed"]
    assert all(change.change_coded is not None for room in told.rooms for change in room.changes)
    assert {d.kind for d in told.documents} >= {"site", "vehicle", "procedure", "mix"}


def test_the_sizes_and_distances_of_the_demonstration_read_back(shop: Shop) -> None:
    asked = shop.anew()
    site = asked.sites["Tanbark Row"]
    car = next(iter(asked.vehicles))
    sizes = find_sizes(asked, site, work_of_cars(asked, {car: 1.0}), sizes=SizeRange((2.5, 5.0), (4.0, 9.0)))
    set_in_words(lambda reader: whole_blocks(sizes_told(sizes, reader), sizes.basis, reader, why=True))
    assert not METRIC.search(sizes_svg(sizes, Reader("us")).partition("<desc")[2].partition("</desc")[0])
    told = of_sizes(sizes)
    same(told)
    assert told.frontiers
    assert told.rules_coded[-1].code == "work-of-cars"
    asked = shop.anew()
    found = find_ahead(asked, asked.sites["Tanbark Row"], [asked.vehicles[car]], supports=("floor",))
    set_in_words(lambda reader: ahead_blocks(found, reader))
    ahead = of_ahead(found)
    same(ahead)
    assert ahead.means_coded is not None
    assert {(d.kind, d.name) for d in ahead.documents} >= {("site", "Tanbark Row"), ("vehicle", car)}


def test_a_mix_reads_back(tmp_path: Path) -> None:
    text = "name,count,length,width,wheelbase\nOne,3,4.5 m,1.8 m,2.7 m\nBus,1,472 in,98 in,236 in\n"
    table = read_mix_table(text, "mix")
    set_in_words(lambda reader: mix_blocks(table, 2, "shop", reader))
    told = of_mix(table, [str(tmp_path / "mix.toml")])
    same(told)
    (aside,) = told.set_aside
    assert aside.why_coded is not None
    assert aside.why_coded.code == "row-implausible"
    assert aside.why_coded.values["field"] == "length"
