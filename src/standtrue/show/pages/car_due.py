"""At the car: which screen is due."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.model.procedure import Procedure
from standtrue.model.reason import because
from standtrue.show.pages import car, car_verdict
from standtrue.show.pages.car import Reading, Screen, cautions_of
from standtrue.show.pages.car_read import conditions_screen, planned_of, read_screen, set_screen, which
from standtrue.work.aim.aiming import MeasuredAnswer
from standtrue.work.aim.gate import Hold, card_holds
from standtrue.work.aim.laying import TargetsAnswer
from standtrue.work.car.setting import reading_names

DRIVES = ("enter", "move", "leave")

BY_CARD = ("calibration", "drive")
"""The steps that are worked by a card."""


@frozen(eq=False)
class Due:
    """What a step is done by: where its targets go, if it places any, and its card."""

    layout: TargetsAnswer | None = None
    card: Procedure | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """The readings of the step, by name."""
        return () if self.layout is None else reading_names(planned_of(self.layout))

    @property
    def counts(self) -> tuple[int, int]:
        """How many readings are of the car, and how many of the target."""
        planned = () if self.layout is None else planned_of(self.layout)
        of_car = sum(not one.part for one in planned)
        return of_car, len(planned) - of_car


def due_screens(  # long: one parameter for each thing that is known
    r: Reading,
    due: Due,
    measured: MeasuredAnswer | None,
    asked: str,
    device: str,
    address: str,
    people: Sequence[str],
    *,
    wrong: str = "",
    chosen: str = "",
    refused: bool = False,
) -> tuple[Screen, ...]:
    """The screen that is due, first; behind it those that can follow without the server."""
    at = r.at
    if not at.has(device) and at.stopped is None:
        return (car.held_screen(r, device),)
    if at.stopped is not None or at.look:
        return (car.resume_screen(r, *due.counts),)
    if at.waits == "choice":
        return (car_verdict.next_screen(r, due.card),)
    if at.waits:
        return (car_verdict.waiting_screen(r, address),)
    if holds := _holds(r, due):
        return (car_verdict.card_screen(r, holds, address),)
    sensor = "" if due.card is None else due.card.sensor
    cautions = cautions_of(at.step, r.site, sensor, r.reader)
    if at.step.kind in DRIVES:
        return car.drive_screens(r, cautions)
    if at.step.kind not in BY_CARD or due.card is None:
        return (car.work_screen(r, cautions),)
    card = due.card if due.layout is None else due.layout.scene.card
    key = which(at, card, due.names, asked)
    if key in ("conditions", "set", "read"):
        return _local(r, due, card, key)
    made = {
        "judge": lambda: car_verdict.judge_screen(r),
        "failed": lambda: car_verdict.failed_screen(r, card),
        "tool": lambda: car_verdict.tool_screen(r, card),
        "photo": lambda: car_verdict.photo_screen(r, address, refused),
        "sign": lambda: car_verdict.sign_screen(r, people, address, chosen, wrong),
    }
    if key == "verdict":
        return (car_verdict.judge_screen(r) if measured is None else car_verdict.verdict_screen(r, card, measured),)
    return (made[key](),)


def _holds(r: Reading, due: Due) -> tuple[Hold, ...]:
    """What stands against the card of a step that is worked by one: nothing of it is done then."""
    step = r.at.step
    if step.kind not in BY_CARD or step.called[0] not in ("card", "drive"):
        return ()
    if due.card is None:
        return (Hold(because("card-gone", card=step.called[1])),)
    return tuple(card_holds(due.card))


def _local(r: Reading, due: Due, card: Procedure, key: str) -> tuple[Screen, ...]:
    """Conditions, where the target goes, readings: gone through without the server, from the one that is due."""
    made: list[Screen] = []
    conditions = conditions_screen(r, card)
    if conditions is not None:
        made.append(conditions)
    if due.layout is not None:
        made += [set_screen(r, card, due.layout), read_screen(r, due.layout)]
    return tuple(sorted(made, key=lambda one: one.key != key))
