"""Set-ups drawn at random, and what a technician would read of them: numpy and trigonometry, nothing of the engine.

A truth is drawn: the car's true dimensions and place, the true floor, where the board truly stands. Every reading is
computed from it with an error of the distribution that the documents state. All invented.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from standtrue.aim.alignment import Angle
from standtrue.aim.bodies import Reading
from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.ground_under import floor_under
from standtrue.aim.scene import Scene
from standtrue.model.basics import Place, Point
from standtrue.model.procedure import Procedure, Source, Target, Tolerance
from standtrue.model.setup import FLOOR_START, LINES, WHEELS_START, CarPoint, Measure
from standtrue.model.site import Datum, Mark, Site
from standtrue.model.survey import SurveyPoint
from standtrue.model.vehicle import Vehicle

LIMITS = (0.012, 0.008, 0.008, math.radians(0.5), math.radians(0.5))
"""Along, across, height, turn, lean."""

PAPER = {"wheelbase": 2.8, "track front": 1.58, "track rear": 1.6, "front overhang": 0.95}
LENGTH, WIDTH, TIRE = 4.8, 1.85, 0.66
MARKS = {"A": (0.5, 0.5), "B": (7.5, 0.5), "C": (7.5, 13.0), "D": (0.5, 13.0)}
ROOM = ((0.0, 0.0), (8.0, 0.0), (8.0, 14.0), (0.0, 14.0))
U_TAPE, U_RULE, U_HEIGHT, U_LEVEL, U_LEAN, U_HUB, U_SURVEY = 0.001, 0.0005, 0.001, 0.0005, 0.0009, 0.002, 0.0005
CORNERS = ("front left", "front right", "rear left", "rear right")
BOARD_WIDE, BOARD_HIGH = 1.2, 1.3
LOADED = 0.965
"""A tire that carries the car is about so much of its radius high."""
Spot = tuple[float, float]


@dataclass(frozen=True)
class Drawn:
    """A set-up and its truth: `off` are the true deviations in the order of LIMITS."""

    scene: Scene
    readings: tuple[Reading, ...]
    off: tuple[float, ...]


@dataclass
class Truth:
    """What is true of one set-up; metres and radians."""

    rng: np.random.Generator
    tracks: str
    beyond: float | None
    sizes: dict[str, float] = field(default_factory=dict)
    hubs: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        rng = self.rng
        wide = self.tracks == "within 20 mm"
        for name, paper in PAPER.items():
            is_track = name.startswith("track")
            error = rng.uniform(-0.020, 0.020) if wide and is_track else rng.normal(0.0, 0.003)
            self.sizes[name] = paper + float(error)
        self.hubs = {corner: float(rng.uniform(0.080, 0.110)) for corner in CORNERS}
        self.thrust = float(rng.normal(0.0, math.radians(0.05)))
        self.heading = math.pi / 2 + float(rng.normal(0.0, 0.005))
        self.origin = (4.0 + float(rng.normal(0.0, 0.02)), 3.0 + float(rng.normal(0.0, 0.02)))
        self.slope = (float(rng.uniform(-0.002, 0.002)), float(rng.uniform(-0.002, 0.002)))
        self.bump = float(rng.uniform(-0.008, 0.008))
        self.bumper_high = float(rng.uniform(0.3, 0.6))
        if self.beyond is None:
            self.off = tuple(float(rng.normal(0.0, limit)) for limit in LIMITS)
        else:
            self.off = tuple(float(rng.choice([-1.0, 1.0])) * limit * self.beyond for limit in LIMITS)
        self.anchor = str(rng.choice(["rear axle", "front axle", "front"]))
        self.at = (float(rng.uniform(6.0, 7.0)), float(rng.uniform(-0.4, 0.4)))

    def site(self, spot: Spot) -> Spot:
        """A spot of the car's frame on the floor of the room."""
        c, s = math.cos(self.heading), math.sin(self.heading)
        return self.origin[0] + c * spot[0] - s * spot[1], self.origin[1] + s * spot[0] + c * spot[1]

    def ahead_of(self, sizes: dict[str, float]) -> float:
        """How far ahead of the rear axle the anchor lies."""
        if self.anchor == "rear axle":
            return 0.0
        return sizes["wheelbase"] + (sizes["front overhang"] if self.anchor == "front" else 0.0)

    def hub(self, corner: str) -> Spot:
        end, side = corner.split()
        out = self.sizes[f"track {end}"] / 2 + self.hubs[corner]
        at = self.site((self.sizes["wheelbase"] if end == "front" else 0.0, out if side == "left" else -out))
        return self.hung(at, LOADED * TIRE / 2)

    def hung(self, spot: Spot, high: float) -> Spot:
        """Where a bob falls that hangs from so high above a spot of the car's plane: along gravity, not the plane."""
        return spot[0] - high * self.slope[0], spot[1] - high * self.slope[1]

    @property
    def front(self) -> Spot:
        return self.hung(self.site((self.sizes["wheelbase"] + self.sizes["front overhang"], 0.0)), self.bumper_high)

    @property
    def axis(self) -> float:
        return self.heading + self.thrust

    @property
    def high(self) -> float:
        """How high the board's center truly is above the car's plane, prolonged."""
        return BOARD_HIGH + self.off[2]

    @property
    def board(self) -> Spot:
        """Below the true center of the board: its place from the true thrust line, and how far it is off that."""
        away = self.ahead_of(self.sizes)
        along, left = self.at[0] - self.ahead_of(PAPER) + self.off[0], self.at[1] + self.off[1]
        c, s = math.cos(self.axis), math.sin(self.axis)
        x = self.origin[0] + away * c + c * along - s * left
        return self.hung((x, self.origin[1] + away * s + s * along + c * left), self.high)

    def side(self, name: str) -> Spot:
        """An end of the board; its printed side looks back along the axis, turned by the turn that it is off."""
        facing = self.axis + math.pi + self.off[3]
        half = BOARD_WIDE / 2 * (1.0 if name == "left" else -1.0)
        x, y = self.board
        return x + half * math.sin(facing), y - half * math.cos(facing)

    def plane(self, spot: Spot) -> float:
        return self.slope[0] * spot[0] + self.slope[1] * spot[1]

    def readings(self) -> tuple[Reading, ...]:
        """Every reading, each with its own error."""
        taken: list[Reading] = []

        def read(what: Measure, start: tuple[str, ...], end: str, true: float, u: float) -> None:
            value = true + float(self.rng.normal(0.0, u))
            taken.append(Reading(what, start, (end,), value, u, plumbed=what == "distance"))

        for mark, corner in (("A", "rear left"), ("B", "rear right"), ("D", "front left"), ("C", "front right")):
            read("distance", (mark,), f"hub {corner}", math.dist(MARKS[mark], self.hub(corner)), U_TAPE)
        for mark in ("A", "B"):
            read("distance", (mark,), "hub rear right", math.dist(MARKS[mark], self.hub("rear right")), U_TAPE)
        for corner in CORNERS:
            for end in ("", " left", " right"):
                spot = self.side(end.strip()) if end else self.board
                read("distance", (f"hub {corner}",), f"board{end}", math.dist(self.hub(corner), spot), U_TAPE)
        read("distance", ("front of the car",), "board", math.dist(self.front, self.board), U_TAPE)
        for side in ("left", "right"):
            rear, front = self.hub(f"rear {side}"), self.hub(f"front {side}")
            read("offset", LINES[f"{side} string"], f"board {side}", _beside(rear, front, self.side(side)), U_RULE)
        high = self.high
        middle = self.site((self.sizes["wheelbase"] / 2, 0.0))
        rise = self.plane(self.board) - self.plane(middle)
        read("height", (FLOOR_START,), "board", high - self.bump, U_HEIGHT)
        read("height", (WHEELS_START,), "board", high + rise, U_LEVEL)
        facing = self.axis + math.pi + self.off[3]
        up = self.slope[0] * math.cos(facing) + self.slope[1] * math.sin(facing)
        for _ in range(2):
            read("lean", (), "board", self.off[4] - math.atan(up), U_LEAN)
        return tuple(taken)

    def survey(self) -> list[SurveyPoint]:
        """Heights read on a grid, and close about the board, below which the floor is a plateau."""
        x, y = self.planned_board
        grid = [(i, j) for i in (0.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0) for j in (0.0, 2.0, 3.0, 4.0, 5.5, 6.5, 7.5, 14.0)]
        near = [(x + i * d, y + j * d) for d in (0.5, 0.8) for i in (-1, 1) for j in (-1, 1)]
        on = {(x + i * 0.5, y + j * 0.5) for i in (-1, 1) for j in (-1, 1)}
        points: list[SurveyPoint] = []
        for at in [*grid, *near]:
            true = 0.1 + self.plane(at) + (self.bump if at in on else 0.0)
            points.append(SurveyPoint(at, true + float(self.rng.normal(0.0, U_SURVEY)), U_SURVEY))
        return points

    @property
    def planned_board(self) -> Spot:
        return 4.0 - self.at[1], 3.0 + self.at[0]

    def drawn(self, surveyed: bool = True) -> Drawn:
        """The set-up as its documents tell it."""
        known = 0.020 / math.sqrt(3.0) if self.tracks == "within 20 mm" else 0.003
        car = Vehicle(
            "car",
            LENGTH,
            WIDTH,
            WIDTH + 0.2,
            1.5,
            PAPER["wheelbase"],
            PAPER["front overhang"],
            PAPER["track front"],
            PAPER["track rear"],
            0.225,
            TIRE,
            0.14,
            known_to=(("track_front", known), ("track_rear", known)),
        )
        site = Site("shop", ROOM, Datum((0.0, 0.0)), marks=tuple(Mark(name, at) for name, at in MARKS.items()))
        at = (self.at[0] - self.ahead_of(PAPER), self.at[1], BOARD_HIGH)
        board = Target("board", self.anchor, at, math.pi, size_m=(BOARD_WIDE, 1.0), tolerance=Tolerance(*LIMITS))
        card = Procedure("card", "forward camera", "static", Source("invented"), targets=(board,))
        u_thrust = math.radians(0.005)
        thrust = Angle(self.thrust + float(self.rng.normal(0.0, u_thrust)), u_thrust)
        measured = tuple(
            CarPoint(f"hub {corner}", out + float(self.rng.normal(0.0, U_HUB)), U_HUB)
            for corner, out in self.hubs.items()
        )
        place = Place(4.0, 3.0, math.pi / 2)
        floor = floor_under(SurveyedFloor(self.survey()), car, place, {"board": self._foot()}) if surveyed else None
        scene = Scene(card, car, site, place, thrust, measured=measured, floor=floor)
        return Drawn(scene, self.readings(), self.off)

    def _foot(self) -> tuple[Point, ...]:
        x, y = self.planned_board
        return ((x - 0.2, y - 0.2), (x + 0.2, y - 0.2), (x + 0.2, y + 0.2), (x - 0.2, y + 0.2))


def draws(count: int, seed: int, tracks: str, beyond: float | None = None) -> list[Drawn]:
    """So many set-ups. `tracks` is `within 20 mm` or `to 3 mm`; with `beyond` every part is off by so many limits."""
    return [Truth(np.random.default_rng((seed, i)), tracks, beyond).drawn() for i in range(count)]


def share(flags: list[bool]) -> float:
    return sum(flags) / len(flags)


def _beside(start: Spot, end: Spot, spot: Spot) -> float:
    """How far a spot lies to the left of the line through two others."""
    ax, ay, bx, by = end[0] - start[0], end[1] - start[1], spot[0] - start[0], spot[1] - start[1]
    return (ax * by - ay * bx) / math.hypot(ax, ay)
