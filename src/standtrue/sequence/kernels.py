"""What is compiled of the exact search: labels of one layer of sets lead to those of the next."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from standtrue.plane.compiled import compiled
from standtrue.sequence.tables import ALWAYS, GONE, NEVER, Flags, Floats, Ints, Tables

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


@compiled
def layer(
    sets: Ints,
    heads: Ints,
    larger: Ints,
    reached: Ints,
    rest: Floats,
    best: Floats,
    labels: Labels,
    used: int,
    effort: Ints,
    direct: bool,
    tables: Tables,
) -> tuple[Labels, int]:
    """Every label of the sets of one operation more, into `reached`; `rest` is what they leave to do at least.

    `effort` counts the labels that were compared, and how many may be; once those are, the rest is left out.
    """
    count, settings = len(tables.before), len(tables.place)
    ends, busy = np.zeros(len(tables.wait)), np.zeros(tables.slots)
    to = np.zeros(count, np.int64)
    for row in range(len(sets)):
        if effort[0] > effort[1]:
            break
        done = sets[row]
        driven = _driven(done, tables)
        for op in range(count):
            to[op] = NONE
            if not done >> op & 1 and not tables.before[op] & ~done:
                to[op] = np.searchsorted(larger, done | 1 << op)
        for a in range(settings):
            label = heads[row, a]
            while label != NONE:
                only = _at_once(labels, label, a, done, tables) if direct else NONE
                for op in range(count):
                    if to[op] == NONE or only not in (NONE, op):
                        continue
                    for choice in range(tables.first[op], tables.first[op + 1]):
                        b = tables.to[a, tables.want[choice]]
                        if tables.beside[op]:
                            now, over, since = _side(labels, label, a, b, choice, driven, busy, tables)
                        else:
                            now = _start(labels, label, a, choice, op, driven, tables) + tables.run[choice]
                            over = since = now
                            busy[:] = 0.0
                        came = labels.arrivals[label] + _arrives(a, b, tables)
                        if over < np.inf and over + rest[to[op]] < best[came] - EPS_S:
                            _running(labels, label, now, over, op, ends, tables)
                            new = (over, since, came, ends, busy)
                            labels, used = _keep(labels, used, reached, to[op], b, new, label, choice, effort)
                label = labels.after[label]
    return labels, used


@compiled
def gone(
    heads: Ints, end: Ints, best: Floats, labels: Labels, used: int, effort: Ints, done: int, tables: Tables
) -> tuple[Labels, int]:
    """Every label of the car that has gone, all being done, into `end`."""
    ends, busy = np.zeros(len(tables.wait)), np.zeros(tables.slots)
    driven = _driven(done, tables)
    for a in range(heads.shape[1]):
        label = heads[0, a]
        while label != NONE:
            now = _changed(labels, label, a, GONE, driven, tables)
            if now < best[labels.arrivals[label]] - EPS_S:
                new = (now, now, labels.arrivals[label], ends, busy)
                labels, used = _keep(labels, used, end, 0, 0, new, label, LEAVE, effort)
            label = labels.after[label]
    return labels, used


@compiled
def listed(heads: Ints, labels: Labels) -> tuple[Ints, Ints, Ints]:
    """Row, column and number of every label of a layer."""
    count = 0
    for step in range(2):
        if step:
            rows, columns, kept = np.empty(count, np.int64), np.empty(count, np.int64), np.empty(count, np.int64)
            count = 0
        for row in range(heads.shape[0]):
            for column in range(heads.shape[1]):
                label = heads[row, column]
                while label != NONE:
                    if step:
                        rows[count], columns[count], kept[count] = row, column, label
                    count += 1
                    label = labels.after[label]
    return rows, columns, kept


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
        if done >> op & 1 or tables.before[op] & ~done or tables.beside[op] or not tables.steady[op]:
            continue
        first, beyond = tables.first[op], tables.first[op + 1]
        least = tables.run[first:beyond].min()
        for choice in range(first, beyond):
            if tables.run[choice] <= least and tables.to[a, tables.want[choice]] == a:
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
    """When the car stands as want b asks, all set up, having been in setting a."""
    ends, blocks = labels.ends[label], tables.blocks
    time = _blocked(labels.time[label], ends, blocks, ALL) + tables.away[a, b]
    if tables.lower[a, b] > 0.0:
        time = _blocked(time, ends, blocks, LIFT) + tables.lower[a, b]
    p, q = tables.place[a], tables.place[tables.to[a, b]]
    if p != q:
        time = _blocked(time, ends, blocks, DRIVE) + tables.way[driven, p, q]
    if tables.travel[a, b] > 0.0:
        time = _blocked(time, ends, blocks, LIFT) + tables.travel[a, b]
    return float(time + tables.set_up[a, b])


@compiled
def _start(labels: Labels, label: int, a: int, choice: int, op: int, driven: int, tables: Tables) -> float:
    """When an operation can start in the way of this choice."""
    ends = labels.ends[label]
    time = _changed(labels, label, a, tables.want[choice], driven, tables)
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
        start = over = since = _changed(labels, label, a, tables.want[choice], driven, tables)
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
    effort: Ints,
) -> tuple[Labels, int]:
    """Add a label to its state unless one there is as good; take out those that it beats."""
    before, at = NONE, heads[row, column]
    while at != NONE:
        effort[0] += 1
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
def room_for(count: int, channels: int, slots: int) -> Labels:
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
    more = room_for(2 * used, labels.ends.shape[1], labels.busy.shape[1])
    more.time[:used], more.since[:used], more.arrivals[:used] = labels.time, labels.since, labels.arrivals
    more.ends[:used], more.busy[:used] = labels.ends, labels.busy
    more.parent[:used], more.chosen[:used], more.after[:used] = labels.parent, labels.chosen, labels.after
    return more
