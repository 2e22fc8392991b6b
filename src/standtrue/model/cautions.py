"""Cautions: what could hurt someone or mislead them, and the sentence that says so where it is needed.

One table holds every caution and what calls for it. The texts are general; the makers of the car, the lift and the
equipment, and local codes, govern.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum

from attrs import frozen

from standtrue.model.sensor_kinds import SENSORS


class Fact(Enum):
    """Something true of an answer that calls for a caution."""

    RAISED = "the car is raised on a lift"
    OPEN_PIT = "a pit is open"
    CAR_MOVES = "the car is driven in the shop"
    CAR_PUSHED = "the car is pushed or rolled on skates"
    RADAR = "a radar is switched on"
    LIDAR = "a lidar is switched on"
    HIGH_VOLTAGE = "the car has a high-voltage system"
    OPEN_DOOR = "a door must stand open"
    ROAD_TEST = "the car is driven on the road"
    UNVERIFIED_CARD = "a card was not verified by a second person"
    DEMONSTRATION = "demonstration data was used"
    OVERLOAD = "the car is heavier than the lift or an axle of it may carry"
    UNKNOWN_MASS = "the car's mass or the lift's capacity is not known"


@frozen
class Caution:
    """A caution in words: `code` names it, `calls` are the facts of which any one calls for it (none: always)."""

    code: str
    calls: frozenset[Fact]
    text: str


def _caution(code: str, text: str, *calls: Fact) -> Caution:
    return Caution(code, frozenset(calls), text)


CAUTIONS: tuple[Caution, ...] = (
    _caution(
        "overload",
        "Do not raise this car on this lift: its mass is above what the lift or one axle of it may carry.",
        Fact.OVERLOAD,
    ),
    _caution(
        "unknown load",
        "Find out the car's mass and the lift's capacity, for each axle too, before you raise it.",
        Fact.UNKNOWN_MASS,
    ),
    _caution(
        "raised lift",
        "Follow the lift maker's instructions. Keep everyone out from under the car until it rests on engaged locks, "
        "and stay within the lift's capacity.",
        Fact.RAISED,
    ),
    _caution(
        "open pit",
        "A pit is open: guard its edge, keep people and wheels away from it, and close it when you have finished.",
        Fact.OPEN_PIT,
    ),
    _caution(
        "moving car",
        "Clear people from the car's way and have someone guide the driver. Set the parking brake and chock the wheels "
        "once it stands.",
        Fact.CAR_MOVES,
        Fact.CAR_PUSHED,
    ),
    _caution(
        "pushed car",
        "With its drive off a car may lack brake and steering assistance: keep a person at the brake where one "
        "works, keep chocks at hand, and move slowly on level floor only.",
        Fact.CAR_PUSHED,
    ),
    _caution(
        "radar emitter",
        "The radar transmits while it is on: keep the distance that its maker states, and keep other people and moving "
        "metal out of its view.",
        Fact.RADAR,
    ),
    _caution(
        "laser emitter",
        "The lidar emits laser light: do not look into it from close by or through optics, and follow the laser "
        "instructions of its maker and your local code.",
        Fact.LIDAR,
    ),
    _caution(
        "high voltage",
        "This car has a high-voltage system: only trained people may work near orange cables and the battery, by the "
        "vehicle maker's instructions. Lift only at the points that spare the battery.",
        Fact.HIGH_VOLTAGE,
    ),
    _caution(
        "open door",
        "A door must stand open: watch for sun on targets and lenses, rain, wind that moves targets, and traffic.",
        Fact.OPEN_DOOR,
    ),
    _caution(
        "road test",
        "Drive only with a licensed driver, a car fit and legal for the road, on a road and in weather that suit; obey "
        "traffic law before any drive procedure, and let a second person watch the tool.",
        Fact.ROAD_TEST,
    ),
    _caution(
        "unverified card",
        "A card used here was not verified by a second person: compare it with the vehicle maker's current procedure "
        "before you rely on it.",
        Fact.UNVERIFIED_CARD,
    ),
    _caution(
        "demonstration data",
        "This answer uses invented demonstration data: do not work on a real car by it.",
        Fact.DEMONSTRATION,
    ),
    _caution(
        "maker governs",
        "The vehicle maker's current service information and local codes govern. This program reports what was "
        "measured and planned; it does not declare a vehicle safe.",
    ),
)
"""Every caution in the order in which they are read: the gravest first, the standing one last."""

_ELECTRIC_WORDS = ("electric", "hybrid", "battery", "fuel cell", "bev", "phev", "hev", "fcev", "ev")


def cautions_for(facts: frozenset[Fact]) -> tuple[Caution, ...]:
    """The cautions that any of the facts calls for, in the order of the table; the standing one is always last."""
    return tuple(caution for caution in CAUTIONS if not caution.calls or caution.calls & facts)


def sensor_facts(kinds: Iterable[str]) -> frozenset[Fact]:
    """What the sensors to be calibrated call for: radars transmit, lidars emit laser light."""
    sent = {sensor.emits for sensor in SENSORS if sensor.name in frozenset(kinds)}
    return frozenset(fact for emits, fact in (("radar", Fact.RADAR), ("laser", Fact.LIDAR)) if emits in sent)


def propulsion_facts(propulsion: str) -> frozenset[Fact]:
    """High voltage, where a vehicle's `propulsion` words name an electric or hybrid drive."""
    said = f" {' '.join(propulsion.casefold().replace('-', ' ').split())} "
    return frozenset({Fact.HIGH_VOLTAGE}) if any(f" {word} " in said for word in _ELECTRIC_WORDS) else frozenset()
