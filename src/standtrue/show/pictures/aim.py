"""Pictures of aiming: from a use case's answer to what a drawing needs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from attrs import evolve

from standtrue.aim.corrections import LEAST_M
from standtrue.aim.setup import SetupAnswer, TargetStands
from standtrue.draw.shapes import Drawing, Paragraph
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure
from standtrue.model.reader_units import System, format_angle
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.heights import CarThere, FloorPicture
from standtrue.show.pictures.targets import EXAGGERATED, Shift, measured_drawing, targets_drawing
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet import fine, verdict
from standtrue.work.aim.aiming import MeasuredAnswer, TargetsAnswer, card_of
from standtrue.work.aim.floors import FloorAnswer
from standtrue.work.aim.restanding import planned_stance
from standtrue.work.used import Basis


def floor_picture(
    folder: Shop, answer: FloorAnswer, car: Vehicle | None, card: Procedure | None, units: System
) -> FloorPicture:
    """A surveyed floor with its lines of equal height, and what a card and a car make of it."""
    site, plane, standing = folder.sites[answer.survey.site], answer.plane, answer.standing
    there = None
    if car is not None and standing is not None:
        there = CarThere(car, standing.place, standing.shims_m)
    facts = [("Site", site.name), ("Survey", answer.survey.name)]
    facts += [("For", card.key)] if card is not None else []
    facts += [("Car", car.name)] if car is not None else []
    return FloorPicture(
        title=f"Heights of the floor: {answer.survey.name}",
        floor=answer.floor,
        ground=Grounds(site).at_rest(),
        level=answer.band,
        car=there,
        facts=tuple(facts),
        verdict=_verdict(answer, plane.uphill_rad - site.datum.direction_rad, card, units),
        notes=_standing_notes(answer, units),
        cautions=tuple(c.text for c in answer.basis.cautions),
        demonstration=answer.basis.demonstration,
    )


def targets_picture(folder: Shop, setup: Setup, answer: TargetsAnswer, units: System) -> Drawing:
    """A set-up's stance as planned, with its targets and where they go."""
    scene = answer.scene
    stance = planned_stance(Grounds(scene.site), scene.vehicle, card_of(folder, setup), setup)
    places = [layout.place for layout in answer.targets]
    plan = targets_drawing(stance, places, units, f"To lay out: {scene.card.key} for {scene.vehicle.name}")
    said = verdict(stance, Reader(units))
    return evolve(plan, verdict=" ".join(said), **_told(answer.basis))


def measured_picture(answer: MeasuredAnswer, units: System) -> Drawing:
    """A set-up as it stands: the car, its targets, and arrows for what to shift."""
    setup, stance = answer.setup, answer.stance.answer
    scene = setup.scene
    shifts = [s for target in setup.targets if (s := _shift(target, setup, units)) is not None]
    title = f"As measured: {scene.card.key} for {scene.vehicle.name}"
    plan = measured_drawing(stance, scene.place, setup.corrected, shifts, units, title)
    said = [f"Set-up: {setup.verdict}.", *verdict(stance, Reader(units))]
    notes = [f"{t.place.name}: {t.verdict}{''.join(f'; {b}' for b in t.because)}" for t in setup.targets]
    arrows = f"arrows are drawn {EXAGGERATED} times as long as the shift, within what can be seen"
    told = _told(answer.basis, [*notes, *([arrows] if shifts else [])])
    return evolve(plan, verdict=" ".join(said), **told)


def _told(basis: Basis, notes: Sequence[str] = ()) -> dict[str, Any]:
    said = tuple(dict.fromkeys([*notes, *basis.warnings]))
    return {
        "paragraphs": (Paragraph("Notes", said),) if said else (),
        "cautions": tuple(c.text for c in basis.cautions),
        "demonstration": basis.demonstration,
    }


def _shift(target: TargetStands, setup: SetupAnswer, units: System) -> Shift | None:
    """What to shift at a target; None where it is accepted as it stands, or nothing is known."""
    if target.verdict == "accept" or target.correct is None or not (words := target.correct.words(units)):
        return None
    heading = setup.scene.place.heading_rad if setup.car is None else setup.car.place.heading_rad
    line = heading + setup.scene.thrust.value_rad
    forward, left = target.correct.forward_m, target.correct.left_m
    far = math.hypot(forward, left)
    seen = far if far >= LEAST_M else 0.0
    return Shift(target.place, line + math.atan2(left, forward), seen, ", ".join(words))


def _verdict(answer: FloorAnswer, uphill_rad: float, card: Procedure | None, units: System) -> str:
    plane = answer.plane
    slope = f"{plane.slope * 120:.2f} in in 10 ft" if units == "us" else f"{plane.slope * 1000:.2f} mm a meter"
    said = f"The floor rises by {slope} toward {format_angle(uphill_rad)}, and lies within "
    said += fine(plane.greatest_m, Reader(units), "up") + " of a plane."
    if answer.band is None or card is None:
        return said
    area = float(answer.band.level.area)
    size = f"{area / 0.3048**2:.0f} sq ft" if units == "us" else f"{area:.1f} m²"
    return f"{said} {size} lie in one band of heights that is level enough for {card.key}."


def _standing_notes(answer: FloorAnswer, units: System) -> tuple[str, ...]:
    """How the car stands on it."""
    told = answer.standing
    if told is None:
        return ()
    said = []
    if told.level is not None:
        rise = fine(told.level.difference_m, Reader(units), "up")
        said.append(f"under what the card names the height differs by {rise}")
    if told.verdict is not None:
        said.append(f"level as the card asks: {told.verdict}")
    if told.unknown:
        said.append(f"not surveyed: {', '.join(told.unknown)}")
    return tuple(said)
