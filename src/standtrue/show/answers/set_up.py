"""What a set-up is of, and what was read at it, as `measured` tells it: whoever has the answer alone can judge it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.aim.titles import title_of
from standtrue.model.procedure import Procedure
from standtrue.model.verdict import Verdict
from standtrue.show.answers.aim_parts import degrees, degrees_or_none, unit_of
from standtrue.show.answers.parts import Coded, Shape, coded_or_none, ring, rounded
from standtrue.show.pictures.car_body import drawn_body
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim import aiming


class CardShape(Shape):
    """The card that a set-up is measured by: which edition of it, and how far it is to be trusted."""

    key: str
    sensor: str
    side: Literal["left", "right"] | None
    title: str
    edition: str
    read_on: str
    status: str


class ReadShape(Shape):
    """One reading as it was given."""

    number: int = Field(description="Its place in the set-up, from 1.")
    title: str
    title_coded: Coded | None
    value: float = Field(description="Metres or radians.")
    u: float = Field(description="Standard uncertainty, in the same unit.")
    unit: Literal["m", "rad"]
    said: Literal["", "questioned", "suspected"] = ""
    unchecked: bool = Field(False, description="No other reading would show that it is wrong.")
    typed: str = ""
    instrument: str = ""


class HeldShape(Shape):
    """One of the car's alignment limits, and what was held against it."""

    limit: str
    reading: str
    low_deg: float
    high_deg: float
    standing: Verdict | Literal["not measured"]
    value_deg: float | None
    u_deg: float | None


class CarDrawnShape(Shape):
    """The car's plan in its own frame, metres: x ahead of the rear axle, y to the left."""

    outline: list[tuple[float, float]]
    wheels: list[tuple[float, float]]
    tire_m: tuple[float, float] = Field(description="Diameter and width.")


class SetUpShape(Shape):
    name: str
    job: str
    site: str
    vehicle: str
    card: CardShape
    readings: list[ReadShape]
    alignment: list[HeldShape]
    car: CarDrawnShape


def of_set_up(answer: aiming.MeasuredAnswer) -> SetUpShape:
    """Which set-up was measured, with every reading as it was given."""
    scene = answer.setup.scene
    return SetUpShape(
        name=answer.of.name,
        job=answer.of.job,
        site=scene.site.name,
        vehicle=scene.vehicle.name,
        card=of_card(scene.card),
        readings=_readings(answer),
        alignment=_alignment(answer),
        car=_car(answer),
    )


def of_card(card: Procedure) -> CardShape:
    """A card by its edition."""
    source = card.source
    return CardShape(
        key=card.key,
        sensor=card.sensor,
        side=card.side,
        title=source.title,
        edition=source.edition,
        read_on=source.read_on,
        status=source.status,
    )


def _readings(answer: aiming.MeasuredAnswer) -> list[ReadShape]:
    setup = answer.setup
    asked = {question.reading for question in setup.questions}
    suspected = {id(reading) for reading in setup.suspects}
    said = {
        n: "suspected"
        for n, one in zip(setup.numbers, setup.tested, strict=bool(setup.numbers))
        if id(one) in suspected
    }
    alone = range(len(setup.numbers)) if setup.blunder is None else setup.blunder.unchecked
    checked = {n for i, n in enumerate(setup.numbers) if i not in alone}
    return [
        ReadShape.model_validate(
            {
                "number": number,
                "title": ENGLISH.reason(title_of(reading, setup.scene)),
                "title_coded": coded_or_none(title_of(reading, setup.scene)),
                "value": rounded(reading.value),
                "u": rounded(reading.u),
                "unit": unit_of(reading.is_angle),
                "said": said.get(number, "questioned" if number - 1 in asked else ""),
                "unchecked": number not in checked,
                "typed": "" if reading.typed is None else reading.typed.text,
                "instrument": answer.of.readings[number - 1].instrument,
            }
        )
        for number, reading in enumerate(answer.read, start=1)
    ]


def _alignment(answer: aiming.MeasuredAnswer) -> list[HeldShape]:
    return [
        HeldShape(
            limit=check.name,
            reading=check.reading,
            low_deg=degrees(check.limits_rad[0]),
            high_deg=degrees(check.limits_rad[1]),
            standing="not measured" if check.verdict is None else check.verdict,
            value_deg=degrees_or_none(None if check.tested is None else check.tested.value),
            u_deg=degrees_or_none(None if check.tested is None else check.tested.u),
        )
        for check in answer.alignment.checks
    ]


def _car(answer: aiming.MeasuredAnswer) -> CarDrawnShape:
    car = answer.setup.scene.vehicle
    ends = ((car.wheelbase_m, car.track_front_m), (0.0, car.track_rear_m))
    return CarDrawnShape(
        outline=ring(drawn_body(car)),
        wheels=[(rounded(x), rounded(side * track / 2)) for x, track in ends for side in (1, -1)],
        tire_m=(rounded(car.tire_diameter_m), rounded(car.tire_width_m)),
    )
