"""The answer of `reflector`: a trihedral radar reflector."""

from __future__ import annotations

from pydantic import Field

from standtrue.aim.reflector import BORESIGHT_RAD
from standtrue.model.basis import Basis
from standtrue.show.answers.aim_parts import degrees
from standtrue.show.answers.parts import AnswerShape, envelope, rounded, rounded_or_none
from standtrue.work.aim.reflectors import ReflectorFound


class ReflectorAnswer(AnswerShape):
    frequency_ghz: float
    leg_m: float
    section_m2: float
    section_dbsm: float
    far_field_m: float = Field(description="Of something as large as the leg. That of the opening's edge counts.")
    aperture_m: float = Field(description="The opening's edge: the leg times root 2.")
    aperture_far_field_m: float
    boresight_deg: float = Field(description="The axis above a face that lies level.")
    sight_deg: float = Field(description="How far the line to the radar rises.")
    tip_deg: float = Field(description="By how much the base is to be tipped, front down, to look at the radar.")
    off_axis_deg: float
    loss_db: float | None = Field(description="Lost of the peak; null beyond what the pattern tells.")


def of_reflector(told: ReflectorFound) -> ReflectorAnswer:
    """A reflector's figures. They rest on no document."""
    return ReflectorAnswer(
        **envelope(Basis()),
        frequency_ghz=rounded(told.frequency_hz / 1e9),
        leg_m=rounded(told.leg_m),
        section_m2=rounded(told.section_m2),
        section_dbsm=round(told.section_dbsm, 6),
        far_field_m=rounded(told.leg_far_field_m),
        aperture_m=rounded(told.aperture_m),
        aperture_far_field_m=rounded(told.far_field_m),
        boresight_deg=degrees(BORESIGHT_RAD),
        sight_deg=degrees(told.sighting.sight_rad),
        tip_deg=degrees(told.sighting.tip_rad),
        off_axis_deg=degrees(told.sighting.off_rad),
        loss_db=rounded_or_none(told.sighting.loss_db),
    )
