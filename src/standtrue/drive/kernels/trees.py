"""The two trees that a search grows: their nodes, what of them is open, and the best way that joins them so far."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from standtrue.drive.kernels.certify import Scratch
from standtrue.drive.kernels.field import Grid
from standtrue.drive.kernels.heap import push
from standtrue.drive.kernels.joins import Ask, Bench
from standtrue.drive.kernels.motion import advance, gear_of
from standtrue.drive.kernels.reeds_shepp import wrap
from standtrue.drive.kernels.world import Ints, World
from standtrue.plane.compiled import compiled, compiled_bare
from standtrue.plane.kernels import Array

RECENT = 48
"""How many of the other tree's latest nodes are looked at for a direct way."""


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


@compiled
def trees_for(most: int) -> Trees:
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


@compiled
def frontier_for(room: int, passages: int, solids: int) -> Frontier:
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


@compiled_bare
def slot_of(keys: Ints, key: int) -> int:
    """Where a key is, or belongs, in an open table whose size is a power of two."""
    mask = keys.shape[0] - 1
    mixed = key * 0x9E3779B97F4A7C1
    i = (mixed ^ (mixed >> 29)) & mask
    while keys[i] != -1 and keys[i] != key:
        i = (i + 1) & mask
    return int(i)


@compiled_bare
def cell_key(e: Effort, frame: Array, pose: Array, gear: int, tree: int, cut: bool) -> int:
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


@compiled_bare
def open_node(f: Frontier, tree: int, key: float, node: int) -> None:
    """Open a node."""
    f.held[tree] = push(f.keys[tree], f.items[tree], f.held[tree], key, node)


@compiled_bare
def link(q: Task, t: Trees, f: Frontier, node: int) -> None:
    """Enter a node that was reached by more than one step in the table of cells."""
    t.key[node] = cell_key(q.e, q.starts[0], t.pose[node], t.gear[node], t.tree[node], True)
    slot = slot_of(f.table, t.key[node])
    f.table[slot] = t.key[node]
    f.owner[slot] = node


@compiled_bare
def add_rows(t: Trees, node: int, path: Array, rows: int, cost: float, n: int) -> int:
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


@compiled
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


@compiled
def whole_path(t: Trees, best: Best) -> tuple[Array, int]:
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
