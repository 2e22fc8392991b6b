"""The kinds of sensors: the one table to which a new kind is added.

A kind's own name is what documents and answers say; `es` is what a Spanish reader reads, `also` other words for it that
documents, orders and rules may use, `emits` what it sends out while it works (for the cautions), `places` where on cars
it may sit: empty for what sits inside or anywhere. Each one that is `sided` sits left or right of the middle. A new
kind needs its rules in `documents/default-rules.toml`, too.
"""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.rules import Where


@frozen
class SensorKind:
    name: str
    es: str
    also: tuple[str, ...] = ()
    emits: Literal["", "radar", "laser"] = ""
    places: tuple[Where, ...] = ()
    sided: bool = False


SENSORS: tuple[SensorKind, ...] = (
    SensorKind(
        "forward camera",
        "cámara delantera",
        also=("front-facing camera", "forward-facing camera", "windshield camera"),
        places=("front", "roof"),
    ),
    SensorKind("front radar", "radar delantero", emits="radar", places=("front", "under")),
    SensorKind("front corner radar", "radar de esquina delantero", emits="radar", places=("front",), sided=True),
    SensorKind(
        "rear corner radar",
        "radar de esquina trasero",
        also=("blind spot radar", "blind spot sensor"),
        emits="radar",
        places=("rear",),
        sided=True,
    ),
    SensorKind(
        "surround-view camera",
        "cámara de visión periférica",
        also=("360 camera", "surround camera"),
        places=("front", "rear"),
    ),
    SensorKind("rear camera", "cámara trasera", also=("backup camera", "reversing camera"), places=("rear", "roof")),
    SensorKind(
        "ultrasonic", "sensor ultrasónico", also=("parking sensor", "ultrasonic sensor"), places=("front", "rear")
    ),
    SensorKind("lidar", "lidar", emits="laser", places=("front", "roof")),
    SensorKind("steering-angle sensor", "sensor de ángulo de dirección"),
    SensorKind("night-vision camera", "cámara de visión nocturna", places=("front",)),
    SensorKind("ride-height sensor", "sensor de altura de marcha", places=("front", "rear", "under")),
    SensorKind("yaw-rate sensor", "sensor de guiñada"),
    SensorKind("driver camera", "cámara del conductor"),
    SensorKind("occupant weight sensor", "sensor de peso del ocupante", also=("seat weight sensor",)),
    SensorKind("adaptive headlamp", "faro adaptable", places=("front",), sided=True),
)

SENSOR_KINDS: tuple[str, ...] = tuple(sensor.name for sensor in SENSORS)

OTHER_WORDS: dict[str, str] = {word: sensor.name for sensor in SENSORS for word in sensor.also}
"""Other words for a kind, and the kind."""

PLACES: dict[str, tuple[Where, ...]] = {sensor.name: sensor.places for sensor in SENSORS if sensor.places}
"""Where kinds may sit that do not sit inside the car or anywhere on it. Common practice, no source."""

SIDED: tuple[str, ...] = tuple(sensor.name for sensor in SENSORS if sensor.sided)
"""The kinds of which each one sits on the left or on the right of the car."""
