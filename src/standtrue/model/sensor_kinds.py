"""The kinds of sensors: the one table to which a new kind is added.

A kind's own name is what documents and answers say; `es` is what a Spanish reader reads, `also` other words for it that
documents, orders and rules may use, `emits` what it sends out while it works (for the cautions), `like` another kind
whose default rules count for it, too, where the table of common practice has no column of its own for it.
"""

from __future__ import annotations

from typing import Literal

from attrs import frozen


@frozen
class SensorKind:
    name: str
    es: str
    also: tuple[str, ...] = ()
    emits: Literal["", "radar", "laser"] = ""
    like: str = ""


SENSORS: tuple[SensorKind, ...] = (
    SensorKind(
        "forward camera",
        "cámara delantera",
        also=("front-facing camera", "forward-facing camera", "windshield camera"),
    ),
    SensorKind("front radar", "radar delantero", emits="radar"),
    SensorKind("front corner radar", "radar de esquina delantero", emits="radar"),
    SensorKind(
        "rear corner radar",
        "radar de esquina trasero",
        also=("blind spot radar", "blind spot sensor"),
        emits="radar",
    ),
    SensorKind("surround-view camera", "cámara de visión periférica", also=("360 camera", "surround camera")),
    SensorKind("rear camera", "cámara trasera", also=("backup camera", "reversing camera")),
    SensorKind("ultrasonic", "sensor ultrasónico", also=("parking sensor", "ultrasonic sensor")),
    SensorKind("lidar", "lidar", emits="laser"),
    SensorKind("steering-angle sensor", "sensor de ángulo de dirección"),
    SensorKind("night-vision camera", "cámara de visión nocturna"),
    SensorKind("ride-height sensor", "sensor de altura de marcha"),
    SensorKind("yaw-rate sensor", "sensor de guiñada"),
    SensorKind("driver camera", "cámara del conductor"),
    SensorKind("occupant weight sensor", "sensor de peso del ocupante", also=("seat weight sensor",)),
    SensorKind("adaptive headlamp", "faro adaptable"),
)

SENSOR_KINDS: tuple[str, ...] = tuple(sensor.name for sensor in SENSORS)

OTHER_WORDS: dict[str, str] = {word: sensor.name for sensor in SENSORS for word in sensor.also}
"""Other words for a kind, and the kind."""
