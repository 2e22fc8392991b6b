"""Hybrid A* from both ends: D. Dolgov, S. Thrun, M. Montemerlo, J. Diebel, *Path planning for autonomous vehicles in
unknown semi-structured environments*, International Journal of Robotics Research 29 (2010).

Nodes are exact poses, one to a cell of position, heading and gear. A tree grows from each end; the one from the goal
grows backward in time, so that a tight slot is left rather than entered. At each node direct ways are tried to the
other tree's root and to the likeliest of its latest nodes. A step that would come too near something is cut
short where it does: tight corners are used to their last millimeter.
"""

from __future__ import annotations

import math

import numpy as np

from standtrue.drive.kernels.certify import free_travel, scratch_for
from standtrue.drive.kernels.escape import RUNS, escape
from standtrue.drive.kernels.field import Grid, cell_at
from standtrue.drive.kernels.heap import pop
from standtrue.drive.kernels.joins import Ask, Bench, bench, best_join, least_seconds
from standtrue.drive.kernels.motion import advance, gear_of
from standtrue.drive.kernels.reeds_shepp import PARTS, wrap
from standtrue.drive.kernels.trees import (
    RECENT,
    Best,
    Effort,
    Frontier,
    Room,
    Task,
    Trees,
    add_rows,
    cell_key,
    frontier_for,
    link,
    open_node,
    slot_of,
    trees_for,
    whole_path,
)
from standtrue.drive.kernels.world import Ints, World
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

SOLVED, EXHAUSTED, GAVE_UP = 0, 1, 2


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


@compiled_bare
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


@compiled_bare
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


@compiled_bare
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
            open_node(f, tree, 0.0, n)
            n += 1
    return n


@compiled_bare
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
                n = add_rows(t, node, runs[i : i + count], count, cost, n)
                node = n - 1
                open_node(f, t.tree[node], t.cost[node], node)
                link(q, t, f, node)
    return n


@compiled_bare
def _next(q: Task, t: Trees, f: Frontier, best: float, tree: int, b: Bench) -> int:
    """Take the likeliest node of a tree; -1 if it is not worth opening, or not now."""
    node = f.items[tree][0]
    f.held[tree] = pop(f.keys[tree], f.items[tree], f.held[tree])
    if t.parent[node] >= 0 and f.owner[slot_of(f.table, t.key[node])] != node:
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
            open_node(f, tree, key, node)
            return -1
    if t.cost[node] + t.guess[node] >= best:
        return -1
    f.recent[tree][f.opened[tree] % RECENT] = node
    f.opened[tree] += 1
    return int(node)


@compiled_bare
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
            for i in range(rows):
                for k in range(4):
                    best.rows[i, k] = room.rows[i, k]
            best.counts[0], best.counts[1] = rows, tree
            best.counts[2] = min(best.counts[2], int(q.e.patience * n) + 400)


@compiled_bare
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
            n = add_rows(t, node, room.rows, rows, cost, n)
            last = n - 1
            t.guess[last] = max(0.0, t.guess[node] - cost)
            open_node(f, tree, t.cost[last] + q.e.greed * t.guess[last], last)
            link(q, t, f, last)
    return n


@compiled_bare
def _spent(ask: Ask, t: Trees, node: int, move: Array, gear: int) -> float:
    """What changing direction and steering cost before a step."""
    spent = 0.0
    if t.gear[node] * gear < 0:
        spent += ask.shunt
    row = t.row[node]
    if t.parent[node] < 0 or row[0] != move[0] or row[1] != move[1] or row[2] != move[2]:
        spent += ask.steering
    return spent


@compiled_bare
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
        key = cell_key(q.e, q.starts[0], pose, gear, tree, free < travel)
        slot = slot_of(f.table, key)
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
        open_node(f, tree, cost + q.e.greed * guess, n)
        n += 1
    return n


@compiled
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
    t = trees_for(e.most + 2 * moves.shape[0] + (starts.shape[0] + goals.shape[0]) * (1 + 8 * RUNS))
    f = frontier_for(t.cost.shape[0], passages.shape[0], w.solid_at.shape[0])
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
    path, which = whole_path(t, best)
    short = 0 if f.held[0] == 0 else 1
    return SOLVED if which >= 0 else ended, best.seconds[0], path, which, n, f.blocked[short]
