"""The answer of `sheet` reads back, whoever's language the sheet itself is in."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.documents import read_folder, write_starter
from standtrue.model.cautions import CAUTIONS
from standtrue.model.reader_units import Language
from standtrue.show.answers.parts import Coded, Shape
from standtrue.show.answers.sheet import SheetAnswer, of_sheet
from standtrue.show.sheets.job.sheet import job_pdf
from standtrue.show.words.reader import Reader
from standtrue.work.plan.plans import find_plan
from standtrue.work.sheet.content import SheetContent
from standtrue.work.sheet.job import find_job_sheet

METRIC = re.compile(r"\d\s?(mm|m|km|kg|km/h)(?![A-Za-z/])")
TO_TYPE = re.compile(r"\[stance\].*?\bon = ")
"""What is to be written into a set-up stands as documents have it, in meters."""

ENGLISH_WORDS = re.compile(
    r"\b(the|and|from|with|of|is|are|takes|step|stance|wheel|rear|front|left|right|before|after|outside|page)\b",
    re.IGNORECASE,
)

numbers = st.floats(allow_nan=False, allow_infinity=False)
values = st.one_of(st.text(max_size=5), numbers, st.integers(), st.none(), st.lists(numbers, max_size=2))
codes = st.builds(Coded, code=st.text(max_size=5), values=st.dictionaries(st.text(max_size=5), values, max_size=2))


def built(shape: type[Shape]) -> None:
    """Build every shape: they are built when first needed, and hypothesis asks for their fields before."""
    for one in shape.__subclasses__():
        one.model_rebuild()
        built(one)


def test_every_answer_reads_back() -> None:
    built(Shape)
    st.register_type_strategy(Coded, codes)
    st.register_type_strategy(float, numbers)

    @settings(derandomize=True, deadline=None, max_examples=25)
    @given(st.from_type(SheetAnswer))
    def law(told: SheetAnswer) -> None:
        assert SheetAnswer.from_json(told.to_json()) == told

    law()


@pytest.fixture(scope="module", params=[True, False])
def content(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> SheetContent:
    """The starter shop's one job, with an order of work and without."""
    folder: Path = tmp_path_factory.mktemp("shop")
    write_starter(folder)
    shop = read_folder(folder).shop()
    (name,) = shop.jobs
    plan = find_plan(shop, shop.jobs[name], alternatives=False) if request.param else None
    return find_job_sheet(shop, shop.jobs[name], plan=plan)


def test_a_real_one_reads_back_and_has_its_codes(content: SheetContent) -> None:
    told = of_sheet(content, "job.pdf", "a4", "us")
    assert SheetAnswer.from_json(told.to_json()) == told
    assert len(told.warnings_coded) == len(told.warnings)
    assert [c.code for c in told.cautions_coded] == [c.code for c in CAUTIONS if c in content.basis.cautions]
    assert (told.steps is None) == (content.plan is None)


def test_it_rests_on_every_document_that_was_looked_up(content: SheetContent) -> None:
    kinds = {d.kind for d in of_sheet(content, "job.pdf", "letter", "metric").documents}
    assert {"job", "site", "vehicle", "procedure", "setup"} <= kinds


def on_paper(content: SheetContent, reader: Reader, folder: Path) -> str:
    file = folder / "job.pdf"
    file.write_bytes(job_pdf(content, "letter", reader))
    told = subprocess.run(["pdftotext", "-raw", str(file), "-"], check=True, capture_output=True).stdout.decode()
    return TO_TYPE.sub("", " ".join(told.split()))


@pytest.mark.parametrize("language", ["en", "es"])
def test_in_us_units_no_figure_is_metric(content: SheetContent, language: Language, tmp_path: Path) -> None:
    assert METRIC.findall(on_paper(content, Reader("us", language), tmp_path)) == []


def test_in_spanish_only_what_documents_say_is_english(content: SheetContent, tmp_path: Path) -> None:
    text = on_paper(content, Reader("metric", "es"), tmp_path)
    assert ENGLISH_WORDS.search(on_paper(content, Reader(), tmp_path)), "they are the words that a sheet says"
    assert ENGLISH_WORDS.findall(text) == []
