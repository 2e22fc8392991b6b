"""Whether cars fit in many rooms, as data."""

from __future__ import annotations

from itertools import product
from typing import Literal

from pydantic import Field

from standtrue.model.basics import SupportClass
from standtrue.show.answers.parts import AnswerShape, Shape, StanceShape, envelope, fits_told, stance_told
from standtrue.work.place.many import ManyFits


class ManyFitShape(Shape):
    site: str
    vehicle: str
    procedure: str
    fits: bool | Literal["undecided"]
    support: SupportClass | None = Field(description="The class of support on which it does; null where it does not.")
    stance: StanceShape | None = Field(description="A stance that fits: one of many, and not the roomiest.")


class ManyShape(AnswerShape):
    """Every room with every car and every card: rooms first, then cars, then cards."""

    sites: list[str]
    vehicles: list[str]
    procedures: list[str]
    answers: list[ManyFitShape]


def of_many(many: ManyFits) -> ManyShape:
    """The answers as data, in the order of the question."""
    asked = product(many.sites, many.vehicles, many.cards)
    return ManyShape(
        **envelope(many.basis),
        sites=[site.name for site in many.sites],
        vehicles=[car.name for car in many.vehicles],
        procedures=[card.key for card in many.cards],
        answers=[
            ManyFitShape(
                site=site.name,
                vehicle=car.name,
                procedure=card.key,
                fits=fits_told(one.fits),
                support=one.support,
                stance=None if one.place is None else stance_told(one.place),
            )
            for (site, car, card), one in zip(asked, many.found, strict=True)
        ],
    )
