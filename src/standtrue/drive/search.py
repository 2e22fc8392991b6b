"""Hybrid A* from both ends: D. Dolgov, S. Thrun, M. Montemerlo, J. Diebel, *Path planning for autonomous vehicles in
unknown semi-structured environments*, International Journal of Robotics Research 29 (2010).

Nodes are exact poses, one to a cell of position, heading and gear. A tree grows from each end; the one from the goal
grows backward in time, so that a tight slot is left rather than entered. At each node direct ways are tried to the
other tree's root and to the likeliest of its latest nodes. A step that would come too near something is cut
short where it does: tight corners are used to their last millimeter.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numba import njit

from standtrue.drive.certify import Scratch, free_travel, scratch_for
from standtrue.drive.escape import RUNS, escape
from standtrue.drive.field import Grid, cell_at
from standtrue.drive.heap import pop, push
from standtrue.drive.joins import Ask, Bench, bench, best_join, least_seconds
from standtrue.drive.motion import advance, gear_of
from standtrue.drive.words import PARTS, wrap
from standtrue.drive.world import Ints, World
from standtrue.plane.borrow import borrowing
from standtrue.plane.kernels import Array

SOLVED, EXHAUSTED, GAVE_UP = 0, 1, 2

RECENT = 48
"""How many of the other tree's latest nodes are looked at for a direct way."""

GATES_TRIED = 2
"""How many narrow gates each node looks at, in turn, and how far off they may be."""
GATE_REACH_M = 9.0

NEAR_S, FAR_EVERY = 12.0, 3
"""Direct ways to the other root are tried at every node nearer than this, else at every third: they are dear."""

GENTLE = 4.0
GENTLE_EVERY = 3
"""Every so many nodes the direct ways are tried at so many times the radius: along a wall the tail swings out less."""

LEAST_STEP_M = 0.03
"""A step cut shorter than this, or than a tenth, leads nowhere new."""

ROUND_ABOUT = 0.92
"""Steps along a grid are this much longer, at most, than the straight way."""


class Effort(NamedTuple):
    """How finely and how long to search: cell sizes (m, rad), greed (how much more the guess counts than the cost),
    the most nodes, patience (how many times as many nodes once a way is known), direct ways tried at a time, and how
    much finer the cells are where the car touches its gap.
    """

    cell: float
    heading: float
    greed: float
    most: int
    patience: float
    tries: int
    finer: float


class Trees(NamedTuple):
    """The nodes of both trees: pose, cost so far and guess to go, parent, the row that led there, gear, tree, cell."""

    pose: Array
    cost: Array
    guess: Array
    parent: Ints
    row: Array
    gear: Ints
    tree: Ints
    key: Ints


@njit(cache=True, nogil=True, error_model="numpy")
def _trees(most: int) -> Trees:
    return Trees(
        np.empty((most, 3)),
        np.empty(most),
        np.zeros(most),
        np.full(most, -1, np.int64),
        np.zeros((most, 4)),
        np.zeros(most, np.int64),
        np.zeros(most, np.int64),
        np.zeros(most, np.int64),
    )


@borrowing
def _slot(keys: Ints, key: int) -> int:
    """Where a key is, or belongs, in an open table whose size is a power of two."""
    mask = keys.shape[0] - 1
    mixed = key * 0x9E3779B97F4A7C1
    i = (mixed ^ (mixed >> 29)) & mask
    while keys[i] != -1 and keys[i] != key:
        i = (i + 1) & mask
    return int(i)


@borrowing
def _key(e: Effort, frame: Array, pose: Array, gear: int, tree: int, cut: bool) -> int:
    """The number of a pose's cell. The cells lie along the first start: a shop turned or shifted has the same ones.

    Poses at which the car touches its gap (`cut`) have cells of their own, finer ones: that is where every bit counts.
    """
    finer = e.finer if cut else 1.0
    c, s = math.cos(frame[2]), math.sin(frame[2])
    dx, dy = pose[0] - frame[0], pose[1] - frame[1]
    i = math.floor((c * dx + s * dy) / e.cell * finer + 0.5) + (1 << 17)
    j = math.floor((c * dy - s * dx) / e.cell * finer + 0.5) + (1 << 17)
    turns = max(1, round(2.0 * math.pi / e.heading * finer))
    k = math.floor(wrap(pose[2] - frame[2]) / (2.0 * math.pi) * turns + 0.5) % turns
    return int(((((i << 18) | j) << 12 | k) << 3 | (4 if cut else 0) | (2 if gear < 0 else 0)) | tree)


@borrowing
def _guess(ask: Ask, g: Grid, far: Array, pose: Array, roots: Array, b: Bench) -> float:
    """Seconds still to go: round the obstacles for a point, or for the car if there were none, whichever is more."""
    i, j = cell_at(g, pose[0], pose[1])
    away = far[i, j]
    if away == np.inf:
        return np.inf
    direct = np.inf
    for r in range(roots.shape[0]):
        direct = min(direct, least_seconds(ask, pose, roots[r], b))
    return float(max(direct, ROUND_ABOUT * away * ask.seconds_per_m))


@borrowing
def _likely(t: Trees, node: int, recent: Ints, count: int, arm: float) -> int:
    """Of the other tree's latest nodes the one that seems nearest."""
    best, nearest = -1, np.inf
    for k in range(max(0, count - RECENT), count):
        other = recent[k % RECENT]
        dx, dy = t.pose[other, 0] - t.pose[node, 0], t.pose[other, 1] - t.pose[node, 1]
        turn = abs(wrap(t.pose[other, 2] - t.pose[node, 2]))
        apart = math.hypot(dx, dy) + arm * turn + t.cost[other]
        if apart < nearest:
            best, nearest = other, apart
    return best


@njit(cache=True, nogil=True, error_model="numpy")
def _chain(t: Trees, start_node: int, path: Array, rows: int, goal_node: int) -> Array:
    """The whole path: up one tree to its root, turned round; the direct way; down the other tree, in reverse."""
    n = rows
    node = start_node
    while t.parent[node] >= 0:
        n += 1
        node = t.parent[node]
    before = n - rows
    node = goal_node
    while t.parent[node] >= 0:
        n += 1
        node = t.parent[node]
    out = np.empty((n, 4))
    node = start_node
    i = before
    while t.parent[node] >= 0:
        i -= 1
        out[i] = t.row[node]
        node = t.parent[node]
    out[before : before + rows] = path[:rows]
    i = before + rows
    node = goal_node
    while t.parent[node] >= 0:
        out[i, :3] = -t.row[node, :3]
        out[i, 3] = t.row[node, 3]
        i += 1
        node = t.parent[node]
    return out


@borrowing
def _step(t: Trees, node: int, path: Array, rows: int, cost: float, n: int) -> int:
    """Add the rows of a direct way as nodes behind `node`; returns the new count of nodes."""
    for i in range(rows):
        parent = node if i == 0 else n - 1
        x, y, h = advance(
            t.pose[parent, 0], t.pose[parent, 1], t.pose[parent, 2], path[i, 0], path[i, 1], path[i, 2], path[i, 3]
        )
        t.pose[n, 0], t.pose[n, 1], t.pose[n, 2] = x, y, wrap(h)
        t.parent[n] = parent
        for k in range(4):
            t.row[n, k] = path[i, k]
        t.gear[n] = gear_of(path[i, 0], path[i, 1])
        t.tree[n] = t.tree[node]
        t.cost[n] = t.cost[node] + cost
        n += 1
    return n


@borrowing
def _link(t: Trees, e: Effort, frame: Array, node: int, table: Ints, owner: Ints) -> None:
    """Enter a node that was reached by more than one step in the table of cells."""
    t.key[node] = _key(e, frame, t.pose[node], t.gear[node], t.tree[node], True)
    slot = _slot(table, t.key[node])
    table[slot] = t.key[node]
    owner[slot] = node


@borrowing
def _escapes(
    w: World,
    ask: Ask,
    e: Effort,
    t: Trees,
    n: int,
    frame: Array,
    keys: tuple[Array, Array],
    items: tuple[Ints, Ints],
    held: Ints,
    table: Ints,
    owner: Ints,
    runs: Array,
    places: Array,
    scratch: Scratch,
) -> int:
    """Add the ways to and fro along a wall out of each of the first `n` nodes: no step of a grid finds them.

    Either way first, to either side. Returns the new count of nodes.
    """
    for root in range(n):
        for form in range(4):
            side, first = 1.0 if form < 2 else -1.0, 1.0 if form % 2 == 0 else -1.0
            rows = escape(w, ask, t.pose[root], side, first, runs, places, scratch)
            node = root
            for i in range(0, rows, 2):
                cost = (runs[i, 3] + runs[i + 1, 3]) * ask.seconds_per_m + 2.0 * ask.steering
                cost += ask.shunt if i > 0 else 0.0
                count = 2 if runs[i + 1, 3] > 0.0 else 1
                n = _step(t, node, runs[i : i + count], count, cost, n)
                node = n - 1
                tree = t.tree[node]
                held[tree] = push(keys[tree], items[tree], held[tree], t.cost[node], node)
                _link(t, e, frame, node, table, owner)
    return n


@njit(cache=True, nogil=True, error_model="numpy")
def search(
    w: World,
    ask: Ask,
    e: Effort,
    g: Grid,
    far0: Array,
    far1: Array,
    moves: Array,
    starts: Array,
    goals: Array,
    gates: Array,
    below: float,
) -> tuple[int, float, Array, int, int, Ints]:
    """The cheapest path found from one of `starts` to one of `goals` that costs less than `below` seconds.

    `far0` are distances to the goals and `far1` to the starts; `moves` are rows (u, v, w, travel); `gates` are poses
    worth stepping on.
    Returns (how it ended, cost, path, which start, nodes, how often each solid stopped the tree that ran out).
    """
    roots_all = starts.shape[0] + goals.shape[0]
    t = _trees(e.most + 2 * moves.shape[0] + roots_all * (1 + 8 * RUNS))
    size = 1 << math.ceil(math.log2(2.5 * t.cost.shape[0]))
    table, owner = np.full(size, -1, np.int64), np.full(size, -1, np.int64)
    room = t.cost.shape[0]
    keys = (np.empty(room), np.empty(room))
    items = (np.empty(room, np.int64), np.empty(room, np.int64))
    held = np.zeros(2, np.int64)
    opened = np.zeros(2, np.int64)
    recent = (np.empty(RECENT, np.int64), np.empty(RECENT, np.int64))
    blocked = np.zeros((2, w.solid_at.shape[0]), np.int64)
    b, scratch = bench(), scratch_for(w)
    found, path = np.empty((PARTS, 4)), np.empty((0, 4))
    best = below
    which = -1
    n = 0
    ended = GAVE_UP
    limit = e.most
    pose = np.empty(3)
    for tree in range(2):
        roots = starts if tree == 0 else goals
        for r in range(roots.shape[0]):
            t.pose[n] = roots[r]
            t.cost[n] = 0.0
            t.tree[n] = tree
            held[tree] = push(keys[tree], items[tree], held[tree], 0.0, n)
            n += 1
    if ask.radius > 0.0 and e.finer > 1.0:
        runs, places = np.empty((2 * RUNS, 4)), np.empty((2, 3))
        n = _escapes(w, ask, e, t, n, starts[0], keys, items, held, table, owner, runs, places, scratch)
    gentle = Ask(GENTLE * ask.radius, ask.seconds_per_m, ask.shunt, ask.steering, ask.pivot, ask.arm)
    guessed = np.zeros(room, np.bool_)
    stepped = np.full((2, gates.shape[0]), np.inf)
    while n < limit:
        if held[0] == 0 or held[1] == 0:
            ended = EXHAUSTED
            break
        tree = 0 if opened[0] <= opened[1] else 1
        node = items[tree][0]
        held[tree] = pop(keys[tree], items[tree], held[tree])
        at = t.pose[node]
        if t.parent[node] >= 0 and owner[_slot(table, t.key[node])] != node:
            continue
        roots, far = (goals, far0) if tree == 0 else (starts, far1)
        if not guessed[node]:
            # Guessing is dear: it waits until the node is the best there is by its parent's guess.
            guessed[node] = True
            t.guess[node] = max(t.guess[node], _guess(ask, g, far, at, roots, b))
            key = t.cost[node] + e.greed * t.guess[node]
            if t.cost[node] + t.guess[node] < best:
                if held[tree] > 0 and keys[tree][0] < key:
                    held[tree] = push(keys[tree], items[tree], held[tree], key, node)
                    continue
            else:
                continue
        if t.cost[node] + t.guess[node] >= best:
            continue
        other = 1 - tree
        recent[tree][opened[tree] % RECENT] = node
        opened[tree] += 1
        # Direct ways: to the other roots, and to one likely node of the other tree.
        first_root = starts.shape[0] if tree == 0 else 0
        last_root = first_root + roots.shape[0]
        for aim in range(first_root, last_root + 1):
            target = aim
            if opened[tree] % (1 if aim < last_root and t.guess[node] < NEAR_S else FAR_EVERY) != 0:
                continue
            if aim == last_root:
                target = _likely(t, node, recent[other], opened[other], max(ask.radius, ask.arm))
                if target < 0 or t.parent[target] < 0:
                    continue
            spare = best - t.cost[node] - t.cost[target]
            if spare <= 0.0:
                continue
            way = (
                gentle
                if opened[tree] % (GENTLE_EVERY if aim < last_root else 2 * FAR_EVERY) == 0 and ask.radius > 0.0
                else ask
            )
            cost, rows = best_join(
                w, way, at, t.pose[target], t.gear[node], -t.gear[target], spare, e.tries, b, scratch, found
            )
            if rows > 0 or cost < np.inf:
                best = t.cost[node] + cost + t.cost[target]
                one, _two = node, target
                path = _chain(t, node, found, rows, target)
                if tree == 1:
                    path = path[::-1].copy()
                    path[:, :3] = -path[:, :3]
                    one, _two = target, node
                while t.parent[one] >= 0:
                    one = t.parent[one]
                which = one
                ended = SOLVED
                limit = min(limit, int(e.patience * n) + 400)
        for k in range(min(GATES_TRIED, gates.shape[0])):
            gate = (GATES_TRIED * opened[tree] + k) % gates.shape[0]
            apart = math.hypot(gates[gate, 0] - at[0], gates[gate, 1] - at[1])
            spare = min(best, stepped[tree, gate] - 1.0) - t.cost[node]
            if apart > GATE_REACH_M or spare <= 0.0 or n + PARTS >= room:
                continue
            cost, rows = best_join(w, ask, at, gates[gate], t.gear[node], 0, spare, e.tries, b, scratch, found)
            if rows > 0:
                stepped[tree, gate] = t.cost[node] + cost
                n = _step(t, node, found, rows, cost, n)
                last = n - 1
                t.guess[last] = max(0.0, t.guess[node] - cost)
                held[tree] = push(keys[tree], items[tree], held[tree], t.cost[last] + e.greed * t.guess[last], last)
                _link(t, e, starts[0], last, table, owner)
        for m in range(moves.shape[0]):
            u, v, rate, travel = moves[m, 0], moves[m, 1], moves[m, 2], moves[m, 3]
            gear = gear_of(u, v)
            spent = 0.0
            if t.gear[node] * gear < 0:
                spent += ask.shunt
            row = t.row[node]
            if t.parent[node] < 0 or row[0] != u or row[1] != v or row[2] != rate:
                spent += ask.steering
            free = free_travel(w, at, moves[m, :3], travel, scratch)
            if free < travel:
                blocked[tree, w.pairs[scratch.blocker[0], 1]] += 1
                if free < min(LEAST_STEP_M, 0.1 * travel):
                    continue
            x, y, h = advance(at[0], at[1], at[2], u, v, rate, free)
            pose[0], pose[1], pose[2] = x, y, wrap(h)
            cost = t.cost[node] + spent + free * ask.seconds_per_m
            key_of = _key(e, starts[0], pose, gear, tree, free < travel)
            slot = _slot(table, key_of)
            if table[slot] != -1 and t.cost[owner[slot]] <= cost + 1e-9:
                continue
            i, j = cell_at(g, x, y)
            guess = max(t.guess[node] - (cost - t.cost[node]), ROUND_ABOUT * far[i, j] * ask.seconds_per_m)
            if cost + guess >= best or n >= room:
                continue
            table[slot] = key_of
            owner[slot] = n
            t.key[n] = key_of
            t.pose[n] = pose
            t.cost[n] = cost
            t.guess[n] = guess
            t.parent[n] = node
            t.row[n, 0], t.row[n, 1], t.row[n, 2], t.row[n, 3] = u, v, rate, free
            t.gear[n] = gear
            t.tree[n] = tree
            held[tree] = push(keys[tree], items[tree], held[tree], cost + e.greed * guess, n)
            n += 1
    short = 0 if held[0] == 0 else 1
    if which >= 0:
        ended = SOLVED
    return ended, best, path, which, n, blocked[short]
