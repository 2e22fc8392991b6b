"""A law over random shops: what `place`, `measured`, `floor` and their words say of one stance agrees. Invented."""

from __future__ import annotations

import math

import numpy as np
import pytest
from attrs import evolve
from work_makers import ahead, box, car, card, folder, site

from standtrue.aim.stands import CarStands
from standtrue.documents import Folder
from standtrue.model.basics import SUPPORT_CLASSES, Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.job import Event, Job
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import FloorLevel, Procedure
from standtrue.model.setup import AlignmentReading, ReadAngle, Setup
from standtrue.model.site import Door
from standtrue.model.survey import Survey, SurveyPoint
from standtrue.model.vehicle import Sensor
from standtrue.model.verdict import Verdict
from standtrue.place.question.answer import Answer
from standtrue.show.answers.measured import of_measured
from standtrue.show.pictures.aim import measured_page
from standtrue.show.words.blocks import Lines
from standtrue.show.words.gate import gate_line
from standtrue.show.words.measured import measured_blocks
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.aim.aiming import MeasuredAnswer, judge_measured
from standtrue.work.aim.floors import judge_floor
from standtrue.work.aim.gate import May
from standtrue.work.aim.restanding import planned_stance, restand
from standtrue.work.place.places import Places, find_places
from standtrue.work.plan.plans import find_plan
from standtrue.work.sheet.job import find_job_sheet

BEGIN = {
    May.YES: "May be calibrated by this card",
    May.NO: "Do not calibrate yet: ",
    May.CANNOT_TELL: "Cannot tell yet: ",
}
SPANISH = Reader(units="us", language="es")
RADAR = (Event("sensor disturbed", "front"),)
SURE = np.diag([1e-10, 1e-10, 1e-12])


def random_shop(seed: int) -> Folder:
    """A room with a bench or two, perhaps a lift, a door that may stand open, a survey; one car and two cards."""
    rng = np.random.default_rng(seed)
    wide, deep = (float(rng.uniform(*r)) for r in ((3.2, 5.5), (5.5, 10.0)))
    room = site(wide, deep, lift_x=float(rng.uniform(0.5, 2.0)) if rng.random() < 0.4 else None)
    benches = tuple(
        Obstacle(f"bench {i}", box(x, y, x + float(rng.uniform(0.2, 1.2)), y + float(rng.uniform(0.2, 0.6))), 0.0, 1.0)
        for i in range(int(rng.integers(0, 3)))
        for x, y in [(float(rng.uniform(0.0, deep - 1.3)), float(rng.choice([0.0, wide - 0.7])))]
    )
    door = Door("gate", (deep, 0.2), (deep, wide - 0.2), 3.0, may_stand_open=True, apron=box(deep, 0, deep + 4, wide))
    room = evolve(room, obstacles=benches, doors=(door,) if rng.random() < 0.6 else ())
    limits = (("thrust angle", (-0.002, 0.002)),)
    driven = evolve(car(), alignment=limits, sensors=(Sensor("front radar", at=(3.4, 0.0, 0.5)),))
    cards = [card(ahead(float(rng.uniform(0.5, 3.5)), needs="stand"), name=name) for name in ("one", "two")]
    if rng.random() < 0.7:
        level = FloorLevel(float(rng.uniform(0.002, 0.012)), None, ())
        cards[0] = evolve(cards[0], floor_level=level)
    found = folder(room, (driven,), tuple(cards))
    surveys = {"laser": survey(rng, wide, deep)} if rng.random() < 0.8 else {}
    return evolve(found, jobs={"order": Job("order", room.name, driven.name, events=RADAR)}, surveys=surveys)


def survey(rng: np.random.Generator, wide: float, deep: float) -> Survey:
    tilt = rng.normal(0.0, 0.001, 2)
    points = tuple(
        SurveyPoint((float(x), float(y)), float(tilt[0] * x + tilt[1] * y + rng.normal(0.0, 0.0005)), 0.0005)
        for x in np.linspace(0.0, deep * float(rng.choice([1.0, 0.7])), 6)
        for y in np.linspace(0.0, wide, 4)
    )
    return Survey("laser", "shop", points)


def setup_at(form: Procedure, place: Place, on: str, height_m: float) -> Setup:
    toes = tuple(AlignmentReading(f"toe rear {side}", ReadAngle(0.001, 0.0001)) for side in ("left", "right"))
    return Setup("set-up", "order", form.key, place, on or "floor", height_m, alignment=toes)


def agree(found: Folder, form: Procedure, place: Place, on: str, height_m: float, told: Answer | None) -> None:
    """What is said of one stance; `told` is what `place` says of it."""
    shop = found.shop()
    (where,), (vehicle,) = found.sites.values(), found.vehicles.values()
    setup = setup_at(form, place, on, height_m)
    planned = planned_stance(Grounds(where), vehicle, form, setup)
    measured = judge_measured(shop, setup)
    # The car found to stand exactly there is judged as planned there.
    exact = CarStands(place, SURE, 0.0, 0.0, 0.0, measured.setup.scene.thrust)
    there = restand(Grounds(where), vehicle, form, setup, exact)
    for one in (measured.stance.answer, there.answer):
        assert (one.fits, one.margin_m, one.doors_open) == (planned.fits, planned.margin_m, planned.doors_open)
    if planned.margin_m is not None and abs(planned.margin_m) > 1e-3:
        assert there.verdict is (Verdict.ACCEPT if planned.fits is Fits.YES else Verdict.REJECT)
    if told is not None:
        assert planned.fits is Fits.YES
        assert told.margin_m is not None
        assert planned.margin_m is not None
        # Where `place` keeps off uneven or unsurveyed floor, that counts, too: geometry leaves at least as much.
        kept_off = any(
            touch.thing.kind in ("uneven", "unsurveyed") and touch.margin_m <= told.margin_m + 1e-5
            for touch in told.touches
        )
        assert planned.margin_m >= told.margin_m - 1e-5
        assert kept_off or planned.margin_m <= told.margin_m + 1e-5
        assert planned.doors_open == told.doors_open
    assert bool(planned.doors_open) is any(why.code == "with-doors-open" for why in measured.gate.told)
    codes = {hold.what.code for hold in measured.gate.holds}
    assert ("car-does-not-fit-as-planned" in codes) == (planned.fits is not Fits.YES)
    assert "stance-not-measured" in codes  # nobody measured it
    verdict = None if measured.floor is None else measured.floor.verdict
    level_agrees(found, form, place, height_m, verdict, codes, told)
    words_agree(measured)


def level_agrees(
    found: Folder,
    form: Procedure,
    place: Place,
    height_m: float,
    verdict: Verdict | None,
    codes: set[str],
    told: Answer | None,
) -> None:
    """`floor` and `measured` decide the same, and the gate says it."""
    unlevel, unknown = "floor-there-not-level" in codes, "floor-there-not-known" in codes
    if form.floor_level is None:
        assert not unlevel
        assert not unknown
        return
    if not found.surveys:
        assert verdict is None
        assert unknown
        return
    assert unlevel == (verdict is Verdict.REJECT)
    assert (verdict is Verdict.ACCEPT) == (not any(code.startswith("floor-there") for code in codes))
    if height_m == 0.0:
        shop = found.shop()
        standing = judge_floor(shop, shop.surveys["laser"], form, next(iter(found.vehicles.values())), place).standing
        assert standing is not None
        assert standing.verdict is verdict
    level = getattr(told, "level", None)
    if level is not None:
        assert level.level.verdict is verdict


def words_agree(measured: MeasuredAnswer) -> None:
    """The first line is one of three, and the same in text, JSON and picture; in Spanish as decided."""
    line = gate_line(measured.gate, ENGLISH)
    assert [word for word, begin in BEGIN.items() if line.startswith(begin)] == [measured.gate.verdict]
    told = of_measured(measured)
    assert (told.gate.line, told.gate.verdict) == (line, measured.gate.verdict)
    assert told.may_calibrate is (measured.gate.verdict is May.YES)
    first = next(iter(measured_blocks(measured, ENGLISH)))
    assert isinstance(first, Lines)
    assert first.heading == line
    if measured.stance.answer.shown is not None:
        assert measured_page(measured, ENGLISH).page.verdict.startswith(line)
    assert gate_line(measured.gate, SPANISH) != line


def hold(seed: int) -> int:
    """The law for one shop, at the stances of `place` and at others. Returns how many stances were compared."""
    found = random_shop(seed)
    rng = np.random.default_rng(10_000 + seed)
    (where,), (vehicle,) = found.sites.values(), found.vehicles.values()
    places: Places = find_places(found.shop(), where, vehicle, found.procedures, SUPPORT_CLASSES, amounts=False)
    compared = 0
    for answer in places.answers:
        form = answer.cards[0]
        if answer.fits is Fits.YES and answer.place is not None:
            # The roomiest, and the one that a person would choose.
            for one in (answer, answer.stands):
                assert one.place is not None
                on = "floor" if one.support == "floor" else one.carried_by
                agree(found, one.forms[0], one.place, on, one.height_m, one)
            compared += 1
        if answer.support == "floor":
            (x1, y1) = where.outline[2]
            random = Place(float(rng.uniform(0, x1)), float(rng.uniform(0, y1)), float(rng.uniform(-math.pi, math.pi)))
            agree(found, form, random, "floor", 0.0, None)
            if answer.fits is Fits.NO:
                assert (
                    planned_stance(Grounds(where), vehicle, form, setup_at(form, random, "floor", 0.0)).fits is Fits.NO
                )
            compared += 1
    return compared


def hold_planned(seed: int) -> int:
    """What the plan and the sheet of a job say of their stances. Returns how many were compared."""
    found = random_shop(seed)
    job = found.jobs["order"]
    plan = find_plan(found.shop(), job, alternatives=False)
    sheets = [find_job_sheet(found.shop(), job), find_job_sheet(found.shop(), job, plan=plan)]
    stances = [part.answer for sheet in sheets for stance in sheet.stances for part in stance.cards]
    stances += [one for one in plan.stances.values() if one.cards]
    for one in stances:
        assert one.place is not None
        on = "floor" if one.support == "floor" else one.carried_by
        for form in one.forms:
            agree(found, form, one.place, on, one.height_m, one)
    return len(stances)


def test_what_plan_and_sheet_say_of_one_stance_agrees() -> None:
    assert sum(hold_planned(seed) for seed in range(8)) > 5


@pytest.mark.parametrize("start", range(0, 40, 10))
def test_what_is_said_of_one_stance_agrees(start: int) -> None:
    assert sum(hold(seed) for seed in range(start, start + 10)) > 25


@pytest.mark.long
@pytest.mark.parametrize("start", range(0, 500, 25))
def test_what_is_said_of_many_stances_agrees(start: int) -> None:
    assert sum(hold(seed) for seed in range(1000 + start, 1025 + start)) > 60
    assert sum(hold_planned(seed) for seed in range(1000 + start, 1025 + start)) > 15
