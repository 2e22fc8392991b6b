"""The order of one job: its operations and the ways to do each, and the plan that comes of them.

Places are numbers here: 0 is outside the shop, the others are candidate places of one answer. Times are seconds.
"""

from __future__ import annotations

from typing import Literal

from attrs import Factory, field, frozen

from standtrue.model.basics import Range
from standtrue.model.reason import Reason, Ref, Term
from standtrue.model.stages import Stage
from standtrue.model.stance import FLOOR, Carrier

OUTSIDE = 0
"""The place of a car that is not in the shop: before it comes, after it has left, on the road."""

Blocks = Literal["drive", "lift", "all"]
OperationKind = Literal["scan", "work", "confirm", "calibration", "drive", "sent out"]
"""`confirm`: a fact that must hold before a calibration is looked at and written down."""

StepKind = Literal["enter", "move", "leave", "lift", "set up", "carry", "put away", "wait", OperationKind]

Title = Ref | Term | Reason
"""What an operation is called: by a document's own name, a word of the trade, or as part of a card."""

Times = tuple[float, float, float]
"""A time if everything takes its least, its midpoint, its greatest."""


def middle(span: Range) -> float:
    """The midpoint of a range."""
    return (span[0] + span[1]) / 2


def times_of(span: Range) -> Times:
    """A range as least, midpoint, greatest."""
    return span[0], middle(span), span[1]


@frozen
class Stand:
    """How the car stands: at which place, on what, and how long the lift takes from its rest to there."""

    place: int
    carrier: Carrier = FLOOR
    rise_s: Range = (0.0, 0.0)


@frozen
class Fitting:
    """A piece of equipment set up at one spot: x, y, height and facing in the site frame; empty: at hand anywhere."""

    equipment: str
    at: tuple[float, ...] = ()


@frozen
class Handling:
    """How long a piece of equipment takes to set up and to put away."""

    set_up_s: Range = (0.0, 0.0)
    put_away_s: Range = (0.0, 0.0)


@frozen
class Choice:
    """One way to do an operation. `stand` None: however the car stands just then, and what is set up stays.

    `fittings` must be set up; `clears` must not be: it wants their room. Whatever else is set up stays.
    """

    run_s: Range
    stand: Stand | None = None
    fittings: frozenset[Fitting] = frozenset()
    variant: str | None = None
    doors_open: tuple[str, ...] = ()
    clears: frozenset[Fitting] = frozenset()


@frozen
class Operation:
    """Something to be done to the car. `after` and `cured` are numbers of other operations of the same job.

    It starts once all of `after` are done and the waits of all of `cured` are over. Its own wait begins when it ends;
    until then nothing happens that `blocks` names: moves and drives (`drive`), lift travel (`lift`), or anything.
    `teams` are the names of people of whom any one team can do it; none where nobody is named. `name` tells it from
    the others; people are told `what`, or in short `title`.
    """

    name: str
    what: Reason
    kind: OperationKind
    choices: tuple[Choice, ...]
    after: frozenset[int] = frozenset()
    cured: frozenset[int] = frozenset()
    wait_s: Range = (0.0, 0.0)
    blocks: Blocks | None = None
    teams: tuple[tuple[str, ...], ...] = ()
    because: tuple[Reason, ...] = ()
    title: Title = field(default=Factory(lambda self: Ref("work", self.name), takes_self=True))
    stage: Stage | None = None

    @property
    def team(self) -> tuple[str, ...]:
        """Who does it unless the plan says otherwise."""
        return self.teams[0] if self.teams else ()

    @property
    def beside(self) -> bool:
        """Whether other such work may go on at the car meanwhile: nothing is read, aimed or driven, nothing cures."""
        return self.kind == "work" and self.blocks != "all" and not self.cured


@frozen
class Move:
    """What it takes to bring the car from one place to another; infinite where no way was found.

    `driven` false: the car cannot drive yet, it is pushed. `exact` false: a lower bound only.
    """

    start: int
    goal: int
    driven: bool
    seconds: Range
    exact: bool = True
    shunts: int = 0


@frozen
class Problem:
    """All that decides the order of one job.

    `drives_after`: the car drives from the start (None), or once this operation is done; `never_drives`: it is pushed
    for good. `places` counts the candidate places, outside included. `hands`: with one, one thing is done after another
    by whoever it takes; with more, so many people handle equipment at once, and work goes on beside other work that
    finds the car just so and needs none of the same people. `begins`: how the car stands at first, with nothing set up;
    None where it is outside. `people` are all whom the site lists, `movers` how many of them it takes to push the car
    and to drive it.
    """

    operations: tuple[Operation, ...]
    places: int
    handling: tuple[tuple[str, Handling], ...] = ()
    drives_after: int | None = None
    never_drives: bool = False
    hands: int = 1
    begins: Stand | None = None
    people: tuple[str, ...] = ()
    movers: tuple[int, int] = (1, 1)

    @property
    def first(self) -> Stand:
        """How the car stands when the plan starts."""
        return self.begins or Stand(OUTSIDE)

    def moves_of(self, arrivals: int) -> int:
        """How many of so many arrivals at a place are moves: coming in is none."""
        return arrivals if self.first.place != OUTSIDE else max(0, arrivals - 1)

    def handled(self, fitting: Fitting) -> Handling:
        """How long this fitting's equipment takes; no time where the site does not say."""
        return next((h for name, h in self.handling if name == fitting.equipment), Handling())

    def drives(self, done: frozenset[int]) -> bool:
        """Whether the car can be driven once these operations are done."""
        return not self.never_drives and (self.drives_after is None or self.drives_after in done)

    def hands_for(self, step: Step) -> int:
        """How many people a step takes that is no operation."""
        if step.move is not None:
            return self.movers[int(step.move.driven)]
        return max(1, min(self.hands, len(step.fittings)))


@frozen
class Turn:
    """An operation in its turn: in which way, and by whom."""

    operation: int
    choice: Choice
    team: tuple[str, ...] = ()


@frozen
class Step:
    """One step of a plan. `stand` is how the car stands at its end.

    `operation` is what is done, or what is waited for, `team` by whom, if that is known; `fittings` what is set up,
    carried to another spot and set up there, or put away.
    """

    kind: StepKind
    start_s: Times
    end_s: Times
    stand: Stand
    operation: int | None = None
    choice: Choice | None = None
    fittings: tuple[Fitting, ...] = ()
    move: Move | None = None
    team: tuple[str, ...] = ()


@frozen
class Plan:
    """A whole order of work, from the car's coming to its leaving: steps by when they start at the midpoints.

    `moves` counts changes of place between entering and leaving.
    """

    steps: tuple[Step, ...]
    moves: int

    @property
    def elapsed_s(self) -> Times:
        return self.steps[-1].end_s if self.steps else (0.0, 0.0, 0.0)

    @property
    def shunts(self) -> int:
        """Changes of direction in all moves, coming and leaving included."""
        return sum(s.move.shunts for s in self.steps if s.move is not None)

    @property
    def doors_open(self) -> tuple[str, ...]:
        """The doors that must stand open for some operation."""
        opened = (d for s in self.steps if s.choice is not None for d in s.choice.doors_open)
        return tuple(dict.fromkeys(opened))

    @property
    def order(self) -> tuple[Turn, ...]:
        """The operations in order, each with the way it is done and by whom."""
        done = ((s.operation, s.choice, s.team) for s in self.steps if s.kind != "wait")
        return tuple(Turn(number, choice, team) for number, choice, team in done if number is not None and choice)


@frozen
class Front:
    """Every plan that no other beats both in elapsed time and in moves, the quickest first.

    `proven`: no better plan exists for these places and the moves found. `least_s`: where that is not proven, a time
    that no order can be quicker than.
    """

    plans: tuple[Plan, ...]
    proven: bool
    least_s: float | None = None
