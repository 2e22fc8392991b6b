"""Which doors may serve: every set of open doors counts.

Opening a door adds floor, and bars only what then hangs inside it. So a search with all doors open and nothing hanging
loses no way that any set of doors has: what is proven impossible there is so with every set. A way found there holds
where nothing hangs in it from the doors that it needs. Otherwise one of those doors is either shut, or open with what
hangs there: two questions more, each smaller.
"""

from __future__ import annotations

import numpy as np
from attrs import evolve, frozen

from standtrue.drive.kernels.certify import free_travel, pose_free, scratch_for
from standtrue.drive.kernels.motion import poses_along
from standtrue.drive.path.find import COARSE, THOROUGH, Strategy, find_path, prove_no_way, prove_parted
from standtrue.drive.path.found import Found, Outcome
from standtrue.drive.path.task import Task
from standtrue.drive.question.answer import Answer, Obstruction
from standtrue.drive.question.found_way import answer_of
from standtrue.drive.question.obstructions import obstructions_of
from standtrue.drive.question.refused import narrow_doors, refusal
from standtrue.drive.question.stage import Move, Opened, Stage, staged
from standtrue.drive.question.underfoot import retold, underfoot
from standtrue.drive.world.doors import Apron, with_wider_doors
from standtrue.model.reason import Length, Reason, Ref, because
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.plane.kernels import Array

MOST_SETS = 12
"""How many searches the sets of doors are worth. Where they do not do, nothing is proven."""

MOST_SPARED = 6
"""How many choices of wheels to keep off covers are tried, each at coarse resolutions."""

BETTER_SETS = 3
"""How many they are worth where a way is known and only a quicker one is sought."""

ROUNDING = 1e-12
"""By so much of it a stretch that is free may seem shorter."""


def _prove(task: Task, best: Found) -> Found:
    proven = prove_no_way(task, best)
    return proven if proven.proven else prove_parted(1, task, best)


PROOF = Strategy((_prove,), ())
"""Nothing but a proof."""


@frozen(eq=False)
class Tried:
    """What came of a search with some doors open. `answer` is None where nothing was found, or what was does not hold.

    `hangs` is a door needed with something hanging in the way that was found, `heavy` a cover that would be overloaded.
    """

    opened: Opened
    stage: Stage
    found: Found | None
    answer: Answer | None = None
    hangs: str = ""
    heavy: tuple[Obstruction, ...] = ()


def tried(move: Move, opened: Opened) -> Tried:
    """One search; where a way overloads a cover, one more for each choice of wheels to keep off it."""
    first = _searched(move, opened, 0)
    if not first.heavy:
        return first
    others = [_searched(move, opened, spared) for spared in range(1, 1 + min(MOST_SPARED, len(move.choices)))]
    better = next((one for one in others if one.answer is not None or one.hangs), None)
    if better is not None:
        return better
    if len(others) == len(move.choices) and all(one.found is None for one in others):
        return evolve(others[0], heavy=first.heavy)
    return first


def _searched(move: Move, opened: Opened, spared: int) -> Tried:
    stage = staged(move, opened, spared=spared)
    if stage.refused:
        return Tried(opened, stage, None)
    strategy = COARSE if move.quick or spared else THOROUGH
    found = find_path(stage.packed, move.ask, stage.ones, stage.twos, strategy, hopeless=move.hopeless)
    if not found.solved:
        return Tried(opened, stage, found)
    under = underfoot(move.vehicle, stage.ground, found)
    if under.overloaded:
        lost = evolve(found, outcome=Outcome.EXHAUSTED, start=None)
        return Tried(opened, stage, lost, heavy=under.overloaded)
    needed = _needed(move, opened, found)
    final = staged(move, Opened((*needed.hung, *needed.bare)))
    if _holds(final, found):
        way = answer_of(found, move.vehicle, move.mode, move.ask, final.packed, final.ground)
        way = evolve(way, warnings=(*way.warnings, *under.told))
        return Tried(opened, final, found, told_with(way, final.aprons))
    hanging = (d for d in needed.bare if not _holds(staged(move, _decided(needed, d, hung=True)), found))
    return Tried(opened, stage, found, hangs=next(hanging, needed.bare[0]))


@frozen(eq=False)
class Sought:
    """What came of searches with several sets of doors: a way, or none in `failed`, which is `every` set or not."""

    answer: Answer | None
    failed: tuple[Tried, ...]
    every: bool


def by_any_doors(move: Move, most: int) -> Sought:
    """A way through any set of doors, over at most so many searches."""
    others = tuple(d.name for d in move.site.doors if d.name not in move.at_ends)
    left, failed = [Opened(move.at_ends, others)], list[Tried]()
    for _ in range(most):
        if not left or (failed and move.given_up()):
            break
        one = tried(move, left.pop())
        if one.answer is not None:
            return Sought(one.answer, (), False)
        if one.hangs:
            left.extend(_decided(one.opened, one.hangs, hung=hung) for hung in (False, True))
        else:
            failed.append(one)
    return Sought(None, tuple(failed), not left)


def none_of(move: Move, sought: Sought) -> Answer:
    """That no way was found in any search, and why; proven only if each is, and no set of doors is left."""
    every, failed = sought.every, sought.failed
    ends = [_ended(move, one) for one in failed]
    worst = min(ends, key=lambda answer: (answer.outcome is not Outcome.GAVE_UP, answer.proven))
    proven = every and all(answer.proven for answer in ends)
    return told_with(
        evolve(
            worst,
            obstructions=_why(move, failed[0]),
            outcome=worst.outcome if every else Outcome.GAVE_UP,
            proven=proven,
            none_as_assumed=every and not proven and all(a.proven or a.none_as_assumed for a in ends),
        ),
        () if proven else tuple(dict.fromkeys(apron for answer in ends for apron in answer.aprons)),
    )


def ended(answer: Answer, found: Found) -> Answer:
    """The answer with how a search without a find ended."""
    return evolve(answer, outcome=found.outcome, cell_m=found.cell_m, nodes=found.nodes, proven=found.proven)


def _ended(move: Move, one: Tried) -> Answer:
    """How a search ended. What rests on an assumed apron is no proof."""
    refused = refusal(move.mode, one.stage.refused)
    answer = refused if one.found is None else ended(refused, one.found)
    if answer.proven and one.stage.aprons and not _proven_anyway(move, one.opened):
        answer = evolve(answer, outcome=Outcome.EXHAUSTED, proven=False, none_as_assumed=True)
    return evolve(answer, aprons=one.stage.aprons)


def _proven_anyway(move: Move, opened: Opened) -> bool:
    """Whether there is no way even with floor all round the shop."""
    wide = staged(move, opened, all_round=True)
    return bool(wide.refused) or find_path(wide.packed, move.ask, wide.ones, wide.twos, PROOF).proven


def _why(move: Move, one: Tried) -> tuple[Obstruction, ...]:
    """What is in the way, if it is to be told."""
    stage, found = one.stage, one.found
    if one.heavy or found is None:
        return one.heavy or tuple(retold(move.site, move.vehicle, refused) for refused in stage.refused)
    if move.quick or (not found.proven and move.given_up()):
        return ()
    narrow = tuple(narrow_doors(move.site, move.vehicle, (*one.opened.hung, *one.opened.bare)))
    if narrow:
        wider = staged(evolve(move, site=with_wider_doors(move.site, move.vehicle)), one.opened)
        if find_path(wider.packed, move.ask, wider.ones, wider.twos, COARSE).solved:
            return narrow
        # Their lines are barred by rule, not by a thing: what is in the way is told of what stands there.
        stage = staged(move, one.opened, framed=False)
    barring = obstructions_of(stage.packed, move.ask, stage.ones, stage.twos, found)
    return tuple(retold(move.site, move.vehicle, _too_low(move.site, move.vehicle, one)) for one in barring)


def _too_low(site: Site, vehicle: Vehicle, one: Obstruction) -> Obstruction:
    """What stands over a door is in the way by height, not by width."""
    door = next((d for d in site.doors if one.thing == Ref("lintel", of=d.name)), None)
    if door is None:
        return one
    over = vehicle.height_m - door.height_m
    return Obstruction(one.thing, over, because("way-under-lintel", thing=one.thing, over=Length(over)))


def _decided(opened: Opened, door: str, *, hung: bool) -> Opened:
    """The same with one of the bare doors open with what hangs inside it, or shut."""
    bare = tuple(d for d in opened.bare if d != door)
    return Opened((*opened.hung, door), bare) if hung else Opened(opened.hung, bare)


def _needed(move: Move, opened: Opened, found: Found) -> Opened:
    """The doors without which a way does not hold, and those at its ends."""
    for door in (*opened.bare, *opened.hung):
        fewer = Opened(*(tuple(d for d in doors if d != door) for doors in (opened.hung, opened.bare)))
        if door not in move.at_ends and _holds(staged(move, fewer), found):
            opened = fewer
    return opened


def _holds(stage: Stage, found: Found) -> bool:
    """Whether a way that was found keeps every gap on another stage, too."""
    return keeps_gaps(stage, np.array(found.start), found.path)


def keeps_gaps(stage: Stage, start: Array, path: Array) -> bool:
    """Whether the car keeps every gap along a path of rows (u, v, w, travel), proven between the poses too."""
    w, poses = stage.packed.world, poses_along(start, path)
    scratch = scratch_for(w)
    if not pose_free(w, poses[0], scratch):
        return False
    rows = zip(poses, path, strict=False)
    return all(free_travel(w, pose, row[:3], row[3], scratch) >= (1.0 - ROUNDING) * row[3] for pose, row in rows)


def told_with(answer: Answer, aprons: tuple[Apron, ...]) -> Answer:
    """The answer with what of the floor it assumes."""
    return evolve(answer, aprons=aprons, warnings=(*answer.warnings, *(_assumed(a) for a in aprons)))


def _assumed(apron: Apron) -> Reason:
    code = "apron-prolonged" if apron.beyond else "apron-assumed"
    return because(code, door=Ref("door", apron.door), deep=Length(apron.deep_m))
