"""A job's operations: its own work, what its needs call for, and the scans, with their times, people and order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from attrs import evolve, frozen

from standtrue.model.basics import Range
from standtrue.model.job import Work
from standtrue.model.order import Blocks, OperationKind, Title
from standtrue.model.procedure import Minutes, Procedure, Source
from standtrue.model.reason import Duration, Reason, Ref, Term
from standtrue.model.reason import because as reason
from standtrue.model.site import Person, SentOut, Site
from standtrue.needs.answer import NO_CARD, Need
from standtrue.needs.order import DRIVES, Arrangement, Task, arrange
from standtrue.work.aim.reading_minutes import proof_notes, proof_s
from standtrue.work.needs.jobs import Needs

SCAN_S: Range = (300.0, 600.0)
"""What reading every control unit takes. Common practice, no source; every plan that used it says so."""

SCAN_NOTE = reason("scan-time-assumed", least=Duration(SCAN_S[0]), most=Duration(SCAN_S[1]))


@frozen(eq=False)
class Draft:
    """An operation before it has places, called and told as it will be.

    `card` is what must fit somewhere: a card, or a work's own zones as one. `wherever`: it needs no place. `on_road_s`:
    it can be done on the road, in this time. `ruled_out_by`: why it cannot be done. `named` and `after` are positions
    of others: those that it names, and all that come first. `teams`: any of them can do it, the first is asked.
    """

    name: str
    what: Reason
    kind: OperationKind
    title: Title
    card: Procedure | None = None
    wherever_s: Range | None = None
    on_road_s: Range | None = None
    teams: tuple[tuple[str, ...], ...] = ()
    named: frozenset[int] = frozenset()
    after: frozenset[int] = frozenset()
    wait_s: Range = (0.0, 0.0)
    blocks: Blocks | None = None
    because: tuple[Reason, ...] = ()
    ruled_out_by: tuple[Reason, ...] = ()
    notes: tuple[Reason, ...] = ()
    sent_out: SentOut | None = None


def draft_operations(needs: Needs, site: Site) -> tuple[Draft, ...]:
    """Every operation of the job in the order of common practice."""
    arrangement = arrange(needs.job, needs.answer.needs)
    return tuple(_draft(needs, site, arrangement, number) for number in range(len(arrangement.tasks)))


def _draft(needs: Needs, site: Site, arrangement: Arrangement, number: int) -> Draft:
    named, staged = arrangement.named[number], arrangement.staged[number]
    return evolve(_of_task(needs, site, arrangement.tasks[number]), named=named, after=named | staged)


def _of_task(needs: Needs, site: Site, task: Task) -> Draft:
    if task.kind == "need" and task.need is not None:
        return _of_need(needs, site, task, task.need)
    work = next((w for w in needs.job.work if w.name == task.name), None)
    if work is not None:
        return _of_work(site, task, work)
    name = task.name
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
    note = reason("work-not-listed", what=task.what)
    return Draft(name, task.what, "work", Term(name), None, (0.0, 0.0), notes=(note,))


def _of_work(site: Site, task: Task, work: Work) -> Draft:
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
        sent_out=_sent_out(site, work.name),
    )


def _of_need(needs: Needs, site: Site, task: Task, need: Need) -> Draft:
    card = next((c for c in needs.cards if c.key == task.name), None)
    if card is None:
        return Draft(need.title, task.what, "calibration", need.ref, ruled_out_by=(NO_CARD,), because=need.because)
    if card.method == "drive" or (card.method == "static then drive" and task.stage == DRIVES):
        return _on_road(site, task, need, card)
    teams, ruled_out_by = _crew(site, card.people, card.skills)
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
        sent_out=_sent_out(site, card.key, card.name),
    )


def _proof(site: Site, card: Procedure) -> tuple[Reason, ...]:
    """What the readings add that prove where the targets stand."""
    least, most = proof_s(site, card)
    return (reason("readings-counted", least=Duration(least), most=Duration(most)),) if most > 0.0 else ()


def _on_road(site: Site, task: Task, need: Need, card: Procedure) -> Draft:
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
        sent_out=_sent_out(site, card.key, card.name),
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


def _sent_out(site: Site, *names: str) -> SentOut | None:
    return next((s for s in site.sent_out if set(names) & set(s.procedures)), None)


def _has(site: Site, skill: str) -> bool:
    return any(skill in p.skills for p in site.people)


def _crew(site: Site, count: int, skills: Sequence[str]) -> tuple[tuple[tuple[str, ...], ...], tuple[Reason, ...]]:
    """Who can do it: every team that has all the skills and is as many as are asked for; or what the shop ruled_out_by.

    No team could spare one of its people. A site that lists nobody is taken to have whom it takes.
    """
    if not site.people:
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
