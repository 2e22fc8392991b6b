"""What is left of a job that has begun: what is done is left out, unless something since disturbed it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from attrs import Factory, evolve, field, frozen

from standtrue.documents.faults import choice_remedy
from standtrue.drive.world.doors import with_aprons
from standtrue.model.basics import Fault, Place, Range
from standtrue.model.job import Done, Event, Job, Stands
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Reason, Ref, Term, because
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.stance import FLOOR, Carrier, Stance, lift_state, read_carrier, written
from standtrue.model.vehicle import Vehicle
from standtrue.work.ask import UnansweredError
from standtrue.work.drive.drives import read_end
from standtrue.work.needs.jobs import Needs, find_job_needs
from standtrue.work.plan.operations import Draft, draft_operations
from standtrue.work.stances import on_floor

NEAR_M = 1e-6
"""Rounding."""

ALL_OF_IT = ("calibration", "drive")
"""Kinds of operation that need over again whatever they rely on, if that was done later."""


@frozen(eq=False)
class Begun:
    """How far a job has come.

    `late` are the events that came after work on it had begun, by the card that they call for. `stance`: where the car
    stands; None: outside. `done` is what is left out; `again` what was done and is planned again, and why;
    `not_called_for`: what was done and the job does not call for. `whole` is the whole job, what is done with it.
    """

    drafts: tuple[Draft, ...]
    late: Mapping[str, Sequence[Event]] = field(factory=dict)
    stance: Stance | None = None
    done: tuple[Done, ...] = ()
    again: tuple[tuple[Draft, tuple[Reason, ...]], ...] = ()
    not_called_for: tuple[Done, ...] = ()
    whole: tuple[Draft, ...] = field(default=Factory(lambda self: self.drafts, takes_self=True))

    @property
    def cards(self) -> tuple[Procedure, ...]:
        """All that must fit somewhere, done or not: so what is left is planned for the places of the whole job."""
        return tuple(draft.card for draft in self.whole if draft.card is not None)


def late_calls(shop: Shop, job: Job) -> dict[str, tuple[Event, ...]]:
    """Of each card, by its key, the events that call for it and came after work on the order had begun."""
    called: dict[str, tuple[Event, ...]] = {}
    for event in job.events if job.done else ():
        if event.at:
            needs = find_job_needs(shop, evolve(job, events=(event,), decisions=()))
            for key in {key for need in needs.answer.needs for key in need.chain}:
                called[key] = (*called.get(key, ()), event)
    return called


def from_here(needs: Needs, site: Site, late: Mapping[str, Sequence[Event]]) -> Begun:
    """The operations of a job that are left to do in its site, and what is said of the others."""
    drafts = draft_operations(needs, site)
    job = needs.job
    stance = _stance(job, site, needs.vehicle)
    if not job.done:
        return Begun(drafts, late, stance)
    at = {number: one for one in job.done for number in _called(drafts, one.what)}
    again: dict[int, tuple[Reason, ...]] = {}
    while more := {
        n: why for n, one in at.items() if n not in again and (why := _why(drafts, n, one, at, again, late))
    }:
        again.update(more)
    done = {n: one for n, one in at.items() if n not in again}
    known = {one.what for one in at.values()}
    return Begun(
        _left(drafts, done, again, job.done[-1].at),
        late,
        stance,
        tuple(one for one in job.done if any(one is d for d in done.values())),
        tuple((drafts[n], again[n]) for n in sorted(again)),
        tuple(one for one in job.done if one.what not in known),
        drafts,
    )


def _stance(job: Job, site: Site, vehicle: Vehicle) -> Stance | None:
    """Where the car stands, and on what. Raises UnansweredError where that cannot be in the site."""
    if job.stands is None:
        return None
    field = f"job {job.name}: stands"
    at, carried = _named(job.stands, site, vehicle, f"{field}.at")
    on_floor(with_aprons(site, vehicle)[0], at, f"{field}.at", f"[{at.x_m:g}, {at.y_m:g}]")
    if carried is not None and job.stands.on == written(FLOOR):
        return Stance(at, carried)
    try:
        carrier = read_carrier(job.stands.on, site, job.stands.height_m)
    except KeyError:
        known = tuple(written(Carrier(p.name, s.name)) for p in site.lifts for s in p.lift.states)
        what = because("site-lacks-carrier", site=Ref("site", site.name), carrier=job.stands.on)
        remedy = because("name-one-of", words=(written(FLOOR), *known))
        raise UnansweredError([Fault("no-such-state", what, "", f"{field}.on", job.stands.on, remedy)]) from None
    low, high = (0.0, 0.0) if carrier.lift is None else lift_state(carrier, site)[1].deck_height_m
    if not low - NEAR_M <= carrier.height_m <= high + NEAR_M:
        what = because("stands-at-no-height", carrier=job.stands.on, height=Length(carrier.height_m))
        remedy = because("height-from-to", least=Length(low), most=Length(high))
        raise UnansweredError([Fault("value-impossible", what, "", f"{field}.height", job.stands.on, remedy)])
    return Stance(at, carrier)


def _named(stands: Stands, site: Site, vehicle: Vehicle, field: str) -> tuple[Place, Carrier | None]:
    """The place, and what carries the car where a name says so. Raises UnansweredError for a name of nothing."""
    kind, _, name = stands.named.partition(":")
    if not kind:
        return stands.place, None
    if kind != "mark":
        end = read_end(site, vehicle, stands.named, field)
        assert end.place is not None
        return end.place, end.carrier
    mark = next((m for m in site.marks if m.name == name), None)
    if mark is None:
        what = because("site-lacks-mark", site=Ref("site", site.name), mark=Ref("mark", name))
        known = choice_remedy(name, [m.name for m in site.marks])
        raise UnansweredError([Fault("unknown-name", what, "", field, stands.named, known)])
    return Place(*mark.at, stands.place.heading_rad), None


def begun_notes(job: Job, begun: Begun) -> Iterator[Reason]:
    """What is planned again and why, what the job does not call for, and what nobody says of where the car stands."""
    for draft, why in begun.again:
        yield because("planned-again", operation=draft.title, why=why)
    for one in begun.not_called_for:
        yield because("done-not-called-for", what=one.what)
    if job.done and job.stands is None:
        yield because("stands-not-told")
    if job.stands is not None and (used := tuple(dict.fromkeys(_used(begun)))):
        yield because("taken-to-be-put-away", equipment=used)


def _used(begun: Begun) -> Iterator[str]:
    """The equipment of all that was done: some of it may still stand about the car."""
    done = {one.what for one in begun.done}
    for draft in begun.whole:
        if draft.card is not None and done & {draft.name, draft.name.partition("/")[0]}:
            yield from draft.card.equipment
            yield from (target.equipment for target in draft.card.targets if target.equipment)


def _called(drafts: Sequence[Draft], what: str) -> list[int]:
    """The operations of that name: a card written for each side is meant as a whole by its own name."""
    own = [n for n, d in enumerate(drafts) if d.name == what]
    return own or [n for n, d in enumerate(drafts) if d.name.partition("/")[0] == what and d.kind in ALL_OF_IT]


def _why(
    drafts: Sequence[Draft],
    number: int,
    one: Done,
    at: Mapping[int, Done],
    again: Mapping[int, tuple[Reason, ...]],
    late: Mapping[str, Sequence[Event]],
) -> tuple[Reason, ...]:
    """What has disturbed what was done since, or is still to come and will; nothing if it stands."""
    draft, told = drafts[number], []
    for event in late.get(draft.name.removesuffix(" (drive)"), ()):
        if event.at > one.at:
            told.append(because("again-after-event", event=Term(event.event), at=event.at, done=one.at))
    for before in draft.befores:
        other = drafts[before.task]
        last = draft.kind == "scan" and other.kind in ALL_OF_IT
        if other.kind == "scan" or not (before.holds or last):
            continue
        if before.task in at and before.task not in again:
            if at[before.task].at > one.at:
                told.append(because("again-after-work", operation=other.title, at=at[before.task].at, done=one.at))
        elif other.kind != "confirm":
            told.append(because("again-before-work", operation=other.title, done=one.at))
    return tuple(told)


def _left(
    drafts: Sequence[Draft], done: Mapping[int, Done], again: Mapping[int, tuple[Reason, ...]], now: str
) -> tuple[Draft, ...]:
    """What is left, renumbered; a cure that goes on is a step of its own, with what is left of it."""
    going_on = {n: rest for n, one in done.items() if (rest := _wait_left(drafts[n], one, now))[1] > 0.0}
    kept = [n for n in range(len(drafts)) if n not in done or n in going_on]
    number_of = {n: number for number, n in enumerate(kept)}
    left = []
    for n in kept:
        draft = drafts[n]
        befores = tuple(evolve(b, task=number_of[b.task]) for b in draft.befores if b.task in number_of)
        if n in going_on:
            left.append(_cure(draft, going_on[n]))
        else:
            left.append(evolve(draft, befores=befores, because=(*draft.because, *again.get(n, ()))))
    return tuple(left)


def _wait_left(draft: Draft, one: Done, now: str) -> Range:
    """What is left of the wait after something done, seconds."""
    passed = (datetime.fromisoformat(now) - datetime.fromisoformat(one.at)).total_seconds()
    return max(0.0, draft.wait_s[0] - passed), max(0.0, draft.wait_s[1] - passed)


def _cure(draft: Draft, left: Range) -> Draft:
    """The rest of the wait after a draft that is done: begun at once, in no time."""
    return Draft(
        draft.name,
        because("wait-goes-on", operation=draft.title),
        "work",
        draft.title,
        wherever_s=(0.0, 0.0),
        wait_s=left,
        blocks=draft.blocks,
        stage=draft.stage,
        goes_on=True,
    )
