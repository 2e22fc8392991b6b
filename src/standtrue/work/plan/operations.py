"""A job's operations: its own work, what its needs call for, and the scans, with their times, people and order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from attrs import evolve, frozen

from standtrue.model.basics import Range
from standtrue.model.job import Job, Work
from standtrue.model.order import Blocks, OperationKind, Title
from standtrue.model.procedure import Minutes, Procedure, Source
from standtrue.model.reason import Duration, Number, Reason, Ref, Term
from standtrue.model.reason import because as reason
from standtrue.model.site import Person, SentOut, Site, equipment_of
from standtrue.model.stages import Stage
from standtrue.needs.answer import NO_CARD, Need
from standtrue.needs.order import Arrangement, arrange
from standtrue.needs.precedence import Before
from standtrue.needs.tasks import CLOSED, Task
from standtrue.work.aim.reading_minutes import proof_notes, proof_s
from standtrue.work.needs.jobs import Needs

SCAN_S: Range = (300.0, 600.0)
"""What reading every control unit takes. Common practice, no source; every plan that used it says so."""

SCAN_NOTE = reason("scan-time-assumed", least=Duration(SCAN_S[0]), most=Duration(SCAN_S[1]))

CONFIRM_S: Range = (120.0, 300.0)
"""What it takes to look whether a fact holds and write it down. Common practice, no source; every plan says so."""

CONFIRM_NOTE = reason("confirm-time-assumed", least=Duration(CONFIRM_S[0]), most=Duration(CONFIRM_S[1]))


@frozen(eq=False)
class Draft:
    """An operation before it has places, called and told as it will be.

    `card` is what must fit somewhere: a card, or a work's own zones as one. `wherever`: it needs no place. `on_road_s`:
    it can be done on the road, in this time. `ruled_out_by`: why it cannot be done. `befores` are the others that must
    come first, by position. `teams`: any of them can do it, the first is asked. `sent_out`: who else can do it.
    `goes_on`: it has begun before, and all else comes after.
    """

    name: str
    what: Reason
    kind: OperationKind
    title: Title
    card: Procedure | None = None
    wherever_s: Range | None = None
    on_road_s: Range | None = None
    teams: tuple[tuple[str, ...], ...] = ()
    befores: tuple[Before, ...] = ()
    wait_s: Range = (0.0, 0.0)
    blocks: Blocks | None = None
    because: tuple[Reason, ...] = ()
    ruled_out_by: tuple[Reason, ...] = ()
    notes: tuple[Reason, ...] = ()
    sent_out: SentOut | None = None
    stage: Stage | None = None
    goes_on: bool = False


def draft_operations(needs: Needs, site: Site) -> tuple[Draft, ...]:
    """Every operation of the job in the order of common practice."""
    arrangement = arrange(needs.job, needs.answer.needs)
    return tuple(_draft(needs, site, arrangement, number) for number in range(len(arrangement.tasks)))


def _draft(needs: Needs, site: Site, arrangement: Arrangement, number: int) -> Draft:
    task = arrangement.tasks[number]
    return evolve(_of_task(needs, site, task), befores=arrangement.befores[number], stage=task.stage)


def _of_task(needs: Needs, site: Site, task: Task) -> Draft:
    if task.kind == "need" and task.need is not None:
        return _of_need(needs, site, task, task.need)
    work = next((w for w in needs.job.work if w.name == task.name), None)
    if work is not None:
        return _of_work(needs.job, site, task, work)
    name = task.called
    if task.kind == "scan":
        teams, ruled_out_by = _crew(site, 1, ("scan tool",) if _has(site, "scan tool") else ())
        return Draft(
            name,
            task.what,
            "scan",
            Term(name),
            None,
            SCAN_S,
            None,
            teams,
            ruled_out_by=ruled_out_by,
            notes=(SCAN_NOTE,),
        )
    title = Term(name) if name in CLOSED else Ref("work", name)
    teams, _ = _crew(site, 1, ())
    return Draft(name, task.what, "confirm", title, None, CONFIRM_S, None, teams, notes=(CONFIRM_NOTE,))


def _of_work(job: Job, site: Site, task: Task, work: Work) -> Draft:
    """The job's own work; its zones are placed as a card's are."""
    card = Procedure(
        work.name,
        "",
        "static",
        Source("the job", status="verified"),
        supports=work.supports,
        wheels_on=work.wheels_on,
        minutes=Minutes(run_s=work.minutes_s),
        skills=work.skills,
        equipment=work.equipment,
        zones=work.zones,
    )
    teams, ruled_out_by = _crew(site, 1, work.skills)
    ruled_out_by += _lacking(site, card)
    return Draft(
        work.name,
        task.what,
        "work",
        Ref("work", work.name),
        card,
        teams=teams,
        wait_s=work.wait_s,
        blocks=work.blocks,
        ruled_out_by=ruled_out_by,
        sent_out=_sent_out(job, work.name, [s for s in site.sent_out if _does(s, work.name, task.stage)]),
    )


def _of_need(needs: Needs, site: Site, task: Task, need: Need) -> Draft:
    card = next((c for c in needs.cards if c.key == task.name), None)
    if card is None:
        return Draft(need.title, task.what, "calibration", need.ref, ruled_out_by=(NO_CARD,), because=need.because)
    if card.method == "drive" or (card.method == "static then drive" and task.stage == "drive"):
        return _on_road(needs.job, site, task, need, card)
    teams, ruled_out_by = _crew(site, card.people, card.skills)
    ruled_out_by += _lacking(site, card)
    return Draft(
        card.key,
        task.what,
        "calibration",
        Ref("card", card.key),
        card if card.needs_space else None,
        whole(card.minutes) if card.method == "electronic" else None,
        _road_time(card)[0] if card.method == "static or drive" else None,
        teams,
        because=(*need.because, *_proof(site, card)),
        ruled_out_by=ruled_out_by,
        notes=proof_notes(site, card),
        sent_out=_card_sent_out(needs.job, site, card),
    )


def _lacking(site: Site, card: Procedure) -> tuple[Reason, ...]:
    """Equipment that a card asks for in each of its variants and that the site does not list, if it lists any."""
    forms = (card, *(card.as_variant(variant) for variant in card.variants))
    asked = ({*form.equipment, *(t.equipment for t in form.targets if t.equipment)} for form in forms)
    lacks = [[e for e in sorted(own) if equipment_of(e, site.equipment) is None] for own in asked]
    if not site.lists_equipment or not all(lacks):
        return ()
    return (reason("site-lacks-equipment", equipment=tuple(lacks[0])),)


def _proof(site: Site, card: Procedure) -> tuple[Reason, ...]:
    """What the readings add that prove where the targets stand."""
    least, most = proof_s(site, card)
    return (reason("readings-counted", least=Duration(least), most=Duration(most)),) if most > 0.0 else ()


def _on_road(job: Job, site: Site, task: Task, need: Need, card: Procedure) -> Draft:
    """A card's drive, or that part of it that is one."""
    count = max(card.people, card.drive.people if card.drive is not None else 1)
    teams, ruled_out_by = _crew(site, count, card.skills)
    seconds, notes = _road_time(card)
    own = Ref("card", card.key)
    return Draft(
        card.key + (" (drive)" if card.method == "static then drive" else ""),
        task.what,
        "drive",
        reason("drive-part", card=own) if card.method == "static then drive" else own,
        on_road_s=seconds,
        teams=teams,
        because=need.because,
        ruled_out_by=ruled_out_by,
        notes=notes,
        sent_out=_card_sent_out(job, site, card),
    )


def whole(minutes: Minutes) -> Range:
    """What a card takes in all, its own setting up and putting away included, seconds."""
    spans = (minutes.set_up_s, minutes.run_s, minutes.put_away_s)
    return sum(s[0] for s in spans), sum(s[1] for s in spans)


def _road_time(card: Procedure) -> tuple[Range, tuple[Reason, ...]]:
    """How long a card's drive takes: as it says, or distance by speed, or the card's own minutes."""
    drive, minutes = card.drive, card.minutes
    if card.method == "drive" and minutes.run_s[1] > 0.0:
        return whole(minutes), ()
    if drive is not None and drive.minutes_s is not None:
        return drive.minutes_s, ()
    if drive is not None and drive.distance_m is not None and drive.speed_mps is not None:
        return (drive.distance_m[0] / drive.speed_mps[1], drive.distance_m[1] / drive.speed_mps[0]), ()
    if card.method == "static or drive":
        return whole(minutes), ()
    return (0.0, 0.0), (reason("drive-time-unknown", card=Ref("card", card.key)),)


def _card_sent_out(job: Job, site: Site, card: Procedure) -> SentOut | None:
    return _sent_out(job, card.key, [s for s in site.sent_out if set(card.names) & set(s.procedures)])


def _does(offer: SentOut, work: str, stage: Stage) -> bool:
    return work in (*offer.work, *offer.procedures) or stage in offer.work


def _sent_out(job: Job, name: str, offers: Sequence[SentOut]) -> SentOut | None:
    """The first offer that the car can get to: it is fetched, or it can be driven there (not if that mends it)."""
    driven = job.drivable not in ("no", name)
    return next((offer for offer in offers if driven or offer.transport_s is not None), None)


def sent(draft: Draft, mended: int | None) -> Draft:
    """The operation as a step elsewhere, done when the car is back. Unless it is fetched, the car is mended first."""
    offer = draft.sent_out
    assert offer is not None
    driven = () if mended is None or offer.transport_s is not None else (Before(mended, "job"),)
    return evolve(
        draft,
        kind="sent out",
        card=None,
        wherever_s=None,
        on_road_s=offer.takes_s,
        teams=(),
        befores=tuple({before.task: before for before in (*draft.befores, *driven)}.values()),
        because=(*draft.because, offer_reason(offer)),
        ruled_out_by=(),
        notes=(),
    )


def offer_reason(offer: SentOut) -> Reason:
    """What it takes to have it done elsewhere: time, transport and price, as ranges."""
    low, high = offer.transport_s or (0.0, 0.0)
    fetched = {} if offer.transport_s is None else {"fetch": Duration(low), "fetch_most": Duration(high)}
    return reason(
        "sent-out",
        least=Duration(offer.minutes_s[0]),
        most=Duration(offer.minutes_s[1]),
        price=money(offer.price[0]),
        price_most=money(offer.price[1]),
        currency=offer.currency,
        **fetched,
    )


def money(amount: float) -> Number:
    """A price: cents only where there are any."""
    return Number(amount, 0 if amount == round(amount) else 2)


def _has(site: Site, skill: str) -> bool:
    return any(skill in p.skills for p in site.people)


def _crew(site: Site, count: int, skills: Sequence[str]) -> tuple[tuple[tuple[str, ...], ...], tuple[Reason, ...]]:
    """Who can do it: every team that has all the skills and is as many as are asked for; or why nobody can.

    No team could spare one of its people. A site that lists nobody is taken to have whom it takes.
    """
    if not site.lists_people:
        return (), ()
    ruled_out_by = [reason("nobody-has-skill", skill=skill) for skill in skills if not _has(site, skill)]
    if count > len(site.people):
        ruled_out_by.append(reason("too-few-people", needed=count, listed=len(site.people)))
    if ruled_out_by:
        return (), tuple(ruled_out_by)
    chosen = list(_covering(site.people, set(skills)))
    chosen += [p.name for p in site.people if p.name not in chosen][: max(0, count - len(chosen))]
    teams = [frozenset(chosen)]
    skills_of = {p.name: set(p.skills) for p in site.people}
    for size in range(max(1, count), max(count, len(set(skills)), 1) + 1):
        for team in map(frozenset, combinations(skills_of, size)):
            able = set(skills) <= set().union(*(skills_of[name] for name in team))
            if able and not any(team >= other for other in teams):
                teams.append(team)
    return (tuple(chosen), *(tuple(n for n in skills_of if n in team) for team in teams[1:])), ()


def _covering(people: Sequence[Person], skills: set[str]) -> Iterator[str]:
    """People who have all the skills together, whoever has most of what is left first."""
    while skills:
        best = max(people, key=lambda p: len(skills & set(p.skills)))
        skills -= set(best.skills)
        yield best.name
