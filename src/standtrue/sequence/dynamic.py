"""The exact search for one car: dynamic programming over the sets of operations done.

A state is the set of operations done and how the car then stands, with what is set up about it. All that can be told
of a state is kept as labels: elapsed time, arrivals at a place, and when each wait ends. A label that another
beats in all of these goes. Sets are taken by their size, so that each is finished before any that contains it, and only
two sizes are held at a time. How many closed sets there are (sets that hold all that must come before their members),
not how many operations, says whether all can be tried: `closed_sets_within` counts them. Where there are too many, the
same search keeps of each size the most promising labels only (a beam: B. Lowerre, The HARPY speech recognition system,
1976) and proves nothing. What it finds is the mark to beat: a label that could not end sooner than a plan known with as
few arrivals goes too. Where work may go on side by side, a set holds what has been begun: a label then also tells
since when other work may begin beside it, until when each person is busy, and when the work ends that other such work
follows. Work is begun in every order, each as soon as its people and what it follows allow; some such order is as quick
as any schedule, since beginning sooner hinders nothing later. Sets are numbers, a bit for each operation. What is left
once the car has gone is the whole Pareto front.

Where no way round is ever quicker than the direct one, no wait runs or is to come, and nothing goes on, an operation
that is done alone and can be done in its least time, just as the car and the equipment stand, is done at once: put off,
it could only cost as much or more, and what followed it then can follow without it. So the other operations need not be
tried from there. That holds where what one person sets up and puts away takes the sum of it all, and the operation has
nothing carried from spot to spot: of each piece of equipment by itself, leaving out one that asks for it (or for its
room) never makes the rest dearer, since what stands, stays, and going by a third state is never cheaper.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np
from attrs import frozen

from standtrue.model.order import OUTSIDE
from standtrue.sequence.kernels import EPS_S, NONE, Labels, gone, layer, listed, room_for
from standtrue.sequence.tables import Floats, Ints, Tables

MOST_OPERATIONS = 62
"""A set of operations is one number of 64 bits."""

MOST_COMPARED = 10_000_000
"""Where more labels would have to be compared, not all ways are tried."""


def _never() -> bool:
    return False


@frozen(eq=False)
class Led:
    """The choices in order of one plan, when it ends and how often the car arrives at a place."""

    ends_s: float
    arrivals: int
    choices: tuple[int, ...]


def closed_sets_within(before: Ints, most: int) -> int | None:
    """How many sets of operations hold all that must come before their members; None where there are more."""
    sets, count = np.zeros(1, dtype=np.int64), 1
    while len(sets):
        sets = _larger(sets, before)
        count += len(sets)
        if count > most:
            return None
    return count


def _larger(sets: Ints, before: Ints) -> Ints:
    """Every closed set of one operation more than these, in rising order."""
    free = ((o, sets >> o & 1 == 0) for o in range(len(before)))
    grown = [sets[out & (sets & before[o] == before[o])] | (1 << o) for o, out in free]
    return np.unique(np.concatenate([*grown, sets[:0]]))


def search(
    tables: Tables, *, width: int | None = None, known: Sequence[Led] = (), stopped: Callable[[], bool] = _never
) -> list[Led] | None:
    """Every plan of the front, the quickest first; with a `width`, the best that a beam so wide comes to.

    Empty where nothing can be finished (or, with a width, nothing was). `known` are plans found before: only what they
    do not beat is looked for, and they stand in the front where nothing beats them. None where it was
    stopped, or too much would have to be compared.
    """
    count, settings = len(tables.before), len(tables.place)
    labels, used = room_for(1024, len(tables.wait), tables.slots), 1
    sets, heads = np.zeros(1, dtype=np.int64), np.full((1, settings), NONE)
    heads[0, 0] = 0
    labels.arrivals[0] = tables.place[0] != OUTSIDE
    least = np.where(tables.beside, 0.0, np.minimum.reduceat(tables.run, tables.first[:-1]) if count else 0.0)
    best, direct, effort = _marks(known, count), _direct(tables), np.array([0, MOST_COMPARED])
    for _ in range(count):
        if stopped():
            return None
        larger = _larger(sets, tables.before)
        rest = np.zeros(len(larger)) + sum(least[o] * (larger >> o & 1 == 0) for o in range(count))
        reached = np.full((len(larger), settings), NONE)
        labels, used = layer(sets, heads, larger, reached, rest, best, labels, used, effort, direct, tables)
        if effort[0] > effort[1]:
            return None
        sets, heads = (larger, reached) if width is None else _promising(larger, reached, rest, labels, width)
    end = np.full((1, settings), NONE)
    if len(sets):
        labels, used = gone(heads, end, best, labels, used, effort, int(sets[0]), tables)
    return _front([*known, *_led(labels, int(end[0, 0]))])


def _marks(known: Sequence[Led], count: int) -> Floats:
    """By arrivals: when the quickest plan known with no more of them ends; infinite where none is known."""
    best = np.full(count + 2, np.inf)
    for one in known:
        best[one.arrivals :] = np.minimum(best[one.arrivals :], one.ends_s)
    return best


def _led(labels: Labels, at: int) -> Iterator[Led]:
    """The plans that the labels of the car that has gone stand for."""
    while at != NONE:
        choices = tuple(_choices(labels, int(labels.parent[at])))
        yield Led(float(labels.time[at]), int(labels.arrivals[at]), choices)
        at = int(labels.after[at])


def _front(plans: Iterable[Led]) -> list[Led]:
    """The plans that no other beats, the quickest first."""
    front: list[Led] = []
    for plan in sorted(plans, key=lambda p: (p.ends_s, p.arrivals)):
        if all(plan.arrivals < other.arrivals for other in front):
            front.append(plan)
    return front


def _promising(sets: Ints, heads: Ints, rest: Floats, labels: Labels, width: int) -> tuple[Ints, Ints]:
    """The sets and labels of a layer that may end soonest: so many for each number of arrivals."""
    rows, columns, kept = listed(heads, labels)
    order = np.lexsort((labels.time[kept] + rest[rows], labels.arrivals[kept]))
    came = labels.arrivals[kept][order]
    place = np.arange(len(order)) - np.searchsorted(came, came)
    chosen = np.sort(order[place < width])
    stay, row_of = np.unique(rows[chosen], return_inverse=True)
    fewer = np.full((len(stay), heads.shape[1]), NONE)
    for row, column, label in zip(row_of, columns[chosen], kept[chosen], strict=True):
        labels.after[label] = fewer[row, column]
        fewer[row, column] = label
    return sets[stay], fewer


def _direct(tables: Tables) -> bool:
    """Whether no way round is quicker than the direct one, nor pushing quicker than driving, and handling adds up."""
    if not tables.adds_up:
        return False
    place, up = np.unique(np.stack([tables.place, tables.up]), axis=1)
    at, stays = place.astype(np.int64), place[:, None] == place[None, :]
    lifting = np.where(stays, abs(up[:, None] - up[None, :]), up[:, None] + up[None, :])
    ways = tables.way[:, at[:, None], at[None, :]] + lifting
    round_about = (ways[:, :, :, None] + ways[:, None, :, :]).min(axis=2, initial=np.inf)
    return bool((ways <= round_about + EPS_S).all() and (ways[1] <= ways[0]).all())


def _choices(labels: Labels, at: int) -> list[int]:
    """What led to a label, the first choice first."""
    led: list[int] = []
    while labels.parent[at] != NONE:
        led.append(int(labels.chosen[at]))
        at = int(labels.parent[at])
    return led[::-1]
