"""A law over random shops and surveys: what is said of one stance's level is the same wherever it is said. Invented."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from attrs import evolve

from standtrue.documents import Folder, read_folder
from standtrue.model.basics import SUPPORT_CLASSES, Outline, Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.level import LevelTold
from standtrue.model.procedure import FloorLevel, Procedure
from standtrue.model.survey import Survey, SurveyPoint
from standtrue.model.verdict import Verdict
from standtrue.place.engine import best_stance
from standtrue.show.answers.floor import of_floor
from standtrue.show.answers.place import of_places
from standtrue.show.answers.plan import of_plan
from standtrue.work.aim.floors import judge_floor
from standtrue.work.place.level import LevelFloors
from standtrue.work.place.places import Places, find_places
from standtrue.work.plan.plans import find_plan

SHOP = read_folder(Path(__file__).parent / "plan_shop")
CAMERA, RADAR = "forward camera, one target ahead", "rear corner radar, reflector"
WHEELS = ("wheel front left", "wheel front right", "wheel rear left", "wheel rear right")
ENOUGH = {"kept-to-level-floor", "kept-to-level-surveyed-floor"}


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def asked(rng: np.random.Generator, card: Procedure) -> Procedure:
    """A card that asks for level floor, in one way or another."""
    zone = card.zones[0].name
    over = ((), WHEELS, (zone,), (zone, *WHEELS[:2]))[int(rng.integers(4))]
    within, slope = float(rng.uniform(0.002, 0.014)), math.radians(float(rng.uniform(0.03, 0.4)))
    each = ((within, None), (within, None), (None, slope), (within, slope))[int(rng.integers(4))]
    return evolve(card, floor_level=FloorLevel(each[0], each[1], over))


def surveyed(rng: np.random.Generator, site: str, wide: float, deep: float) -> Survey:
    """A survey of all of a room or part of it; sometimes with a misread height."""
    x1, y1 = wide * float(rng.choice([1.0, 1.0, rng.uniform(0.4, 1.0)])), deep * float(rng.choice([1.0, 0.8]))
    at = [(float(x), float(y)) for x in np.linspace(0.0, x1, 6) for y in np.linspace(0.0, y1, 4)]
    tilt, fold = rng.normal(0.0, 0.0015, 2), float(rng.uniform(0.0, 0.006))
    heights = [tilt[0] * x + tilt[1] * y - fold * max(0.0, x - 0.6 * wide) + rng.normal(0.0, 0.0007) for x, y in at]
    if rng.random() < 0.2:
        heights[int(rng.integers(len(at)))] += 0.05
    u = float(rng.choice([0.0003, 0.0008]))
    return Survey("laser", site, tuple(SurveyPoint(p, float(z), u) for p, z in zip(at, heights, strict=True)))


def random_shop(seed: int) -> Folder:
    rng = np.random.default_rng(seed)
    wide, deep = float(rng.uniform(9.0, 12.0)), float(rng.uniform(5.0, 7.0))
    name = str(rng.choice(["bay with an open pit", "bay with a covered pit"]))
    site = evolve(SHOP.sites[name], outline=box(0.0, 0.0, wide, deep), bays=())
    if rng.random() < 0.5:
        site = evolve(site, lifts=(), voids=())
    door = evolve(site.doors[0], may_stand_open=bool(rng.random() < 0.5), apron=box(-6.0, 0.0, 0.0, deep))
    cards = tuple(asked(rng, c) if c.name == CAMERA or rng.random() < 0.5 else c for c in SHOP.procedures)
    surveys = {} if rng.random() < 0.1 else {"laser": surveyed(rng, name, wide, deep)}
    work = tuple(evolve(w, supports=("floor", "lift down", "lift up"), wheels_on="") for w in SHOP.jobs["open"].work)
    job = evolve(SHOP.jobs["open"], site=name, work=work)
    return evolve(
        SHOP, sites={name: evolve(site, doors=(door,))}, procedures=cards, surveys=surveys, jobs={"open": job}
    )


def word(told: LevelTold | None) -> str | None:
    return None if told is None else told.level.value


class Said:
    """What is said of stances in one shop."""

    def __init__(self, seed: int) -> None:
        self.folder = random_shop(seed)
        (self.site,) = self.folder.sites.values()
        self.car = self.folder.vehicles["middling car"]
        self.survey = self.folder.surveys.get("laser")
        self.compared = 0

    def by_floor(self, card: Procedure, place: Place, height_m: float) -> str | None:
        """What `floor` says; it knows the floor and decks at floor level only."""
        if card.floor_level is None or self.survey is None:
            return None if card.floor_level is None else "cannot tell"
        if height_m > 0.0:
            return word(LevelFloors(self.survey, self.site).told(card, self.car, place, height_m))
        answer = judge_floor(self.folder.shop(), self.survey, card, self.car, place)
        assert answer.standing is not None
        said = of_floor(answer).standing
        assert said is not None
        verdict = {"met": Verdict.ACCEPT, "not met": Verdict.REJECT, "cannot tell": Verdict.CANNOT_TELL, None: None}
        assert said.verdict is answer.standing.verdict is verdict[said.level]
        return said.level

    def agree(self, card: Procedure, place: Place, height_m: float, told: str | None) -> None:
        assert told == self.by_floor(card, place, height_m), (card.key, place, height_m)
        self.compared += told is not None

    def of_places(self) -> Places:
        cards = self.folder.procedures
        return find_places(self.folder.shop(), self.site, self.car, cards, SUPPORT_CLASSES, amounts=False)


def hold(seed: int, *, plan: bool) -> int:
    """The law for one shop. Returns how many stances had a level told."""
    said = Said(seed)
    places = said.of_places()
    shapes = of_places(places)
    for answer, shape in zip(places.answers, shapes.answers, strict=True):
        # Level is no part of `fits`.
        plain = best_stance(Grounds(said.site), said.car, answer.cards, answer.support)
        assert answer.fits is plain.fits
        if answer.place is None or answer.fits is not Fits.YES:
            assert answer.level is None
            continue
        assert shape.level == word(answer.level)
        said.agree(answer.forms[0], answer.place, answer.height_m, shape.level)
        kept = [w for w in places.basis.warnings if w.code in ENOUGH and w["card"] == answer.name]
        if any(str(getattr(w["support"], "word", "")) == answer.support for w in kept):
            assert shape.level == "met", "said to be level enough"
    for place, told in zip(places.shared.places, shapes.shared, strict=True):
        for use, shape_of_use in zip(place.uses, told.uses, strict=True):
            said.agree(use.form, place.place, use.height_m, shape_of_use.level)
    if plan:
        answer_of_plan = find_plan(said.folder.shop(), said.folder.jobs["open"], alternatives=False)
        steps = of_plan(answer_of_plan).steps
        for one in answer_of_plan.stances.values():
            assert one.place is not None
            said.agree(one.forms[0], one.place, one.height_m, word(one.level))
        names = {c.key: c for c in said.folder.procedures if c.floor_level is not None}
        assert all(s.level is not None for s in steps if s.kind == "calibration" and s.operation in names)
    return said.compared


def test_what_is_said_of_a_stances_level_agrees() -> None:
    assert sum(hold(seed, plan=seed % 10 == 0) for seed in range(40)) > 60


@pytest.mark.long
@pytest.mark.parametrize("start", range(0, 500, 25))
def test_what_is_said_of_many_stances_level_agrees(start: int) -> None:
    assert sum(hold(seed, plan=seed % 4 == 0) for seed in range(1000 + start, 1025 + start)) > 30
