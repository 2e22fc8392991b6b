"""A problem as arrays of numbers, for the compiled search. All times are midpoints, seconds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.order import OUTSIDE, Choice, Fitting, Problem, Stand, Turn, middle, times_of
from standtrue.sequence.moves import Ledger

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

GONE, KEEP = 0, 1
"""What is always wanted of the car: that it has gone; and that it and the equipment stay as they are."""

ALWAYS, NEVER = -1, -2


@frozen
class Setting:
    """How the car stands, and what is set up about it."""

    stand: Stand
    fittings: frozenset[Fitting] = frozenset()


@frozen
class Want:
    """How a choice wants the car and the equipment: `fittings` set up, and none of `clears`."""

    stand: Stand
    fittings: frozenset[Fitting] = frozenset()
    clears: frozenset[Fitting] = frozenset()


class Tables(NamedTuple):
    """`first[o]` to `first[o + 1]` are the choices of operation o, and `want` what each wants. Of a setting and a want:
    the setting that it leads `to`, and what it takes to put away, to travel down, to travel up or down to the new
    height, and to set up. `way[d, p, q]`: a move, pushed (0) or driven. `steady` operations cause no equipment to be
    carried from spot to spot. `up` is the travel up to each setting; handling `adds_up` where one person does it.

    Channels are the operations with a wait: how long, what they block (drive, lift, all). `cured[o, c]`: o waits for c.

    Slots are people, and operations that others follow side by side: bits of what a choice must find free when it
    begins, and what it keeps from others until it ends.
    """

    before: Ints
    first: Ints
    want: Ints
    run: Floats
    steady: Flags
    road: Flags
    place: Ints
    to: Ints
    away: Floats
    lower: Floats
    travel: Floats
    set_up: Floats
    up: Floats
    adds_up: bool
    way: Floats
    drives_after: int
    channel: Ints
    wait: Floats
    blocks: Flags
    cured: Flags
    beside: Flags
    slots: int
    needs: Ints
    takes: Ints


@frozen(eq=False)
class Packed:
    """The tables, and what their numbers mean: every choice of every operation, in turn."""

    tables: Tables
    choices: tuple[Turn, ...]

    def with_moves(self, problem: Problem, ledger: Ledger) -> Tables:
        """The tables with moves as the ledger knows them now."""
        return self.tables._replace(way=_ways(problem, ledger))


def pack(problem: Problem) -> Packed:
    """The arrays of a problem, all but its moves: those take no time yet."""
    operations = problem.operations
    beside = side_by_side(problem)
    choices = _turns(problem, beside)
    wants = _wants(choices)
    numbers = {want: number for number, want in enumerate(wants)}
    settings, to = _settings(problem, wants)
    waiting = [number for number, o in enumerate(operations) if o.wait_s[1] > 0.0]
    channel = np.full(len(operations), -1, dtype=np.int64)
    channel[waiting] = np.arange(len(waiting))
    counts = np.bincount([t.operation for t in choices], minlength=len(operations))
    kinds = ("drive", "lift", "all")
    changes: dict[str, Any] = _changes(problem, settings, to)
    tables = Tables(
        before=np.array([sum(1 << b for b in o.after) for o in operations], dtype=np.int64),
        first=np.cumsum([0, *counts], dtype=np.int64),
        want=np.array([numbers[want_of(t.choice)] for t in choices], dtype=np.int64),
        run=np.array([middle(t.choice.run_s) for t in choices]),
        steady=_steady(problem),
        road=np.array([o.kind == "drive" for o in operations], dtype=np.bool_),
        place=np.array([s.stand.place for s in settings], dtype=np.int64),
        to=to,
        **changes,
        up=np.array([middle(s.stand.rise_s) for s in settings]),
        adds_up=problem.hands == 1 or all(len(s.fittings) < 2 for s in settings),
        way=np.zeros((2, problem.places, problem.places)),
        drives_after=_drives_after(problem),
        channel=channel,
        wait=np.array([middle(operations[n].wait_s) for n in waiting]),
        blocks=np.array([[operations[n].blocks == kind for kind in kinds] for n in waiting], dtype=np.bool_).reshape(
            -1, 3
        ),
        cured=np.array([[n in o.cured for n in waiting] for o in operations], dtype=np.bool_).reshape(
            len(operations), len(waiting)
        ),
        **_side(problem, choices, beside),
    )
    return Packed(tables, choices)


def _turns(problem: Problem, beside: frozenset[int]) -> tuple[Turn, ...]:
    """Every choice of every operation, with every team that may do it beside others."""
    return tuple(
        Turn(number, c, team)
        for number, o in enumerate(problem.operations)
        for c in o.choices
        # Alone at the car, any team has the time.
        for team in (o.teams or ((),) if number in beside else (o.team,))
    )


def _wants(choices: Sequence[Turn]) -> list[Want | None]:
    """Whatever is wanted, by its number."""
    return list(dict.fromkeys([HAS_GONE, None, *(want_of(turn.choice) for turn in choices)]))


def _settings(problem: Problem, wants: Sequence[Want | None]) -> tuple[list[Setting], Ints]:
    """Every setting that wants can lead to, the first at first; and for each, to which each want leads."""
    settings = [Setting(problem.first)]
    numbers, to = {settings[0]: 0}, []
    for old in settings:
        led = [following(old, want) for want in wants]
        for new in led:
            if new not in numbers:
                numbers[new] = len(settings)
                settings.append(new)
        to.append([numbers[new] for new in led])
    return settings, np.array(to, dtype=np.int64)


def _steady(problem: Problem) -> Flags:
    """Operations whose equipment is wanted at each place at one spot only, whoever wants it there."""
    spots: dict[tuple[str, int], set[Fitting]] = {}
    own = [
        [(fitting, choice.stand.place) for choice in o.choices if choice.stand for fitting in choice.fittings]
        for o in problem.operations
    ]
    for fitting, place in (one for some in own for one in some):
        spots.setdefault((fitting.equipment, place), set()).add(fitting)
    steady = [all(len(spots[fitting.equipment, place]) == 1 for fitting, place in some) for some in own]
    return np.array(steady, dtype=np.bool_)


def side_by_side(problem: Problem) -> frozenset[int]:
    """The operations that may go on beside others: those of which another such need not follow, nor the other way."""
    may = [n for n, o in enumerate(problem.operations) if o.beside and problem.hands > 1]
    before = [o.after for o in problem.operations]
    for _ in before:
        before = [own.union(*(before[n] for n in own)) for own in before]
    return frozenset(a for a in may if any(a != b and a not in before[b] and b not in before[a] for b in may))


def _side(problem: Problem, choices: Sequence[Turn], beside: frozenset[int]) -> dict[str, Any]:
    """What keeps work apart that could go on side by side: its people, and what must come first."""
    followed = {n for o in beside for n in problem.operations[o].after & beside}
    people = {name for n in beside for team in problem.operations[n].teams for name in team}
    slot = {key: number for number, key in enumerate([*sorted(people), *sorted(followed)])}
    sides = [t if t.operation in beside else None for t in choices]
    needs = [() if t is None else (*t.team, *(problem.operations[t.operation].after & followed)) for t in sides]
    takes = [() if t is None else (*t.team, *({t.operation} & followed)) for t in sides]
    return {
        "beside": np.array([n in beside for n in range(len(problem.operations))], dtype=np.bool_),
        "slots": len(slot),
        "needs": np.array([sum(1 << slot[key] for key in keys) for keys in needs], dtype=np.int64),
        "takes": np.array([sum(1 << slot[key] for key in keys) for keys in takes], dtype=np.int64),
    }


HAS_GONE = Want(Stand(OUTSIDE))


def want_of(choice: Choice) -> Want | None:
    """What a choice asks for; None where it takes the car as it stands."""
    return None if choice.stand is None else Want(choice.stand, choice.fittings, choice.clears)


def following(old: Setting, want: Want | None) -> Setting:
    """The setting that comes of another. What is set up stays until the car moves, or its room or itself is wanted."""
    if want is None:
        return old
    if want.stand.place != old.stand.place:
        return Setting(want.stand, want.fittings)
    used = {f.equipment for f in want.fittings}
    stays = (f for f in old.fittings - want.clears if f.equipment not in used)
    return Setting(want.stand, want.fittings.union(stays))


@frozen
class Exchange:
    """What is done to the equipment between two settings: put away, carried to another spot, fetched and set up.

    Level 0 takes every range at its least, 1 at its midpoint, 2 at its greatest.
    """

    away: tuple[Fitting, ...]
    carried: tuple[Fitting, ...]
    fetched: tuple[Fitting, ...]

    def away_s(self, problem: Problem, level: int) -> float:
        """How long putting away takes."""
        return spread([times_of(problem.handled(f).put_away_s)[level] for f in self.away], problem.hands)

    def carry_s(self, problem: Problem, level: int) -> float:
        """How long it takes to set up, at other spots, what is there already."""
        return spread([times_of(problem.handled(f).set_up_s)[level] for f in self.carried], problem.hands)

    def set_up_s(self, problem: Problem, level: int) -> float:
        """How long setting up takes."""
        return spread([times_of(problem.handled(f).set_up_s)[level] for f in self.fetched], problem.hands)


def exchange(old: Setting, new: Setting) -> Exchange:
    """What a change of setting asks for. What stays where it is stays set up, unless the car goes elsewhere."""
    stays = old.stand.place == new.stand.place
    kept = old.fittings & new.fittings if stays else frozenset()
    gone, wanted = sorted_fittings(old.fittings - kept), sorted_fittings(new.fittings - kept)
    here = {f.equipment for f in gone} if stays else set()
    there = {f.equipment for f in wanted} if stays else set()
    return Exchange(
        tuple(f for f in gone if f.equipment not in there),
        tuple(f for f in wanted if f.equipment in here),
        tuple(f for f in wanted if f.equipment not in here),
    )


def spread(times_s: Sequence[float], hands: int) -> float:
    """The least time in which so many people do things that each takes one of them: the best of all ways to share."""
    loads = {(0.0,) * hands}
    for time in times_s:
        loads = {tuple(sorted((*load[:i], load[i] + time, *load[i + 1 :]))) for load in loads for i in range(hands)}
    return min(max(load) for load in loads)


def _drives_after(problem: Problem) -> int:
    if problem.never_drives:
        return NEVER
    return ALWAYS if problem.drives_after is None else problem.drives_after


def _changes(problem: Problem, settings: list[Setting], to: Ints) -> dict[str, Floats]:
    """What every change from a setting takes that something wants, but for the move."""
    away, lower, travel, set_up = (np.zeros(to.shape) for _ in range(4))
    for (a, b), led in np.ndenumerate(to):
        if a == led:
            continue
        old, new = settings[a], settings[led]
        change = exchange(old, new)
        away[a, b] = change.away_s(problem, 1)
        set_up[a, b] = change.carry_s(problem, 1) + change.set_up_s(problem, 1)
        down, up = middle(old.stand.rise_s), middle(new.stand.rise_s)
        stays = old.stand.place == new.stand.place
        lower[a, b], travel[a, b] = (0.0, abs(up - down)) if stays else (down, up)
    return {"away": away, "lower": lower, "travel": travel, "set_up": set_up}


def sorted_fittings(fittings: frozenset[Fitting]) -> list[Fitting]:
    """Fittings in one fixed order, so that sums come out the same everywhere."""
    return sorted(fittings, key=lambda f: (f.equipment, f.at))


def _ways(problem: Problem, ledger: Ledger) -> Floats:
    ways = np.zeros((2, problem.places, problem.places))
    for driven in (False, True):
        for start in range(problem.places):
            for goal in range(problem.places):
                if start != goal:
                    ways[int(driven), start, goal] = middle(ledger.cost((start, goal, driven)).seconds)
    return ways
