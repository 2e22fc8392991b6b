"""Typical bodies, lifts and cards, and a room as two sentences tell it: all a first answer takes, as documents.

None of it is a maker's: bodies are rounded sizes of their class (common practice, no source), cards are drafts, by
which nothing is calibrated. A shop puts its own in their place.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources
from string import Template
from typing import Literal

from attrs import asdict, frozen

LiftKind = Literal["none", "flush", "posts"]
Wall = Literal["short", "long"]

LIFTS: tuple[LiftKind, ...] = ("flush", "posts", "none")
WALLS: tuple[Wall, ...] = ("short", "long")


@frozen
class Body:
    """A class of body, millimetres and kilograms. `turning_mm` is the turning circle from kerb to kerb."""

    key: str
    length: int
    width: int
    height: int
    wheelbase: int
    front_overhang: int
    turning_mm: int
    mass: int

    @property
    def name(self) -> str:
        """What its document is called."""
        return f"typical {self.key}"


BODIES: tuple[Body, ...] = (
    Body("city car", 3600, 1640, 1500, 2420, 700, 9600, 950),
    Body("supermini", 4060, 1750, 1470, 2560, 830, 10400, 1180),
    Body("hatchback", 4330, 1800, 1460, 2650, 880, 10900, 1380),
    Body("compact sedan", 4620, 1800, 1440, 2700, 900, 10900, 1400),
    Body("mid-size sedan", 4880, 1840, 1450, 2830, 940, 11400, 1550),
    Body("large sedan", 5080, 1890, 1470, 2950, 920, 12000, 1900),
    Body("station wagon", 4800, 1840, 1480, 2800, 930, 11400, 1620),
    Body("compact SUV", 4450, 1830, 1640, 2660, 880, 11000, 1550),
    Body("mid-size SUV", 4800, 1920, 1730, 2820, 930, 11800, 1900),
    Body("large SUV", 5250, 2030, 1890, 3000, 940, 12400, 2500),
    Body("minivan", 5150, 1990, 1760, 3060, 960, 12100, 2050),
    Body("pickup", 5890, 2030, 1960, 3680, 940, 14000, 2350),
    Body("delivery van", 5900, 2020, 2650, 3650, 1000, 13600, 2300),
)

CARDS: dict[str, str] = {
    "forward camera": "card-forward-camera.toml",
    "front radar": "card-front-radar.toml",
    "front corner radar": "card-front-corner-radar.toml",
    "rear corner radar": "card-rear-corner-radar.toml",
    "surround-view camera": "card-surround-view.toml",
    "rear camera": "card-rear-camera.toml",
}
"""The card of each kind of sensor for which there is a typical one."""

LIFT_FILES: dict[LiftKind, str] = {"flush": "lift-flush.toml", "posts": "lift-posts.toml"}
LIFT_NAMES: dict[LiftKind, str] = {"flush": "typical flush two-deck lift", "posts": "typical two-post lift"}


@frozen
class Room:
    """A room as it is told, metres: `long` and `wide` inside, a door in the middle of a wall, a lift behind it."""

    name: str
    wide_m: float
    long_m: float
    high_m: float
    door_m: float
    wall: Wall
    lift: LiftKind
    lift_from_door_m: float


def typical_text(file: str) -> str:
    """One of the typical documents."""
    return (resources.files("standtrue.documents.typical") / file).read_text(encoding="utf-8")


def first_documents(room: Room, body: Body) -> dict[str, str]:
    """The documents of a first answer by their paths: the room, its lift, one body, and every typical card."""
    found = {"site.toml": site_text(room), "vehicle-typical.toml": body_text(body)}
    if room.lift != "none":
        found[LIFT_FILES[room.lift]] = typical_text(LIFT_FILES[room.lift])
    return {**found, **{file: typical_text(file) for file in CARDS.values()}}


def site_text(room: Room) -> str:
    """The room as a site document: the datum in the corner at its left, below; the long side lies along x."""
    long, wide = _mm(room.long_m), _mm(room.wide_m)
    return _filled(
        "site.toml",
        name=_quoted(room.name),
        outline=f"[[0, 0], [{long}, 0], [{long}, {wide}], [0, {wide}]]",
        high=str(_mm(room.high_m)),
        door="\n".join(_door(room)),
        lift="\n".join(_lift(room)),
    )


def _door(room: Room) -> Iterator[str]:
    long, wide, half = room.long_m, room.wide_m, room.door_m / 2
    if room.wall == "short":
        ends = ((long, wide / 2 - half), (long, wide / 2 + half))
    else:
        ends = ((long / 2 - half, 0.0), (long / 2 + half, 0.0))
    (x0, y0), (x1, y1) = (tuple(map(_mm, end)) for end in ends)
    yield from (
        "",
        "[[doors]]",
        'name = "door"',
        f"from = [{x0}, {y0}]",
        f"to = [{x1}, {y1}]",
        f"height = {_mm(min(room.high_m, DOOR_HIGH_M))}",
    )


DOOR_HIGH_M = 3.0


def _lift(room: Room) -> Iterator[str]:
    if room.lift == "none":
        return
    gap = room.lift_from_door_m
    if room.wall == "short":
        at, heading = (room.long_m - gap, room.wide_m / 2), 180
    else:
        at, heading = (room.long_m / 2, gap), 90
    x, y = map(_mm, at)
    yield from (
        "",
        "[[lifts]]",
        'name = "1"',
        f"type = {_quoted(LIFT_NAMES[room.lift])}",
        f"at = [{x}, {y}]",
        f"heading = {heading}",
    )


def body_text(body: Body) -> str:
    """A class of body as a vehicle document; its sensors stand where such cars have them."""
    half, front = round(0.43 * body.width), body.wheelbase + body.front_overhang
    rear = front - body.length
    sensors = (
        ("forward camera", "", (round(0.62 * body.wheelbase), 0, round(0.87 * body.height)), 0),
        ("front radar", "", (front - 60, 0, 550), 0),
        ("front corner radar", "left", (front - 250, half, 600), 45),
        ("front corner radar", "right", (front - 250, -half, 600), -45),
        ("rear corner radar", "left", (rear + 200, half, 650), 140),
        ("rear corner radar", "right", (rear + 200, -half, 650), -140),
        ("rear camera", "", (rear + 40, 0, 900), 180),
        ("surround-view camera", "", (front - 40, 0, 650), 0),
    )
    return _filled(
        "vehicle.toml",
        name=_quoted(body.name),
        model=_quoted(body.key),
        **{field: str(value) for field, value in asdict(body).items() if field != "key"},
        sensors="\n".join(line for sensor in sensors for line in _sensor(*sensor)),
    )


def _sensor(kind: str, side: str, at: tuple[int, int, int], facing: int) -> Iterator[str]:
    yield from ("", "[[sensors]]", f"kind = {_quoted(kind)}", *([f"side = {_quoted(side)}"] if side else []))
    yield f"at = [{at[0]}, {at[1]}, {at[2]}]"
    if facing:
        yield f"facing = {facing}"


def _filled(file: str, **values: str) -> str:
    return Template(typical_text(file)).substitute(values)


def _mm(value_m: float) -> int:
    return round(1000 * value_m)


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
