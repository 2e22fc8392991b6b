"""Answers of aiming as tables that a person reads in a terminal."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from rich.console import RenderableType
from rich.markup import escape

from standtrue.aim.reading_plan import ReadingPlan
from standtrue.aim.setup import Part, SetupAnswer
from standtrue.cli.output import table
from standtrue.model.fits import Fits
from standtrue.model.reader_units import System, format_angle, format_length
from standtrue.show.words.place import touch_words
from standtrue.show.words.reader import Reader
from standtrue.work.aim.aiming import AlignmentTold, LoadsTold, MeasuredAnswer, TargetsAnswer
from standtrue.work.aim.floors import FloorAnswer

Tables = Iterable[RenderableType]


def targets_tables(answer: TargetsAnswer, system: System) -> Tables:
    wheels = table("The wheels' centers on the floor, from each mark (along the datum, to its left)", "wheel", "marks")
    for wheel, offsets in answer.wheels:
        said = "; ".join(f"{o.mark}: {_l(o.along_m, system)}, {_l(o.left_m, system)}" for o in offsets)
        wheels.add_row(wheel, escape(said))
    yield wheels
    places = table("Where the targets go", "target", "x", "y", "height", "faces", "line")
    for layout in answer.targets:
        x, y, z = layout.place.center
        facing = format_angle(layout.place.facing_rad)
        places.add_row(
            escape(layout.place.name), _l(x, system), _l(y, system), _l(z, system), facing, layout.place.line
        )
    yield places
    for layout in answer.targets:
        lines = table(f"To lay out {escape(layout.place.name)}", "from", "to", "straight", "on the floor")
        for one in (*layout.hubs, *(() if layout.sensor is None else (layout.sensor,)), *layout.diagonals):
            lines.add_row(escape(one.start), escape(one.end), _l(one.straight_m, system), _l(one.plan_m, system))
        yield lines
        if layout.place.swept:
            path = table(f"Path along which {escape(layout.place.name)} is moved", "point", "x", "y")
            for number, (x, y) in enumerate(layout.place.swept, start=1):
                path.add_row(str(number), _l(x, system), _l(y, system))
            yield path
    if answer.plan is not None:
        yield from _plan(answer.plan, system)


def _plan(plan: ReadingPlan, system: System) -> Tables:
    title = "Readings to take" + (" (no fewer do)" if plan.proven and plan.enough else "")
    made = table(title, "", "reading", "known to (u)")
    for number, reading in enumerate(plan.readings, start=1):
        angle = reading.what in ("angle", "lean")
        made.add_row(str(number), escape(reading.title), _u(reading.u, angle, system))
    yield made


def measured_tables(answer: MeasuredAnswer, system: System) -> Tables:
    setup = answer.setup
    if setup.car is not None:
        car = setup.car
        along = f"{_l(abs(car.forward_m), system)} {'forward' if car.forward_m >= 0.0 else 'rearward'}"
        across = f"{_l(abs(car.left_m), system)} to the {'left' if car.left_m >= 0.0 else 'right'}"
        turned = f"{abs(math.degrees(car.turn_rad)):.2f}° {'counter-' if car.turn_rad >= 0.0 else ''}clockwise"
        yield f"The car stands {along} and {across} of its plan, turned {turned}."
    yield from _doubts(setup)
    yield from _stance(answer, system)
    made = table("The targets as they stand", "target", "", "off by", "u", "limit", "verdict")
    for target in setup.targets:
        for part in target.parts:
            if part.measured or part.limit is not None:
                made.add_row(escape(target.place.name), *_part(part, system))
    yield made
    for target in setup.targets:
        yield f"[bold]{escape(target.place.name)}: {target.verdict}[/bold]"
        yield from (f"  {escape(said)}" for said in target.because)
        if target.verdict != "accept" and target.correct is not None and (words := target.correct.words(system)):
            first = "once that reading is settled" if setup.suspects else "to do"
            yield f"  {first}: {escape(', '.join(words))}"
    for settling in answer.settling:
        share = f"{settling.probability:.0%}"
        yield escape(f"{settling.target}: to settle it, read the {settling.reading.title} ({share} likely to do)")
    if setup.car is not None:
        yield _corrected(setup, system)
    yield f"[bold]Set-up: {setup.verdict}[/bold]"


def _stance(answer: MeasuredAnswer, system: System) -> Tables:
    """Whether the car fits where it stands, and what it comes near."""
    stance = answer.stance
    where = "as planned" if answer.setup.car is None else "where it stands"
    if stance.answer.fits is Fits.YES and stance.answer.margin_m is not None:
        sure = "" if stance.u_m is None else f" (u {_fine(stance.u_m, system)})"
        near = f": {touch_words(stance.answer.touches[0], Reader(system))}" if stance.answer.touches else ""
        said = f"The car fits {where}, least margin {_l(stance.answer.margin_m, system)}{sure}{near}"
        yield escape(said) + ("" if stance.verdict == "accept" else " [bold](too near to be sure)[/bold]")
        return
    yield f"[bold]The car does not fit {where}:[/bold]"
    near_it = (touch_words(t, Reader(system)) for t in stance.answer.touches if t.margin_m < 0.0)
    yield from (f"  {escape(said)}" for said in (*stance.answer.because, *near_it))


def _corrected(setup: SetupAnswer, system: System) -> RenderableType:
    made = table("Where the targets go for the car as it stands", "target", "x", "y", "height", "faces")
    for place in setup.corrected:
        x, y, z = place.center
        made.add_row(escape(place.name), _l(x, system), _l(y, system), _l(z, system), format_angle(place.facing_rad))
    return made


def _doubts(setup: SetupAnswer) -> Tables:
    for question in setup.questions:
        yield f"[bold]Look again:[/bold] {escape(question.words)}"
    if setup.suspects:
        told = " or ".join(reading.title for reading in setup.suspects)
        yield f"[bold]Look again:[/bold] one of these does not go with the others: {escape(told)}"
    for said in setup.refused:
        yield f"[bold]Not fixed:[/bold] {escape(said)}"


def _part(part: Part, system: System) -> tuple[str, ...]:
    angle = part.name in ("turn", "lean")
    limit = "" if part.limit is None else _u(part.limit, angle, system)
    if not part.measured:
        return part.name, "not measured", "", limit, ""
    verdict = "" if part.tested is None else part.tested.verdict
    return part.name, _u(part.deviation, angle, system), _u(part.u, angle, system), limit, verdict


def floor_tables(answer: FloorAnswer, system: System) -> Tables:
    plane = answer.plane
    made = table(f"The floor: {escape(answer.survey.name)}", "", "")
    made.add_row("slope", f"{plane.slope * 1000:.2f} mm/m ({math.degrees(plane.slope_rad):.3f}°)")
    made.add_row("uphill", format_angle(plane.uphill_rad))
    made.add_row("greatest off its plane", _fine(plane.greatest_m, system))
    for name, numbers in answer.numbers:
        told = [
            f"{label} {value:.1f}" for label, value in (("FF", numbers.ff), ("FL", numbers.fl)) if value is not None
        ]
        made.add_row(f"{escape(name)} (for comparison)", ", ".join(told) or "too short")
    for row, worst in answer.worst:
        if worst is not None:
            kept = "kept" if worst.ok else "NOT kept"
            said = f"{kept}: {_fine(abs(worst.off_m), system)} of {_fine(worst.limit_m, system)}"
            made.add_row(f"DIN 18202 table 3 row {row}", said)
    yield made
    if answer.band is not None:
        area = _area(float(answer.band.level.area), system)
        yield f"Level enough for the card: {area} of the floor; the rest: {answer.band.because}."
    if answer.standing is not None:
        yield from _standing(answer, system)


def _standing(answer: FloorAnswer, system: System) -> Tables:
    told = answer.standing
    assert told is not None
    made = table("The car there", "", "")
    if told.tilt is not None:
        down = "nose down" if told.tilt.pitch_rad > 0 else "nose up"
        up = "left side up" if told.tilt.roll_rad > 0 else "right side up"
        made.add_row("pitch", f"{abs(math.degrees(told.tilt.pitch_rad)):.3f}° {down}")
        made.add_row("roll", f"{abs(math.degrees(told.tilt.roll_rad)):.3f}° {up}")
        made.add_row("at 100 m", _l(abs(100 * math.tan(told.tilt.pitch_rad)), system))
    if told.sensor is not None:
        looks = "lower" if told.sensor.pitch_rad > 0 else "higher"
        far = f"{_l(abs(told.sensor.at_100_m_m), system)} at 100 m"
        turn = f"{abs(math.degrees(told.sensor.pitch_rad)):.3f}° {looks}"
        made.add_row(f"so the {told.sensor.sensor} looks", f"{turn}, {far}")
    for wheel, shim in told.shims_m:
        made.add_row(f"shim under {wheel}", _fine(shim, system))
    for target, rise in told.stands_m:
        way = "higher" if rise >= 0.0 else "lower"
        made.add_row(f"floor under {escape(target)} against the wheels", f"{_fine(abs(rise), system)} {way}")
    if told.level is not None:
        made.add_row("difference in height over what the card names", _fine(told.level.difference_m, system))
    if told.verdict is not None:
        made.add_row("level as the card asks", told.verdict)
    if told.unknown:
        made.add_row("not surveyed", escape(", ".join(told.unknown)))
    yield made


def alignment_tables(told: AlignmentTold) -> Tables:
    made = table(f"Wheel alignment: {escape(told.vehicle.name)}", "", "degrees", "u", "limits", "verdict")
    checks = {check.reading: check for check in told.answer.checks}
    for name, angle in told.answer.values:
        check = checks.pop(name, None)
        limits = "" if check is None else _limits(check.limits_rad)
        standing = "" if check is None else check.standing
        made.add_row(name, f"{math.degrees(angle.value_rad):.2f}", f"{math.degrees(angle.u_rad):.3f}", limits, standing)
    for name, check in checks.items():
        made.add_row(name, "", "", _limits(check.limits_rad), check.standing)
    yield made
    for held in told.answer.holds:
        yield f"[bold]Held:[/bold] {escape(held)}"
    if told.answer.may_calibrate:
        yield "All limits were measured and accepted: the alignment does not hold the calibration."


def _limits(limits: tuple[float, float]) -> str:
    return f"{math.degrees(limits[0]):.2f} to {math.degrees(limits[1]):.2f}"


def loads_tables(told: LoadsTold) -> Tables:
    made = table(f"{escape(told.vehicle.name)} on {escape(told.lift)}", "", "load", "may carry", "")
    for load in told.answer.loads:
        verdict = {True: "within", False: "TOO MUCH", None: "not known"}[load.ok]
        made.add_row(load.name, _mass(load.load_kg), _mass(load.capacity_kg), verdict)
    yield made


def _mass(mass_kg: float | None) -> str:
    return "?" if mass_kg is None else f"{mass_kg:.0f} kg ({mass_kg / 0.45359237:.0f} lb)"


def reflector_tables(told: Mapping[str, float], system: System) -> Tables:
    made = table("Triangular trihedral reflector", "", "")
    made.add_row("frequency", f"{told['frequency_ghz']:g} GHz")
    made.add_row("leg (along the right angle)", _fine(told["leg_m"], system))
    made.add_row("peak radar cross-section", f"{told['section_m2']:.3g} m² ({told['section_dbsm']:.2f} dBsm)")
    made.add_row("far field of something as large as the leg, from", _l(told["far_field_m"], system))
    yield made


def _u(value: float, angle: bool, system: System) -> str:
    return f"{math.degrees(value):.2f}°" if angle else _fine(value, system)


def _l(length_m: float, system: System) -> str:
    return format_length(length_m, system)


def _area(area_m2: float, system: System) -> str:
    return f"{area_m2 / 0.3048**2:.0f} sq ft" if system == "us" else f"{area_m2:.1f} m²"


def _fine(length_m: float, system: System) -> str:
    """A small length: tenths of a millimetre, or thousandths of an inch."""
    return f"{length_m / 0.0254:.3f} in" if system == "us" else f"{length_m * 1000:.1f} mm"
