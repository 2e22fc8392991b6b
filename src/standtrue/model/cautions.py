"""Cautions: what could hurt someone or mislead them, and what of an answer calls for saying so.

One table holds every caution and what calls for it.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum

from attrs import frozen

from standtrue.model.reason import Reason
from standtrue.model.sensor_kinds import SENSORS


class Fact(Enum):
    """Something true of an answer that calls for a caution."""

    RAISED = "raised"
    OPEN_PIT = "open pit"
    CAR_MOVES = "car moves"
    CAR_PUSHED = "car pushed"
    RADAR = "radar"
    LIDAR = "lidar"
    HIGH_VOLTAGE = "high voltage"
    OPEN_DOOR = "open door"
    ROAD_TEST = "road test"
    UNVERIFIED_CARD = "unverified card"
    UNUSABLE_CARD = "unusable card"
    DEMONSTRATION = "demonstration"
    OVERLOAD = "overload"
    UNKNOWN_MASS = "unknown mass"


@frozen
class Caution:
    """What must be said where it is needed: `calls` are the facts of which any one calls for it (none: always)."""

    code: str
    calls: frozenset[Fact] = frozenset()

    @property
    def reason(self) -> Reason:
        """The caution as it is said: its code."""
        return Reason(self.code)


CAUTIONS: tuple[Caution, ...] = (
    Caution("unusable-card", frozenset({Fact.UNUSABLE_CARD})),
    Caution("overload", frozenset({Fact.OVERLOAD})),
    Caution("unknown-load", frozenset({Fact.UNKNOWN_MASS})),
    Caution("raised-lift", frozenset({Fact.RAISED})),
    Caution("open-pit", frozenset({Fact.OPEN_PIT})),
    Caution("moving-car", frozenset({Fact.CAR_MOVES, Fact.CAR_PUSHED})),
    Caution("pushed-car", frozenset({Fact.CAR_PUSHED})),
    Caution("radar-emitter", frozenset({Fact.RADAR})),
    Caution("laser-emitter", frozenset({Fact.LIDAR})),
    Caution("high-voltage", frozenset({Fact.HIGH_VOLTAGE})),
    Caution("open-door", frozenset({Fact.OPEN_DOOR})),
    Caution("road-test", frozenset({Fact.ROAD_TEST})),
    Caution("unverified-card", frozenset({Fact.UNVERIFIED_CARD})),
    Caution("demonstration-data", frozenset({Fact.DEMONSTRATION})),
    Caution("maker-governs"),
)
"""Every caution in the order in which they are read: the gravest first, the standing one last."""

_ELECTRIC_WORDS = ("electric", "hybrid", "battery", "fuel cell", "bev", "phev", "hev", "fcev", "ev")


def cautions_for(facts: frozenset[Fact]) -> tuple[Caution, ...]:
    """The cautions that any of the facts calls for, in the order of the table; the standing one is always last."""
    return tuple(caution for caution in CAUTIONS if not caution.calls or caution.calls & facts)


def sensor_facts(kinds: Iterable[str]) -> frozenset[Fact]:
    """What the sensors to be calibrated call for: radars transmit, lidars emit laser light."""
    named = frozenset(kinds)
    sent = {sensor.emits for sensor in SENSORS if sensor.name in named}
    return frozenset(fact for emits, fact in (("radar", Fact.RADAR), ("laser", Fact.LIDAR)) if emits in sent)


def propulsion_facts(propulsion: str) -> frozenset[Fact]:
    """High voltage, where a vehicle's `propulsion` words name an electric or hybrid drive."""
    said = f" {' '.join(propulsion.casefold().replace('-', ' ').split())} "
    return frozenset({Fact.HIGH_VOLTAGE}) if any(f" {word} " in said for word in _ELECTRIC_WORDS) else frozenset()
