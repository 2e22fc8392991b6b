"""Lifts: their states, decks, plates and arms, all in the lift's own frame."""

from __future__ import annotations

from typing import Literal

from attrs import evolve, frozen

from standtrue.model.basics import Outline, Point, Range


@frozen
class Obstacle:
    """Something that stands on, or hangs over, the floor between two heights, metres.

    `rises`: a part of a lift that goes up with the decks; the heights are then those at the lowest decks of its state.
    """

    name: str
    outline: Outline
    bottom_m: float
    top_m: float
    metal: bool = True
    movable: bool = False
    rises: bool = False

    def risen(self, by_m: float) -> Obstacle:
        """It with the decks this much above their lowest."""
        return evolve(self, bottom_m=self.bottom_m + by_m, top_m=self.top_m + by_m) if self.rises else self


@frozen
class LiftState:
    """One way a lift can stand.

    `deck_height_m` is the range of heights its decks can be held at in this state
    (for a lift that carries the body: how far the body has risen).
    """

    name: str
    deck_height_m: Range
    decks: tuple[Outline, ...] = ()
    deck_thickness_m: float = 0.15
    voids: tuple[Outline, ...] = ()
    fills: tuple[Outline, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    ramps: tuple[Outline, ...] = ()
    drive_on: bool = False


@frozen
class Plate:
    axle: Literal["front", "rear"]
    outline: Outline


@frozen
class Arm:
    pivot: Point
    reach_m: Range
    swing_rad: Range
    capacity_kg: float | None = None


@frozen
class Lift:
    """A type of lift. Its frame: origin where it is placed, +x along its heading."""

    name: str
    states: tuple[LiftState, ...]
    carries: Literal["wheels", "body"] = "wheels"
    capacity_kg: float | None = None
    axle_capacity_kg: float | None = None
    posts: tuple[Obstacle, ...] = ()
    locks_m: tuple[float, ...] = ()
    travel_s: Range | None = None
    facing: Literal["one", "either"] = "either"
    wheelbase_m: Range | None = None
    jacks: bool = False
    plates: tuple[Plate, ...] = ()
    arms: tuple[Arm, ...] = ()

    @property
    def rest(self) -> LiftState:
        """The first state that can be driven on, or the first state if none can."""
        return next((s for s in self.states if s.drive_on), self.states[0])

    def takes(self, wheelbase_m: float) -> bool:
        """Whether a car of this wheelbase is within its range."""
        return self.wheelbase_m is None or self.wheelbase_m[0] - 1e-9 <= wheelbase_m <= self.wheelbase_m[1] + 1e-9

    def state(self, name: str) -> LiftState:
        return next(s for s in self.states if s.name == name)


@frozen
class PlacedLift:
    """A lift where it stands in a site."""

    name: str
    at: Point
    heading_rad: float
    lift: Lift
