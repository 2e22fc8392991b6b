"""The answer of `reflector`: a trihedral radar reflector."""

from __future__ import annotations

from standtrue.model.basis import Basis
from standtrue.show.answers.parts import AnswerShape, envelope, rounded
from standtrue.work.aim.reflectors import ReflectorFound


class ReflectorAnswer(AnswerShape):
    frequency_ghz: float
    leg_m: float
    section_m2: float
    section_dbsm: float
    far_field_m: float


def of_reflector(told: ReflectorFound) -> ReflectorAnswer:
    """A reflector's figures. They rest on no document."""
    return ReflectorAnswer(
        **envelope(Basis()),
        frequency_ghz=rounded(told.frequency_hz / 1e9),
        leg_m=rounded(told.leg_m),
        section_m2=rounded(told.section_m2),
        section_dbsm=round(told.section_dbsm, 6),
        far_field_m=rounded(told.far_field_m),
    )
