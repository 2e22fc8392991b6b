"""What goes onto a job's sheet, from the demonstration shop's front-end collision."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cache

import pytest

from standtrue.demo import MAIN_JOB, demo_files
from standtrue.documents import Folder, gather, load_text
from standtrue.model.anchors import in_frame
from standtrue.model.cautions import Caution
from standtrue.model.fits import Fits
from standtrue.show.sheets.job.make import make_job_sheet
from standtrue.show.sheets.job.sheet import JobSheet, Section
from standtrue.show.words.reader import ENGLISH
from standtrue.work.sheet.content import CardPart
from standtrue.work.sheet.job import angles_on_order, find_job_sheet


@cache
def shop() -> Folder:
    return gather(load_text(content, name) for name, content in demo_files().items())


@cache
def sheet() -> JobSheet:
    content = find_job_sheet(shop().shop(), shop().jobs[MAIN_JOB])
    return make_job_sheet(content, sections=(Section("Moves", ("drive in",)),))


def said(cautions: Iterable[Caution]) -> str:
    return " ".join(ENGLISH.reasons(c.reason for c in cautions))


def parts() -> dict[str, CardPart]:
    return {part.card.key: part for stance in sheet().stances for part in stance.cards}


def test_every_card_of_the_job_is_somewhere_on_it() -> None:
    placed = set(parts())
    nowhere = {u.card.key for u in sheet().nowhere}
    elsewhere = {u.card.key for u in sheet().elsewhere}
    chain = {key for need in sheet().needs.needs for key in need.chain if not need.dropped}
    assert placed | nowhere | elsewhere == chain
    assert placed & nowhere == set()
    assert nowhere == {"surround-view mats"}
    assert "forward camera wide board" in placed & elsewhere, "it has a static part and a drive"
    assert sheet().sections[0].title == "Moves"


def test_the_set_up_fixes_its_cards_stance_and_brings_its_reading_plan() -> None:
    part = parts()["forward camera wide board"]
    setup = shop().setups["corrow camera"]
    assert part.setup == setup.name
    assert part.answer.place == setup.place
    assert {p.reading.what for p in part.readings} == {"distance", "offset", "height", "lean"}
    planned = {ENGLISH.reason(p.title): p.planned for p in part.readings}
    # Taped from the floor below the board, which lies about a millimeter lower than the wheels' plane there.
    assert planned["height of wide board above floor at target"] == pytest.approx(1.421, abs=0.001)
    tape = next(p for p in part.readings if p.reading.points == ("clamp front left", "wide board left"))
    car = shop().vehicles["Tavlin Corrow"]
    clamp = (car.wheelbase_m, car.track_front_m / 2 + 0.216)
    (at,) = in_frame(((setup.place.x_m, setup.place.y_m), setup.place.heading_rad), (clamp,))
    assert tape.planned == pytest.approx(math.dist(at, part.targets[0].place.chalk[0]), abs=1e-6)
    assert any("by the survey hall floor, winter" in note for note in ENGLISH.reasons(part.notes))


def test_a_further_set_up_of_the_same_card_is_told() -> None:
    assert any(w.startswith("the set-up corrow camera, moved is not shown here") for w in sheet().warnings)
    assert not any("should be plain" in w for w in sheet().warnings), "each stance says that itself"


def test_other_cards_stand_on_the_thrust_line_that_the_order_tells() -> None:
    angles = angles_on_order(shop().jobs[MAIN_JOB])
    assert math.degrees(angles["thrust angle"].value_rad) == pytest.approx(0.04)
    part = parts()["front radar reflector"]
    assert part.setup == ""
    assert part.notes == ()
    place = part.answer.place
    assert place is not None
    (reflector,) = part.targets
    x, y, _ = reflector.place.center
    aside = -(x - place.x_m) * math.sin(place.heading_rad) + (y - place.y_m) * math.cos(place.heading_rad)
    ahead = part.answer.vehicle.front_x_m + 2.3
    assert aside == pytest.approx(-ahead * math.sin(math.radians(0.04)), abs=1e-6)


def test_stances_fit_and_follow_the_order_of_work() -> None:
    assert all(stance.answer.fits is Fits.YES for stance in sheet().stances)
    turn = {key: need.order for need in sheet().needs.needs for key in need.chain}
    first = [min(turn[part.card.key] for part in stance.cards) for stance in sheet().stances]
    assert first == sorted(first)


def test_a_caution_stands_once_where_it_belongs() -> None:
    general = " ".join(sheet().cautions)
    assert "does not declare a vehicle safe" in general
    assert "keep a person at the brake" in general, "the car cannot be driven before the front end is on"
    for local in ("radar transmits", "pit is open", "licensed driver"):
        assert local not in general
    assert "radar transmits" in said(parts()["front radar reflector"].cautions)
    assert all("pit is open" in said(stance.cautions) for stance in sheet().stances)
    assert "licensed driver" in said(c for u in sheet().elsewhere for c in u.cautions)


def test_what_fits_nowhere_says_what_would_help() -> None:
    (mats,) = sheet().nowhere
    told = " ".join(mats.because)
    assert "take the rolling bench away" in told
    assert "It can be sent out (1 h 30 min to 3 h)." in told
