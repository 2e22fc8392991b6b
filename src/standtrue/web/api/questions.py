"""The questions that the API answers, each as the command of that name does: what is asked, of what, in which shape."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from attrs import field, frozen

from standtrue.model.asking import Asking
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.basis import Basis
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.model.site import CHECKED, Checked
from standtrue.show.answers.alignment import AlignmentAnswer, of_alignment
from standtrue.show.answers.drive import DriveAnswer, of_drive
from standtrue.show.answers.floor import FloorAnswer, of_floor
from standtrue.show.answers.loads import LoadsAnswer, of_loads
from standtrue.show.answers.measured import MeasuredAnswer, of_measured
from standtrue.show.answers.needs import NeedsAnswer, of_needs
from standtrue.show.answers.parts import Shape
from standtrue.show.answers.place import JobShape, PlaceAnswer, of_job, of_places
from standtrue.show.answers.plan import PlanShape, of_plan
from standtrue.show.answers.read import ReadAnswer, of_read
from standtrue.show.answers.records import VerifyAnswer, of_verified
from standtrue.show.answers.sizes import SizesShape, of_sizes
from standtrue.show.answers.study import StudyShape, of_study
from standtrue.show.answers.targets import TargetsAnswer, of_targets
from standtrue.web.api import asked as form
from standtrue.web.state import State
from standtrue.work.aim.aiming import judge_alignment, judge_measured
from standtrue.work.aim.floors import judge_floor
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.aim.loads import judge_loads
from standtrue.work.ask import pick, pick_cards, pick_support, sound
from standtrue.work.drive.drives import drive_between
from standtrue.work.needs.jobs import answer_job, find_job_needs
from standtrue.work.place.places import cards_for, find_places
from standtrue.work.plan.plans import find_plan
from standtrue.work.records.verifying import is_anchor, verify_store
from standtrue.work.shop.folders import shop_read
from standtrue.work.stances import stance_written
from standtrue.work.study.sized_rooms import standing
from standtrue.work.study.sizes import find_sizes, sizes_up_to, work_asked
from standtrue.work.study.studies import find_study

SHOP = ""
"""The job of what belongs to none, such as a survey of the floor."""


@frozen(eq=False)
class Found:
    """An answer as the use case gave it and as data, what it rests on, and whose record it belongs to."""

    value: Any
    shape: Shape
    basis: Basis = field(factory=Basis)
    job: str | None = None
    """"" : that of the shop itself; None: it is nobody's."""
    stopped: bool = False
    """Whether somebody stopped it before it was whole."""


@frozen(eq=False)
class Question:
    """One question. `long`: it is answered as a task."""

    name: str
    asked: type[form.Asked]
    shape: type[Shape]
    answer: Callable[[State, Any, Asking], Found]
    long: bool = False


def shop_of(state: State) -> Shop:
    """The shop for one question. Raises UnansweredError: no answer rests on half-read documents."""
    return sound(state.served.read().folder)


def _needs(state: State, asked: form.JobAsked, _: Asking) -> Found:
    shop = shop_of(state)
    found = find_job_needs(shop, pick("job", asked.job, shop.jobs, "job"))
    return Found(found, of_needs(found), found.basis, found.job.name)


def _job(state: State, asked: form.JobAsked, asking: Asking) -> Found:
    shop = shop_of(state)
    found = answer_job(shop, pick("job", asked.job, shop.jobs, "job"), asking)
    return Found(found, of_job(found), found.basis, found.needs.job.name)


def _plan(state: State, asked: form.PlanAsked, asking: Asking) -> Found:
    shop = shop_of(state)
    job = pick("job", asked.job, shop.jobs, "job")
    found = find_plan(shop, job, alternatives=asked.alternatives, asking=asking)
    return Found(found, of_plan(found), found.basis, job.name)


def _place(state: State, asked: form.PlaceAsked, asking: Asking) -> Found:
    shop = shop_of(state)
    site, car = pick("site", asked.site, shop.sites, "site"), pick("vehicle", asked.vehicle, shop.vehicles, "vehicle")
    bay = None if asked.bay is None else pick("bay", asked.bay, {b.name: b for b in site.bays}, "bay")
    cards = pick_cards(shop, asked.procedures) if asked.procedures else cards_for(shop, car)
    found = find_places(
        shop,
        site,
        car,
        cards,
        pick_support(asked.support),
        bay=bay,
        headings_rad=[math.radians(one) for one in asked.region],
        remedies=asked.remedies,
        asking=asking,
    )
    return Found(found, of_places(found), found.basis)


def _drive(state: State, asked: form.DriveAsked, asking: Asking) -> Found:
    found = drive_between(shop_of(state), asked.site, asked.vehicle, asked.start, asked.goal, asked.mode, asking=asking)
    return Found(found, of_drive(found), found.basis)


def _study(state: State, asked: form.StudyAsked, asking: Asking) -> Found:
    shop = shop_of(state)
    found = find_study(shop, pick("study", asked.study, shop.studies, "study"), places=asked.places, asking=asking)
    return Found(found, of_study(found), found.basis)


def _sizes(state: State, asked: form.SizesAsked, asking: Asking) -> Found:
    looked_at, shop = sizes_up_to(asked.widest, asked.longest), shop_of(state)
    site = pick("site", asked.site, shop.sites, "site")
    lift = None if asked.lift is None else pick("lift", asked.lift, {p.name: p for p in site.lifts}, "lift")
    stands = None if lift is None else standing(site, lift, asked.rule)
    work, supports = work_asked(shop, asked.study, asked.mix), pick_support(asked.support)
    found = find_sizes(shop, site, work, lift=stands, supports=supports, sizes=looked_at, asking=asking)
    return Found(found, of_sizes(found), found.basis)


def _targets(state: State, asked: form.TargetsAsked, asking: Asking) -> Found:
    shop = shop_of(state)
    setup = pick("set-up", asked.setup, shop.setups, "setup")
    ways: dict[str, Checked] = {one: one for one in CHECKED}
    how = None if asked.checked is None else pick("way of checking", asked.checked, ways, "checked")
    found = lay_targets_out(shop, setup, asking, how)
    return Found(found, of_targets(found), found.basis, setup.job)


def _measured(state: State, asked: form.SetupAsked, _: Asking) -> Found:
    shop = shop_of(state)
    setup = pick("set-up", asked.setup, shop.setups, "setup")
    found = judge_measured(shop, setup, state.now().date())
    return Found(found, of_measured(found), found.basis, setup.job)


def _alignment(state: State, asked: form.SetupAsked, _: Asking) -> Found:
    shop = shop_of(state)
    setup = pick("set-up", asked.setup, shop.setups, "setup")
    found = judge_alignment(shop, setup)
    return Found(found, of_alignment(found), found.basis, setup.job)


def _floor(state: State, asked: form.FloorAsked, _: Asking) -> Found:
    shop = shop_of(state)
    survey = pick("survey", asked.survey, shop.surveys, "survey")
    card = None if asked.procedure is None else pick_cards(shop, [asked.procedure])[0]
    place = None if asked.at is None else stance_written(shop.sites[survey.site], asked.at, "at")
    no_car = place is None and asked.vehicle is None
    car = None if no_car else pick("vehicle", asked.vehicle, shop.vehicles, "vehicle")
    found = judge_floor(shop, survey, card, car, place)
    return Found(found, of_floor(found), found.basis, SHOP)


def _loads(state: State, asked: form.LoadsAsked, _: Asking) -> Found:
    shop = shop_of(state)
    site, car = pick("site", asked.site, shop.sites, "site"), pick("vehicle", asked.vehicle, shop.vehicles, "vehicle")
    found = judge_loads(shop, car, pick("lift", asked.lift, {p.name: p for p in site.lifts}, "lift"))
    return Found(found, of_loads(found), found.basis)


def _read(state: State, _: form.NothingAsked, __: Asking) -> Found:
    found = shop_read(shop_of(state))
    return Found(found, of_read(found), found.basis)


def _verify(state: State, asked: form.VerifyAsked, asking: Asking) -> Found:
    wrong = [one[:80] for one in asked.against if not is_anchor(one)]  # only a text: no file of the server's is read
    what, remedy = because("no-anchor"), because("give-anchor", command="standtrue anchor")
    if wrong:
        raise UnansweredError(Fault("no-anchor", what, "", "against", one, remedy) for one in wrong)
    found = verify_store(state.served.store, asked.against, asking)
    return Found(found, of_verified(found))


QUESTIONS = (
    Question("read", form.NothingAsked, ReadAnswer, _read),
    Question("needs", form.JobAsked, NeedsAnswer, _needs),
    Question("job", form.JobAsked, JobShape, _job, long=True),
    Question("plan", form.PlanAsked, PlanShape, _plan, long=True),
    Question("place", form.PlaceAsked, PlaceAnswer, _place, long=True),
    Question("drive", form.DriveAsked, DriveAnswer, _drive, long=True),
    Question("study", form.StudyAsked, StudyShape, _study, long=True),
    Question("sizes", form.SizesAsked, SizesShape, _sizes, long=True),
    Question("targets", form.TargetsAsked, TargetsAnswer, _targets, long=True),
    Question("measured", form.SetupAsked, MeasuredAnswer, _measured),
    Question("alignment", form.SetupAsked, AlignmentAnswer, _alignment),
    Question("floor", form.FloorAsked, FloorAnswer, _floor),
    Question("loads", form.LoadsAsked, LoadsAnswer, _loads),
    Question("verify", form.VerifyAsked, VerifyAnswer, _verify, long=True),
)
BY_NAME = {one.name: one for one in QUESTIONS}
