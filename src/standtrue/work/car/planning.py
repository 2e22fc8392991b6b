"""The order of work from here: what is done at the car is left out, and the car stands where it stands now."""

from __future__ import annotations

from datetime import datetime, tzinfo

from attrs import evolve

from standtrue.model.asking import Asking
from standtrue.model.job import Done, Job, Stands, Waiting
from standtrue.model.shop import Shop
from standtrue.work.car.fold import AtCar, AtStep
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.plans import find_plan


def from_here(job: Job, at: AtCar | None, zone: tzinfo | None = None) -> Job:
    """The job as it stands: what was done at the car, what waits, where the car was left. `zone` is the shop's own."""
    if at is None:
        return job
    own = tuple(evolve(one, at=_local(one.at, zone)) for one in at.done)
    known = {one.what for one in own}
    done = tuple(sorted((*(d for d in job.done if d.what not in known), *own), key=_when))
    waits = tuple(_waiting(one, zone) for one in at.waits)
    job = evolve(job, waits=waits)
    left = at.stands
    if left is None or left.place is None:
        return evolve(job, done=done)
    height = left.height_m if left.height_m else None
    return evolve(job, done=done, stands=Stands(left.place, left.on, height))


def plan_from_here(
    shop: Shop, job: Job, at: AtCar | None, asking: Asking, zone: tzinfo | None = None, *, alternatives: bool = False
) -> PlanAnswer:
    """The order of what is left. Raises UnansweredError as `find_plan` does."""
    return find_plan(shop, from_here(job, at, zone), alternatives=alternatives, asking=asking)


def _waiting(one: AtStep, zone: tzinfo | None) -> Waiting:
    """A step that was sent out or waits for a part, as a job has it."""
    said = one.waits_since
    since, by = ("", "") if said is None else (_local(said.at, zone), said.by)
    return Waiting(one.step.operation, "sent out" if one.waits == "send out" else "part", since, by)


def _when(one: Done) -> str:
    return one.at


def _local(at: str, zone: tzinfo | None) -> str:
    """A moment as documents write it: local time without a zone."""
    if not at.endswith("Z"):
        return at
    moment = datetime.fromisoformat(at.replace("Z", "+00:00")).astimezone(zone)
    return moment.replace(tzinfo=None).isoformat(timespec="seconds")
