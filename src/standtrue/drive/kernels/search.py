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
from numpy.typing import NDArray

from standtrue.drive.kernels.certify import Scratch, free_travel, scratch_for
from standtrue.drive.kernels.escape import RUNS, escape
from standtrue.drive.kernels.field import Grid, cell_at
from standtrue.drive.kernels.heap import pop, push
from standtrue.drive.kernels.joins import Ask, Bench, bench, best_join, least_seconds
from standtrue.drive.kernels.motion import advance, gear_of
from standtrue.drive.kernels.reeds_shepp import PARTS, wrap
from standtrue.drive.kernels.world import Ints, World
from standtrue.plane.borrow import borrowing
from standtrue.plane.kernels import Array

SOLVED, EXHAUSTED, GAVE_UP = 0, 1, 2

RECENT = 48
"""How many of the other tree's latest nodes are looked at for a direct way."""

PASSAGES_TRIED = 2
"""How many narrow passages each node looks at, in turn, and how far off they may be."""
PASSAGE_REACH_M = 9.0

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


class Task(NamedTuple):
    """What is searched for: world, costs, the gentler costs, effort, grid, distances to the goals and to the starts,
    rows (u, v, w, travel) of single steps, both trees' roots, and poses worth stepping on.
    """

    w: World
    ask: Ask
    gentle: Ask
    e: Effort
    g: Grid
    far: tuple[Array, Array]
    moves: Array
    starts: Array
    goals: Array
    passages: Array


class Frontier(NamedTuple):
    """What of each tree is open: a heap of keys and nodes, how many it holds, how many nodes were opened, the latest of
    them. `table` and `owner` say which node has which cell; `guessed` whether a node's guess is its own; `stepped` at
    what cost a tree stands on a passage's pose; `blocked` how often each solid stopped a tree.
    """

    keys: tuple[Array, Array]
    items: tuple[Ints, Ints]
    held: Ints
    opened: Ints
    recent: tuple[Ints, Ints]
    table: Ints
    owner: Ints
    guessed: NDArray[np.bool_]
    stepped: Array
    blocked: Ints


class Best(NamedTuple):
    """The cheapest way so far: its cost; the node and the other tree's node that `rows` of a direct way join.

    `counts`: how many rows, the node's tree, and at how many nodes to stop.
    """

    seconds: Array
    ends: Ints
    rows: Array
    counts: Ints


class Room(NamedTuple):
    """Room to work in."""

    bench: Bench
    scratch: Scratch
    rows: Array
    pose: Array
    runs: Array
    places: Array


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
def _push(f: Frontier, tree: int, key: float, node: int) -> None:
    """Open a node."""
    f.held[tree] = push(f.keys[tree], f.items[tree], f.held[tree], key, node)


@borrowing
def _link(q: Task, t: Trees, f: Frontier, node: int) -> None:
    """Enter a node that was reached by more than one step in the table of cells."""
    t.key[node] = _key(q.e, q.starts[0], t.pose[node], t.gear[node], t.tree[node], True)
    slot = _slot(f.table, t.key[node])
    f.table[slot] = t.key[node]
    f.owner[slot] = node


@borrowing
def _plant(q: Task, t: Trees, f: Frontier) -> int:
    """The roots of both trees; returns how many."""
    n = 0
    for tree in range(2):
        roots = q.starts if tree == 0 else q.goals
        for r in range(roots.shape[0]):
            for k in range(3):
                t.pose[n, k] = roots[r, k]
            t.cost[n] = 0.0
            t.tree[n] = tree
            _push(f, tree, 0.0, n)
            n += 1
    return n


@borrowing
def _escapes(q: Task, t: Trees, f: Frontier, n: int, room: Room) -> int:
    """Add the ways to and fro along a wall out of each of the first `n` nodes: no step of a grid finds them.

    Either way first, to either side. Returns the new count of nodes.
    """
    runs, ask = room.runs, q.ask
    for root in range(n):
        for form in range(4):
            side, first = 1.0 if form < 2 else -1.0, 1.0 if form % 2 == 0 else -1.0
            rows = escape(q.w, ask, t.pose[root], side, first, runs, room.places, room.scratch)
            node = root
            for i in range(0, rows, 2):
                cost = (runs[i, 3] + runs[i + 1, 3]) * ask.seconds_per_m + 2.0 * ask.steering
                cost += ask.shunt if i > 0 else 0.0
                count = 2 if runs[i + 1, 3] > 0.0 else 1
                n = _step(t, node, runs[i : i + count], count, cost, n)
                node = n - 1
                _push(f, t.tree[node], t.cost[node], node)
                _link(q, t, f, node)
    return n


@borrowing
def _next(q: Task, t: Trees, f: Frontier, best: float, tree: int, b: Bench) -> int:
    """Take the likeliest node of a tree; -1 if it is not worth opening, or not now."""
    node = f.items[tree][0]
    f.held[tree] = pop(f.keys[tree], f.items[tree], f.held[tree])
    if t.parent[node] >= 0 and f.owner[_slot(f.table, t.key[node])] != node:
        return -1
    if not f.guessed[node]:
        # Guessing is dear: it waits until the node is the best there is by its parent's guess.
        f.guessed[node] = True
        roots = q.goals if tree == 0 else q.starts
        t.guess[node] = max(t.guess[node], _guess(q.ask, q.g, q.far[tree], t.pose[node], roots, b))
        key = t.cost[node] + q.e.greed * t.guess[node]
        if t.cost[node] + t.guess[node] >= best:
            return -1
        if f.held[tree] > 0 and f.keys[tree][0] < key:
            _push(f, tree, key, node)
            return -1
    if t.cost[node] + t.guess[node] >= best:
        return -1
    f.recent[tree][f.opened[tree] % RECENT] = node
    f.opened[tree] += 1
    return int(node)


@borrowing
def _join_trees(q: Task, t: Trees, f: Frontier, best: Best, node: int, n: int, room: Room) -> None:
    """Try direct ways from a node to the other roots, and to one likely node of the other tree."""
    tree = t.tree[node]
    other, opened = 1 - tree, f.opened[tree]
    first_root = q.starts.shape[0] if tree == 0 else 0
    last_root = first_root + (q.goals.shape[0] if tree == 0 else q.starts.shape[0])
    for aim in range(first_root, last_root + 1):
        target = aim
        if opened % (1 if aim < last_root and t.guess[node] < NEAR_S else FAR_EVERY) != 0:
            continue
        if aim == last_root:
            target = _likely(t, node, f.recent[other], f.opened[other], max(q.ask.radius, q.ask.arm))
            if target < 0 or t.parent[target] < 0:
                continue
        spare = best.seconds[0] - t.cost[node] - t.cost[target]
        if spare <= 0.0:
            continue
        gently = opened % (GENTLE_EVERY if aim < last_root else 2 * FAR_EVERY) == 0 and q.ask.radius > 0.0
        cost, rows = best_join(
            q.w,
            q.gentle if gently else q.ask,
            t.pose[node],
            t.pose[target],
            t.gear[node],
            -t.gear[target],
            spare,
            q.e.tries,
            room.bench,
            room.scratch,
            room.rows,
        )
        if rows > 0 or cost < np.inf:
            best.seconds[0] = t.cost[node] + cost + t.cost[target]
            best.ends[0], best.ends[1] = node, target
            best.rows[:rows] = room.rows[:rows]
            best.counts[0], best.counts[1] = rows, tree
            best.counts[2] = min(best.counts[2], int(q.e.patience * n) + 400)


@borrowing
def _enter_passages(q: Task, t: Trees, f: Frontier, best: float, node: int, n: int, room: Room) -> int:
    """Step from a node onto the poses at narrow passages, a few at a time; returns the new count of nodes."""
    tree, at = t.tree[node], t.pose[node]
    for k in range(min(PASSAGES_TRIED, q.passages.shape[0])):
        passage = (PASSAGES_TRIED * f.opened[tree] + k) % q.passages.shape[0]
        goal = q.passages[passage]
        apart = math.hypot(goal[0] - at[0], goal[1] - at[1])
        spare = min(best, f.stepped[tree, passage] - 1.0) - t.cost[node]
        if apart > PASSAGE_REACH_M or spare <= 0.0 or n + PARTS >= t.cost.shape[0]:
            continue
        cost, rows = best_join(
            q.w, q.ask, at, goal, t.gear[node], 0, spare, q.e.tries, room.bench, room.scratch, room.rows
        )
        if rows > 0:
            f.stepped[tree, passage] = t.cost[node] + cost
            n = _step(t, node, room.rows, rows, cost, n)
            last = n - 1
            t.guess[last] = max(0.0, t.guess[node] - cost)
            _push(f, tree, t.cost[last] + q.e.greed * t.guess[last], last)
            _link(q, t, f, last)
    return n


@borrowing
def _spent(ask: Ask, t: Trees, node: int, move: Array, gear: int) -> float:
    """What changing direction and steering cost before a step."""
    spent = 0.0
    if t.gear[node] * gear < 0:
        spent += ask.shunt
    row = t.row[node]
    if t.parent[node] < 0 or row[0] != move[0] or row[1] != move[1] or row[2] != move[2]:
        spent += ask.steering
    return spent


@borrowing
def _grow(q: Task, t: Trees, f: Frontier, best: float, node: int, n: int, room: Room) -> int:
    """Take every single step from a node; returns the new count of nodes."""
    tree, at, pose = t.tree[node], t.pose[node], room.pose
    for m in range(q.moves.shape[0]):
        move, travel = q.moves[m], q.moves[m, 3]
        gear = gear_of(move[0], move[1])
        free = free_travel(q.w, at, move[:3], travel, room.scratch)
        if free < travel:
            f.blocked[tree, q.w.pairs[room.scratch.blocker[0], 1]] += 1
            if free < min(LEAST_STEP_M, 0.1 * travel):
                continue
        x, y, h = advance(at[0], at[1], at[2], move[0], move[1], move[2], free)
        pose[0], pose[1], pose[2] = x, y, wrap(h)
        cost = t.cost[node] + _spent(q.ask, t, node, move, gear) + free * q.ask.seconds_per_m
        key = _key(q.e, q.starts[0], pose, gear, tree, free < travel)
        slot = _slot(f.table, key)
        if f.table[slot] != -1 and t.cost[f.owner[slot]] <= cost + 1e-9:
            continue
        i, j = cell_at(q.g, x, y)
        guess = max(t.guess[node] - (cost - t.cost[node]), ROUND_ABOUT * q.far[tree][i, j] * q.ask.seconds_per_m)
        if cost + guess >= best or n >= t.cost.shape[0]:
            continue
        f.table[slot], f.owner[slot] = key, n
        for k in range(3):
            t.pose[n, k], t.row[n, k] = pose[k], move[k]
        t.row[n, 3] = free
        t.key[n], t.cost[n], t.guess[n] = key, cost, guess
        t.parent[n], t.gear[n], t.tree[n] = node, gear, tree
        _push(f, tree, cost + q.e.greed * guess, n)
        n += 1
    return n


@njit(cache=True, nogil=True, error_model="numpy")
def _frontier(room: int, passages: int, solids: int) -> Frontier:
    """Nothing is open yet, in room for so many nodes."""
    size = 1 << math.ceil(math.log2(2.5 * room))
    return Frontier(
        (np.empty(room), np.empty(room)),
        (np.empty(room, np.int64), np.empty(room, np.int64)),
        np.zeros(2, np.int64),
        np.zeros(2, np.int64),
        (np.empty(RECENT, np.int64), np.empty(RECENT, np.int64)),
        np.full(size, -1, np.int64),
        np.full(size, -1, np.int64),
        np.zeros(room, np.bool_),
        np.full((2, passages), np.inf),
        np.zeros((2, solids), np.int64),
    )


@njit(cache=True, nogil=True, error_model="numpy")
def _whole(t: Trees, best: Best) -> tuple[Array, int]:
    """The best way from its start on, and which start that is; no rows and -1 if there is none."""
    if best.ends[0] < 0:
        return np.empty((0, 4)), -1
    path = _chain(t, best.ends[0], best.rows, best.counts[0], best.ends[1])
    node = best.ends[0]
    if best.counts[1] == 1:
        path = path[::-1].copy()
        path[:, :3] = -path[:, :3]
        node = best.ends[1]
    while t.parent[node] >= 0:
        node = t.parent[node]
    return path, int(node)


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
    passages: Array,
    below: float,
) -> tuple[int, float, Array, int, int, Ints]:
    """The cheapest path found from one of `starts` to one of `goals` that costs less than `below` seconds.

    `far0` are distances to the goals and `far1` to the starts; `moves` are rows (u, v, w, travel); `passages` are poses
    worth stepping on.
    Returns (how it ended, cost, path, which start, nodes, how often each solid stopped the tree that ran out).
    """
    gentle = Ask(GENTLE * ask.radius, ask.seconds_per_m, ask.shunt, ask.steering, ask.pivot, ask.arm)
    q = Task(w, ask, gentle, e, g, (far0, far1), moves, starts, goals, passages)
    t = _trees(e.most + 2 * moves.shape[0] + (starts.shape[0] + goals.shape[0]) * (1 + 8 * RUNS))
    f = _frontier(t.cost.shape[0], passages.shape[0], w.solid_at.shape[0])
    rows, runs = np.empty((PARTS, 4)), np.empty((2 * RUNS, 4))
    room = Room(bench(), scratch_for(w), rows, np.empty(3), runs, np.empty((2, 3)))
    best = Best(np.full(1, below), np.full(2, -1, np.int64), np.empty((PARTS, 4)), np.zeros(3, np.int64))
    best.counts[2] = e.most
    n = _plant(q, t, f)
    if ask.radius > 0.0 and e.finer > 1.0:
        n = _escapes(q, t, f, n, room)
    ended = GAVE_UP
    while n < best.counts[2]:
        if f.held[0] == 0 or f.held[1] == 0:
            ended = EXHAUSTED
            break
        tree = 0 if f.opened[0] <= f.opened[1] else 1
        node = _next(q, t, f, best.seconds[0], tree, room.bench)
        if node < 0:
            continue
        _join_trees(q, t, f, best, node, n, room)
        n = _enter_passages(q, t, f, best.seconds[0], node, n, room)
        n = _grow(q, t, f, best.seconds[0], node, n, room)
    path, which = _whole(t, best)
    short = 0 if f.held[0] == 0 else 1
    return SOLVED if which >= 0 else ended, best.seconds[0], path, which, n, f.blocked[short]
