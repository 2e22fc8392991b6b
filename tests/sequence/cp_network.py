"""Tasks on things of which each does one at a time, or some side by side, with the changes between them: for CP-SAT.

A job is such a network with one thing, the car. So are job shops whose parts are carried by vehicles, which is how the
modelling code is held to published optima. Times are whole numbers of any unit.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Literal

from attrs import field, frozen

State = Hashable
Blocks = Literal["drive", "lift", "all"]

PHASES = 5
"""Of a change: put away, travel down, move, travel up, set up."""


@frozen
class Way:
    """One way to do a task: by which thing, for how long, and the states in which that must be before and is after.

    `keeps`: the thing must come to it in just that state: no change leads there.
    """

    thing: str
    takes: int
    before: State = None
    after: State = None
    keeps: bool = False


@frozen
class Task:
    """`follows` are (task, lag): it starts no sooner than the lag after that ends. `kind` is what a hold may bar.

    `beside`: it may go on together with other such tasks of one thing in one state. `teams`: people of whom one team
    does it, each person one task at a time; none where nobody is named. `carries_on`: tasks, whatever they are done by,
    that must leave off in the state in which this one begins.
    """

    name: str
    ways: tuple[Way, ...]
    follows: tuple[tuple[int, int], ...] = ()
    kind: str = ""
    beside: bool = False
    teams: tuple[tuple[str, ...], ...] = ()
    carries_on: tuple[int, ...] = ()


@frozen
class Change:
    """What it takes to bring a thing from one state to another, phase by phase, and how many arrivals that counts.

    `early` is the move before the network's turning point, where that is not as after it; None: it cannot be made.
    """

    phases: tuple[int, int, int | None, int, int]
    early: int | None = None
    moves: bool = False
    arrivals: int = 0


@frozen
class Hold:
    """For so long after a task ends, nothing happens that it blocks."""

    task: int
    lag: int
    blocks: Blocks


@frozen(eq=False)
class Network:
    """`homes` are the states in which the things begin; those in `returning` must end there, and that counts;
    or where `ends` says.

    `turning` is the task after which moves are driven: None from the start, -1 never.
    """

    tasks: tuple[Task, ...]
    homes: dict[str, State]
    change: Callable[[State, State], Change]
    returning: frozenset[str] = frozenset()
    holds: tuple[Hold, ...] = ()
    turning: int | None = None
    stateless: frozenset[str] = field(default=frozenset())
    ends: dict[str, State] = field(factory=dict)

    def end(self, thing: str) -> State:
        """The state in which a thing that returns must end."""
        return self.ends.get(thing, self.homes[thing])


@frozen
class Scheduled:
    """The best schedule found: when each task starts, in which of its ways and by which of its teams, when all is done.

    `ways` and `teams` are positions; a task without teams has 0.
    """

    starts: tuple[int, ...]
    ways: tuple[int, ...]
    teams: tuple[int, ...]
    ends: int
    arrivals: int
    proven: bool
