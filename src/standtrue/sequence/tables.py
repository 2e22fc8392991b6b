"""A problem as arrays of numbers, for the compiled search. All times are midpoints, seconds."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from standtrue.model.plan import OUTSIDE, Choice, Fitting, Problem, Stand, middle
from standtrue.sequence.moves import Ledger

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

KEEP = -1
"""The setting of a choice that leaves the car and the equipment as they are."""

ALWAYS, NEVER = -1, -2


@frozen
class Setting:
    """How the car stands, and what is set up about it."""

    stand: Stand
    fittings: frozenset[Fitting] = frozenset()


class Tables(NamedTuple):
    """`first[o]` to `first[o + 1]` are the choices of operation o. Of two settings: what it takes to put away, to
    travel down, to travel up or down to the new height, and to set up. `way[d, p, q]`: a move, pushed (0) or driven.

    Channels are the operations with a wait: how long, what they block (drive, lift, all). `cured[o, c]`: o waits for c.
    """

    before: Ints
    first: Ints
    setting: Ints
    run: Floats
    road: Flags
    place: Ints
    away: Floats
    lower: Floats
    travel: Floats
    set_up: Floats
    way: Floats
    drives_after: int
    channel: Ints
    wait: Floats
    blocks: Flags
    cured: Flags


@frozen(eq=False)
class Packed:
    """The tables, and what their numbers mean: choice numbers are (operation, choice)."""

    tables: Tables
    choices: tuple[tuple[int, Choice], ...]


def pack(problem: Problem, ledger: Ledger) -> Packed:
    """The arrays of a problem, with moves as the ledger knows them now."""
    operations = problem.operations
    choices = tuple((number, c) for number, o in enumerate(operations) for c in o.choices)
    settings = [Setting(Stand(OUTSIDE))]
    for _, choice in choices:
        wanted = setting_of(choice)
        if wanted is not None and wanted not in settings:
            settings.append(wanted)
    numbers = {setting: number for number, setting in enumerate(settings)}
    waiting = [number for number, o in enumerate(operations) if o.wait_s[1] > 0.0]
    channel = np.full(len(operations), -1, dtype=np.int64)
    channel[waiting] = np.arange(len(waiting))
    counts = [len(o.choices) for o in operations]
    kinds = ("drive", "lift", "all")
    tables = Tables(
        before=np.array([sum(1 << b for b in o.after) for o in operations], dtype=np.int64),
        first=np.cumsum([0, *counts]),
        setting=np.array([_number(c, numbers) for _, c in choices], dtype=np.int64),
        run=np.array([middle(c.run_s) for _, c in choices]),
        road=np.array([o.kind == "drive" for o in operations], dtype=np.bool_),
        place=np.array([s.stand.place for s in settings], dtype=np.int64),
        **_changes(problem, settings),
        way=_ways(problem, ledger),
        drives_after=_drives_after(problem),
        channel=channel,
        wait=np.array([middle(operations[n].wait_s) for n in waiting]),
        blocks=np.array([[operations[n].blocks == kind for kind in kinds] for n in waiting], dtype=np.bool_).reshape(
            -1, 3
        ),
        cured=np.array([[n in o.cured for n in waiting] for o in operations], dtype=np.bool_).reshape(
            len(operations), len(waiting)
        ),
    )
    return Packed(tables, choices)


def setting_of(choice: Choice) -> Setting | None:
    """What a choice asks for; None where it takes the car as it stands."""
    return None if choice.stand is None else Setting(choice.stand, choice.fittings)


def _number(choice: Choice, numbers: dict[Setting, int]) -> int:
    wanted = setting_of(choice)
    return KEEP if wanted is None else numbers[wanted]


def _drives_after(problem: Problem) -> int:
    if problem.never_drives:
        return NEVER
    return ALWAYS if problem.drives_after is None else problem.drives_after


def _changes(problem: Problem, settings: list[Setting]) -> dict[str, Floats]:
    """What every change from one setting to another takes, but for the move."""
    count = len(settings)
    away, lower, travel, set_up = (np.zeros((count, count)) for _ in range(4))
    for a, old in enumerate(settings):
        for b, new in enumerate(settings):
            stays = old.stand.place == new.stand.place
            kept = old.fittings & new.fittings if stays else frozenset()
            away[a, b] = sum(middle(problem.handled(f).put_away_s) for f in sorted_fittings(old.fittings - kept))
            set_up[a, b] = sum(middle(problem.handled(f).set_up_s) for f in sorted_fittings(new.fittings - kept))
            down, up = middle(old.stand.rise_s), middle(new.stand.rise_s)
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
