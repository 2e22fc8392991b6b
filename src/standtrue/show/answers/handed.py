"""That an order was handed to somebody, with the plan by which it is done."""

from __future__ import annotations

from pydantic import Field

from standtrue.show.answers.parts import AnswerShape, envelope
from standtrue.work.orders.planned import Handed


class HandedToAnswer(AnswerShape):
    job: str
    to: str = Field(description="Who does it, or sees to it.")
    plan: int = Field(description="The number, in the job, of the entry with the plan by which it is done.")


def of_handed(handed: Handed) -> HandedToAnswer:
    """To whom an order was handed."""
    return HandedToAnswer(**envelope(handed.basis), job=handed.job, to=handed.to, plan=handed.plan)
