"""What `measured` tells of the set-up itself: every reading as given, the card's edition, the alignment held."""

from __future__ import annotations

import json
import math
import re
from functools import cache

import pytest
from attrs import evolve

from standtrue.demo import demo_files
from standtrue.documents import gather, load_text
from standtrue.show.answers.measured import MeasuredAnswer, of_measured
from standtrue.show.answers.needs import of_needs
from standtrue.show.answers.set_up import SetUpShape
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.sheet_report import reading_rows
from standtrue.work.aim import aiming
from standtrue.work.aim.aiming import judge_measured
from standtrue.work.aim.floors import judge_floor
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.aim.setups import scene_of
from standtrue.work.needs.jobs import find_job_needs


@cache
def measured(misread: int = -1) -> aiming.MeasuredAnswer:
    """The demonstration's set-up, with one reading (from 0) a tape's length off."""
    asked = gather(load_text(content, name) for name, content in demo_files().items()).shop()
    setup = asked.setups["corrow camera"]
    readings = tuple(evolve(r, value=90.0) if i == misread else r for i, r in enumerate(setup.readings))
    return judge_measured(asked, evolve(setup, readings=readings))


def told(misread: int = -1) -> SetUpShape:
    back = MeasuredAnswer.from_json(json.loads(json.dumps(of_measured(measured(misread)).to_json()))).set_up
    assert back is not None
    return back


def test_every_reading_is_told_with_what_it_is_known_to() -> None:
    found = told()
    given = measured().of.readings
    assert [r.value for r in found.readings] == [round(r.value, 9) for r in given]
    assert [r.u for r in found.readings] == [round(r.u, 9) for r in given]
    assert [r.number for r in found.readings if r.unchecked] == [12, 13], "height and lean were read once"
    assert found.card.edition == "invented, 3"
    assert {h.reading for h in found.alignment} >= {"thrust angle"}


def test_a_reading_left_out_is_told_and_moves_no_number() -> None:
    found = told(2)
    assert [r.value for r in found.readings][2] == 90.0
    assert [(r.number, r.said) for r in found.readings if r.said == "questioned"] == [(3, "questioned")]
    assert found.readings[2].unchecked, "no other reading was held against it"
    rows = list(reading_rows(measured(2), {3: "questioned"}, ENGLISH))
    assert len(rows) == len(found.readings)
    assert (rows[2][0], rows[2][2], rows[2][3]) == ("3", "90.000 m", "questioned")


def test_where_the_chalk_of_a_target_ends_is_told_where_no_card_tells_its_size() -> None:
    """500 mm to either side of its middle: nobody can know unless told."""
    files = demo_files()
    bare = {name: re.sub(rb"(?m)^size = .*\n", b"", content) for name, content in files.items()}
    for written, count in ((files, 0), (bare, 1)):
        asked = gather(load_text(content, name) for name, content in written.items()).shop()
        found = lay_targets_out(asked, asked.setups["corrow camera"])
        said = [one for one in found.basis.warnings if one.code == "chalk-ends"]
        assert len(said) == count
        assert all("500 mm" in ENGLISH.reason(one) for one in said)
        (one,) = found.targets
        assert count == 0 or math.dist(*one.place.chalk) == pytest.approx(1.0)


def test_estimated_dimensions_are_told_of_what_is_laid_out_and_of_the_floor() -> None:
    files = demo_files()
    car = "vehicle-tavlin-corrow.toml"
    files = {**files, car: re.sub(rb"(?m)^ground_clearance = .*\n", b"", files[car])}
    asked = gather(load_text(content, name) for name, content in files.items()).shop()
    setup = asked.setups["corrow camera"]
    scene, _ = scene_of(asked, setup)
    for basis in (
        lay_targets_out(asked, setup).basis,
        judge_floor(asked, asked.surveys["hall floor, winter"], scene.card, scene.vehicle, scene.place).basis,
    ):
        (said,) = (ENGLISH.reason(w) for w in basis.warnings if w.code == "vehicle-estimated")
        assert "ground clearance" in said


def test_needs_tell_the_order_as_it_was_written() -> None:
    asked = gather(load_text(content, name) for name, content in demo_files().items()).shop()
    found = of_needs(find_job_needs(asked, asked.jobs["corrow front"]))
    assert found.job is not None
    assert (found.job.order_number, found.job.plate) == ("TR-4107", "DEMO 58")
    assert [scan.when for scan in found.job.scans] == ["before", "after"]
    (overruled,) = (need.overruled for need in found.needs if need.overruled is not None)
    assert overruled.because_es.startswith("no se dispar")
