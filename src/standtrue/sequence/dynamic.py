"""The exact search for one car: dynamic programming over the sets of operations done.

A state is the set of operations done and how the car then stands, with what is set up about it. All that can be told
of a state is kept as labels: elapsed time, arrivals at a place, and when each wait ends. A label that another
beats in all of these goes. Where work may go on side by side, a set holds what has been begun: a label then also tells
since when other work may begin beside it, until when each person is busy, and when the work ends that other such work
follows. Work is begun in every order, each as soon as its people and what it follows allow; some such order is as quick
as any schedule, since beginning sooner hinders nothing later. Sets are numbers, a bit for each operation; a larger set
has a larger number, so each set is finished before any that contains it. What is left once the car has gone is the
whole Pareto front.

Where no way round is ever quicker than the direct one, no wait runs or is to come, and nothing goes on, an operation
that is done alone and can be done in its least time, just as the car and the equipment stand, is done at once: put off,
it could only cost as much or more, and what followed it then can follow without it. So the other operations need not be
tried from there.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from standtrue.plane.compiled import compiled
from standtrue.sequence.tables import ALWAYS, KEEP, NEVER, Flags, Floats, Ints, Tables

MOST_OPERATIONS = 22
"""Beyond this many the sets are too many to be told one by one."""

EPS_S = 1e-7
"""Times nearer than this are one."""

DRIVE, LIFT, ALL = 0, 1, 2
LEAVE = -1
NONE = -1


class Labels(NamedTuple):
    """A row for each label ever kept; `after` links those of one state. `chosen` is the choice that led to it.

    `time` is when all that has begun is over; `since` when more may begin beside it; `busy` when each person is free,
    then when each operation ends that others follow side by side.
    """

    time: Floats
    since: Floats
    arrivals: Ints
    ends: Floats
    busy: Floats
    parent: Ints
    chosen: Ints
    after: Ints


def closed_sets(before: Ints) -> Ints:
    """Every set of operations that holds all that must come before its members, in rising order."""
    found = layer = np.zeros(1, dtype=np.int64)
    while len(layer):
        free = ((o, layer >> o & 1 == 0) for o in range(len(before)))
        grown = [layer[out & (layer & before[o] == before[o])] | (1 << o) for o, out in free]
        layer = np.unique(np.concatenate([*grown, layer[:0]]))
        found = np.concatenate([found, layer])
    return np.sort(found)


def search(tables: Tables) -> list[list[int]]:
    """The choices in order of every plan of the front, the quickest first. Empty where nothing can be finished."""
    sets = closed_sets(tables.before)
    count = len(tables.before)
    if sets[-1] != (1 << count) - 1:
        return []
    row_of = np.full(1 << count, NONE, dtype=np.int32)
    row_of[sets] = np.arange(len(sets), dtype=np.int32)
    labels, at = _search(sets, row_of, _direct(tables), tables)
    front = []
    while at != NONE:
        front.append((float(labels.time[at]), int(at)))
        at = labels.after[at]
    return [_choices(labels, int(labels.parent[at])) for _, at in sorted(front)]


def _direct(tables: Tables) -> bool:
    """Whether no change by way of a third setting is quicker than the direct one, nor pushing quicker than driving."""
    change = tables.away + tables.lower + tables.travel + tables.set_up
    ways = tables.way[:, tables.place[:, None], tables.place[None, :]] + change
    round_about = (ways[:, :, :, None] + ways[:, None, :, :]).min(axis=2, initial=np.inf)
    return bool((ways <= round_about + EPS_S).all() and (ways[1] <= ways[0]).all())


def _choices(labels: Labels, at: int) -> list[int]:
    """What led to a label, the first choice first."""
    led: list[int] = []
    while labels.parent[at] != NONE:
        led.append(int(labels.chosen[at]))
        at = int(labels.parent[at])
    return led[::-1]


@compiled
def _search(sets: Ints, row_of: NDArray[np.int32], direct: bool, tables: Tables) -> tuple[Labels, int]:
    """Every label that was kept, and the first of those of the car that has gone."""
    count, settings, channels = len(tables.before), len(tables.place), len(tables.wait)
    labels = _room_for(1024, channels, tables.slots)
    heads = np.full((len(sets) + 1, settings), NONE)
    heads[0, 0] = 0
    used = 1
    ends, busy = np.zeros(channels), np.zeros(tables.slots)
    for row in range(len(sets)):
        done = sets[row]
        driven = _driven(done, tables)
        for a in range(settings):
            label = heads[row, a]
            while label != NONE:
                only = _at_once(labels, label, a, done, tables) if direct else NONE
                for op in range(count):
                    if done >> op & 1 or tables.before[op] & ~done or only not in (NONE, op):
                        continue
                    for choice in range(tables.first[op], tables.first[op + 1]):
                        b = a if tables.setting[choice] == KEEP else tables.setting[choice]
                        if tables.beside[op]:
                            now, over, since = _side(labels, label, a, b, choice, driven, busy, tables)
                        else:
                            now = _start(labels, label, a, b, op, driven, tables) + tables.run[choice]
                            over = since = now
                            busy[:] = 0.0
                        _running(labels, label, now, over, op, ends, tables)
                        if over < np.inf:
                            came = labels.arrivals[label] + _arrives(a, b, tables)
                            new = (over, since, came, ends, busy)
                            to = row_of[done | 1 << op]
                            labels, used = _keep(labels, used, heads, to, b, new, label, choice)
                if row == len(sets) - 1:
                    now = _changed(labels, label, a, 0, driven, tables)
                    ends[:], busy[:] = 0.0, 0.0
                    if now < np.inf:
                        new = (now, now, labels.arrivals[label], ends, busy)
                        labels, used = _keep(labels, used, heads, row + 1, 0, new, label, LEAVE)
                label = labels.after[label]
    return labels, heads[len(sets), 0]


@compiled
def _at_once(labels: Labels, label: int, a: int, done: int, tables: Tables) -> int:
    """An operation to do alone, just as all stands and in its least time; NONE if none, or if anything runs."""
    if labels.since[label] < labels.time[label]:
        return NONE
    for op in range(len(tables.before)):
        if tables.channel[op] >= 0 and not done >> op & 1:
            return NONE
    if labels.ends[label].any():
        return NONE
    for op in range(len(tables.before)):
        if done >> op & 1 or tables.before[op] & ~done or tables.beside[op]:
            continue
        first, beyond = tables.first[op], tables.first[op + 1]
        least = tables.run[first:beyond].min()
        for choice in range(first, beyond):
            if tables.run[choice] <= least and tables.setting[choice] in (KEEP, a):
                return op
    return NONE


@compiled
def _driven(done: int, tables: Tables) -> int:
    """1 if the car can be driven once these are done, else 0."""
    if tables.drives_after == ALWAYS:
        return 1
    return 0 if tables.drives_after == NEVER else done >> tables.drives_after & 1


@compiled
def _arrives(a: int, b: int, tables: Tables) -> int:
    """1 if the car comes to a place in the shop, else 0."""
    return 1 if tables.place[a] != tables.place[b] and tables.place[b] != 0 else 0


@compiled
def _blocked(time: float, ends: Floats, blocks: Flags, what: int) -> float:
    """When something that `what` names can start, at the earliest."""
    for c in range(len(ends)):
        if blocks[c, what] and ends[c] > time:
            time = ends[c]
    return time


@compiled
def _changed(labels: Labels, label: int, a: int, b: int, driven: int, tables: Tables) -> float:
    """When the car stands in setting b, all set up, having been in setting a."""
    ends, blocks = labels.ends[label], tables.blocks
    time = _blocked(labels.time[label], ends, blocks, ALL) + tables.away[a, b]
    if tables.lower[a, b] > 0.0:
        time = _blocked(time, ends, blocks, LIFT) + tables.lower[a, b]
    p, q = tables.place[a], tables.place[b]
    if p != q:
        time = _blocked(time, ends, blocks, DRIVE) + tables.way[driven, p, q]
    if tables.travel[a, b] > 0.0:
        time = _blocked(time, ends, blocks, LIFT) + tables.travel[a, b]
    return float(time + tables.set_up[a, b])


@compiled
def _start(labels: Labels, label: int, a: int, b: int, op: int, driven: int, tables: Tables) -> float:
    """When an operation can start in setting b."""
    ends = labels.ends[label]
    time = _changed(labels, label, a, b, driven, tables)
    if tables.road[op]:
        time = _blocked(time, ends, tables.blocks, DRIVE)
    for c in range(len(ends)):
        if tables.cured[op, c] and ends[c] > time:
            time = ends[c]
    return time


@compiled
def _side(
    labels: Labels, label: int, a: int, b: int, choice: int, driven: int, busy: Floats, tables: Tables
) -> tuple[float, float, float]:
    """When an operation ends that may go on beside others, when all are over, and since when more may begin beside it.

    Into `busy`: until when that keeps each slot from others; nothing where it does not.
    """
    if a == b:
        since = _blocked(labels.since[label], labels.ends[label], tables.blocks, ALL)
        start, over = since, labels.time[label]
        for slot in range(tables.slots):
            busy[slot] = labels.busy[label, slot] if labels.busy[label, slot] > since else 0.0
            if tables.needs[choice] >> slot & 1:
                start = max(start, busy[slot])
    else:
        start = over = since = _changed(labels, label, a, b, driven, tables)
        busy[:] = 0.0
    end = start + tables.run[choice]
    for slot in range(tables.slots):
        if tables.takes[choice] >> slot & 1:
            busy[slot] = end
    return end, max(over, end), since


@compiled
def _running(labels: Labels, label: int, now: float, over: float, op: int, ends: Floats, tables: Tables) -> None:
    """Into `ends`: when the waits end that go on once all is over, now that the operation is done."""
    for c in range(len(ends)):
        end = now + tables.wait[c] if c == tables.channel[op] else labels.ends[label, c]
        ends[c] = end if end > over else 0.0


@compiled
def _compared(labels: Labels, at: int, new: tuple[float, float, int, Floats, Floats]) -> tuple[bool, bool]:
    """Whether a label is as good as a new one, but for rounding; and whether the new one is in all as good as that."""
    now, since, came, ends, busy = new
    time = labels.time[at]
    as_good = time <= now + EPS_S and labels.arrivals[at] <= came
    beaten = now <= time and came <= labels.arrivals[at]
    as_good &= labels.since[at] <= since + EPS_S
    beaten &= since <= labels.since[at]
    for slot in range(len(busy)):
        theirs, mine = max(labels.busy[at, slot], labels.since[at]), max(busy[slot], since)
        as_good &= theirs <= mine + EPS_S
        beaten &= mine <= theirs
    for c in range(len(ends)):
        theirs, mine = max(labels.ends[at, c], time), max(ends[c], now)
        as_good &= theirs <= mine + EPS_S
        beaten &= mine <= theirs
    return as_good, beaten


@compiled
def _keep(
    labels: Labels,
    used: int,
    heads: Ints,
    row: int,
    column: int,
    new: tuple[float, float, int, Floats, Floats],
    parent: int,
    choice: int,
) -> tuple[Labels, int]:
    """Add a label to its state unless one there is as good; take out those that it beats."""
    before, at = NONE, heads[row, column]
    while at != NONE:
        as_good, beaten = _compared(labels, at, new)
        if as_good:
            return labels, used
        if not beaten:
            before = at
        elif before == NONE:
            heads[row, column] = labels.after[at]
        else:
            labels.after[before] = labels.after[at]
        at = labels.after[at]
    if used == len(labels.time):
        labels = _grown(labels)
    labels.time[used], labels.since[used], labels.arrivals[used], labels.ends[used], labels.busy[used] = new
    labels.parent[used], labels.chosen[used] = parent, choice
    labels.after[used] = heads[row, column]
    heads[row, column] = used
    return labels, used + 1


@compiled
def _room_for(count: int, channels: int, slots: int) -> Labels:
    return Labels(
        np.zeros(count),
        np.zeros(count),
        np.zeros(count, np.int64),
        np.zeros((count, channels)),
        np.zeros((count, slots)),
        np.full(count, NONE),
        np.full(count, NONE),
        np.full(count, NONE),
    )


@compiled
def _grown(labels: Labels) -> Labels:
    """The same labels with twice the room."""
    used = len(labels.time)
    more = _room_for(2 * used, labels.ends.shape[1], labels.busy.shape[1])
    more.time[:used], more.since[:used], more.arrivals[:used] = labels.time, labels.since, labels.arrivals
    more.ends[:used], more.busy[:used] = labels.ends, labels.busy
    more.parent[:used], more.chosen[:used], more.after[:used] = labels.parent, labels.chosen, labels.after
    return more
