"""What each question is asked with: the options of the command of that name, as one JSON object."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

MOST_TEXT, MOST_LISTED = 200, 50

Text = Annotated[str, Field(max_length=MOST_TEXT)]


class Asked(BaseModel):
    """A question. Names may be left out where there is only one to choose from."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, frozen=True)


class JobAsked(Asked):
    job: Text | None = None


class PlanAsked(JobAsked):
    alternatives: bool = True


class PlaceAsked(Asked):
    site: Text | None = None
    bay: Text | None = None
    vehicle: Text | None = None
    procedures: list[Text] = Field(default=[], max_length=MOST_LISTED, description="None: those that are for the car.")
    support: Text | None = None
    region: list[Annotated[float, Field(ge=-360, le=360)]] = Field(
        default=[], max_length=8, description="Headings, degrees."
    )
    remedies: bool = True


class DriveAsked(Asked):
    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, frozen=True, populate_by_name=True)

    site: Text | None = None
    vehicle: Text | None = None
    start: Text = Field(alias="from", description="As `drive --from`.")
    goal: Text = Field(alias="to", description="As `drive --to`.")
    mode: Literal["drive", "push", "skates"] = "drive"


class StudyAsked(Asked):
    study: Text | None = None
    places: bool = True


class SizesAsked(Asked):
    site: Text | None = None
    study: Text | None = None
    mix: Text | None = None
    lift: Text | None = None
    rule: Literal["centered", "as today"] = "centered"
    support: Text | None = None
    widest: Text = "9 m"
    longest: Text = "16 m"


class SetupAsked(Asked):
    setup: Text | None = None


class TargetsAsked(SetupAsked):
    checked: Text | None = None


class FloorAsked(Asked):
    survey: Text | None = None
    procedure: Text | None = None
    vehicle: Text | None = None
    at: Text | None = None


class LoadsAsked(Asked):
    site: Text | None = None
    vehicle: Text | None = None
    lift: Text | None = None


class VerifyAsked(Asked):
    against: list[Annotated[str, Field(max_length=400)]] = Field(
        default=[], max_length=MOST_LISTED, description="Anchors, a line each."
    )


class NothingAsked(Asked):
    """What is asked of the whole shop."""
