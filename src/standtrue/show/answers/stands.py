"""How a target stands, as `measured` tells it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.aim.layout import TargetPlace
from standtrue.aim.stands import Part, TargetStands
from standtrue.model.verdict import Verdict
from standtrue.show.answers.aim_parts import TargetShape, degrees_or_none, of_target
from standtrue.show.answers.parts import Coded, Shape, coded, rounded, rounded_or_none
from standtrue.show.words.aim import correction_steps
from standtrue.show.words.reader import ENGLISH


class LengthPart(Shape):
    name: Literal["along", "across", "height"]
    measured: bool
    deviation_m: float | None
    u_m: float | None
    limit_m: float | None
    verdict: Verdict | None
    probability: float | None = Field(description="That the true deviation lies within the limit.")
    risk: float | None = Field(description="Bounds how often a wrong decision is taken.")
    at_most_m: float | None = Field(
        None, description="How far off at most, by the rule that decides: no farther than the limit where accepted."
    )


class AnglePart(Shape):
    name: Literal["turn", "lean"]
    measured: bool
    deviation_deg: float | None
    u_deg: float | None
    limit_deg: float | None
    verdict: Verdict | None
    probability: float | None
    risk: float | None
    at_most_deg: float | None = None


class TowardShape(Shape):
    way: Literal["forward", "left", "rearward", "right"] = Field(description="As the car looks.")
    thing: str


class StoodShape(TargetShape):
    """A target where it stood, with how wide its face is drawn."""

    width_m: float


class TargetStandsShape(Shape):
    target: str
    verdict: Verdict
    because: list[str]
    parts: list[LengthPart | AnglePart]
    covariance: list[list[float | None]] = Field(description="Of the parts in their order: metres and radians.")
    correct: list[str] = Field(description="What to do to the target, in words.")
    because_coded: list[Coded] = Field([])
    correct_coded: list[Coded] = Field([])
    from_others: bool = Field(
        False, description="In doubt: by the other readings, and of the correction only what every explanation says."
    )
    toward: list[TowardShape] = Field([], description="What somebody at the target sees in the ways that it goes.")
    stood: StoodShape | None = Field(None, description="Where it stood as measured; null where that was not measured.")


def of_stands(target: TargetStands) -> TargetStandsShape:
    """How one target stands."""
    steps, toward = ((), ()) if target.correct is None else (target.correct.steps, target.correct.toward)
    return TargetStandsShape(
        target=target.place.name,
        verdict=target.verdict,
        because=ENGLISH.reasons(target.because),
        parts=[_part(part) for part in target.parts],
        covariance=[[rounded_or_none(float(c)) for c in row] for row in target.covariance],
        correct=list(correction_steps(target.correct, ENGLISH)),
        because_coded=coded(target.because),
        correct_coded=coded(steps),
        from_others=target.from_others,
        toward=[TowardShape(way=way, thing=ENGLISH.write(ref)) for way, ref in toward],
        stood=None if target.stood is None else _stood(target.stood),
    )


def _stood(place: TargetPlace) -> StoodShape:
    return StoodShape(**dict(of_target(place)), width_m=rounded(2 * place.chalk_half_m))


def _part(part: Part) -> LengthPart | AnglePart:
    shape, scaled, end = (AnglePart, degrees_or_none, "deg") if part.is_angle else (LengthPart, rounded_or_none, "m")
    most = part.at_most if part.measured else None
    figures = {"deviation": part.deviation, "u": part.u, "limit": part.limit, "at_most": most}
    told = {
        "name": part.name,
        "measured": part.measured,
        **{f"{name}_{end}": scaled(value) for name, value in figures.items()},
        "verdict": part.verdict,
        "probability": None if part.tested is None else round(part.tested.probability, 6),
        "risk": None if part.tested is None else part.tested.risk,
    }
    return shape.model_validate(told)
