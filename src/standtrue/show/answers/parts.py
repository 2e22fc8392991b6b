"""What the shapes of all answers share."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field


class Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, strict=True)


class DocumentUsed(Shape):
    kind: str
    name: str
    digest: str = Field(description="SHA-256 of the document's canonical JSON.")


class Told(Shape):
    """What every answer carries."""

    program: str
    documents: list[DocumentUsed]
    demonstration: bool = Field(description="Whether invented demonstration data was used.")
    warnings: list[str]
    cautions: list[str]


class StanceTold(Shape):
    x_m: float
    y_m: float
    heading_deg: float


class TouchTold(Shape):
    zone: str
    thing: str
    separation_m: float = Field(description="Negative where they overlap; then only the sign is promised.")
    gap_m: float
    at: tuple[float, float] = Field(description="The thing's nearest point, metres in the site frame.")
