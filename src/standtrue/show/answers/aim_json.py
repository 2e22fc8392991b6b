"""Answers of aiming as JSON. Lengths end in `_m`, angles in `_deg`, masses in `_kg`."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import shapely

from standtrue.aim.blunders import BlunderTest
from standtrue.aim.bodies import Reading
from standtrue.aim.layout import Measure, Offset, TargetLayout, TargetPlace
from standtrue.aim.reading_plan import ReadingPlan
from standtrue.aim.setup import CarStands, Part, TargetStands
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.reader_units import System
from standtrue.show.answers.place_json import envelope, touch_json
from standtrue.show.sheets.job.sheet import JobSheet, StancePart
from standtrue.work.aim.aiming import (
    AlignmentTold,
    LoadsTold,
    MeasuredAnswer,
    TargetsAnswer,
)
from standtrue.work.aim.floors import FloorAnswer, StandingFloor
from standtrue.work.aim.restanding import Restood
from standtrue.work.used import Basis

Json = dict[str, Any]


def targets_json(answer: TargetsAnswer) -> Json:
    scene = answer.scene
    return {
        **_envelope(answer.basis),
        "stance": _place(scene.place),
        "thrust_line": {"heading_deg": _degrees(scene.thrust.value_rad), "u_deg": _degrees(scene.thrust.u_rad)},
        "wheels": [{"wheel": wheel, "offsets": _offsets(offsets)} for wheel, offsets in answer.wheels],
        "targets": [_layout(layout) for layout in answer.targets],
        "plan": None if answer.plan is None else _plan(answer.plan),
    }


def measured_json(answer: MeasuredAnswer, system: System = "metric") -> Json:
    setup = answer.setup
    return {
        **_envelope(answer.basis),
        "verdict": setup.verdict,
        "may_calibrate": answer.may_calibrate,
        "car": None if setup.car is None else _car(setup.car),
        "stance": _restood(answer.stance, setup.car is None),
        "floor": None if answer.floor is None else _standing(answer.floor),
        "targets": [_stands(target, system) for target in setup.targets],
        "corrected": [_target(place) for place in setup.corrected],
        "refused": list(setup.refused),
        "questions": [{"reading": q.reading, "words": q.words, "impossible": q.impossible} for q in setup.questions],
        "blunder": None if setup.blunder is None else _blunder(setup.blunder, setup.readings),
        "settling": [
            {"target": s.target, "reading": _reading(s.reading), "probability": round(s.probability, 4)}
            for s in answer.settling
        ],
        "conditions": [
            {
                "what": c.condition.what,
                "low": c.condition.low,
                "high": c.condition.high,
                "unit": c.condition.unit,
                "found": None if c.found is None else c.found.value,
                "standing": c.standing,
            }
            for c in answer.conditions
        ],
        "alignment_holds": list(answer.alignment.holds),
    }


def alignment_json(told: AlignmentTold) -> Json:
    answer = told.answer
    return {
        **_envelope(told.basis),
        "vehicle": told.vehicle.name,
        "may_calibrate": answer.may_calibrate,
        "holds": list(answer.holds),
        "thrust_heading_deg": None if answer.thrust_heading is None else _degrees(answer.thrust_heading.value_rad),
        "values": [
            {"name": name, "value_deg": _degrees(angle.value_rad), "u_deg": _degrees(angle.u_rad)}
            for name, angle in answer.values
        ],
        "checks": [
            {
                "limit": c.name,
                "reading": c.reading,
                "low_deg": _degrees(c.limits_rad[0]),
                "high_deg": _degrees(c.limits_rad[1]),
                "standing": c.standing,
                "probability": None if c.tested is None else round(c.tested.probability, 6),
            }
            for c in answer.checks
        ],
    }


def loads_json(told: LoadsTold) -> Json:
    loads = [
        {"name": load.name, "load_kg": _number(load.load_kg), "capacity_kg": _number(load.capacity_kg), "ok": load.ok}
        for load in told.answer.loads
    ]
    return {
        **_envelope(told.basis),
        "vehicle": told.vehicle.name,
        "lift": told.lift,
        "loads": loads,
        "may_lift": told.answer.may_lift,
        "tips": told.answer.tips,
        "missing": list(told.answer.missing),
    }


def floor_json(answer: FloorAnswer) -> Json:
    plane, band = answer.plane, answer.band
    return {
        **_envelope(answer.basis),
        "survey": answer.survey.name,
        "plane": {
            "a_m": _number(plane.a_m),
            "bx": _number(plane.bx),
            "cy": _number(plane.cy),
            "slope_deg": _degrees(plane.slope_rad),
            "uphill_deg": _degrees(plane.uphill_rad),
            "rms_m": _number(plane.rms_m),
            "greatest_m": _number(plane.greatest_m),
            "residuals_m": [_number(r) for r in plane.residuals_m],
        },
        "numbers": [{"line": name, "ff": _number(n.ff), "fl": _number(n.fl)} for name, n in answer.numbers],
        "flatness": [
            {
                "row": row,
                "ok": None if worst is None else worst.ok,
                "worst_m": None if worst is None else _number(worst.off_m),
                "limit_m": None if worst is None else _number(worst.limit_m),
                "apart_m": None if worst is None else _number(worst.apart_m),
            }
            for row, worst in answer.worst
        ],
        "level": None
        if band is None
        else {
            "from_m": _number(band.from_m),
            "to_m": _number(band.to_m),
            "area_m2": _number(float(band.level.area)),
            "because": band.because,
            "level": [_ring(part) for part in shapely.get_parts(band.level)],
            "uneven": [[list(p) for p in outline] for outline in band.uneven],
            "unknown": [[list(p) for p in outline] for outline in band.unknown],
        },
        "standing": None if answer.standing is None else _standing(answer.standing),
    }


def sheet_json(sheet: JobSheet, file: str, paper: str) -> Json:
    """What a printed sheet holds, in short."""
    order = sheet.planned
    left_out = () if order is None else order.left_out
    texts = [
        *sheet.cautions,
        *(() if order is None else order.cautions),
        *(c for s in sheet.stances for c in s.cautions),
    ]
    texts += [c for s in sheet.stances for part in s.cards for c in part.cautions]
    texts += [c for unplaced in sheet.elsewhere for c in unplaced.cautions]
    return {
        **envelope(sheet.documents, sheet.warnings, ()),
        "cautions": list(dict.fromkeys(texts)),
        "file": file,
        "paper": paper,
        "units": sheet.reader.units,
        "stances": [_sheet_stance(stance) for stance in sheet.stances],
        "without_place": [u.card.key for u in sheet.elsewhere],
        "fits_nowhere": [u.card.key for u in sheet.nowhere] + [u.name for u in left_out if u.no_room],
        "steps": None if order is None else len(order.steps),
        "proven": None if order is None else order.proven,
        "left_out": [u.name for u in left_out],
    }


def _sheet_stance(stance: StancePart) -> Json:
    answer = stance.answer
    assert answer.place is not None
    return {
        "place": _place(answer.place),
        "carried_by": answer.carried_by,
        "height_m": _number(answer.height_m),
        "doors_open": list(answer.doors_open),
        "fits": answer.fits is Fits.YES,
        "margin_m": _number(answer.margin_m) if answer.fits is Fits.YES else None,
        "procedures": [part.card.key for part in stance.cards],
        "setups": [part.setup for part in stance.cards if part.setup],
        "steps": [part.step for part in stance.cards if part.step is not None],
    }


def reflector_json(values: Json) -> Json:
    return {**_envelope(Basis((), (), ())), **values}


def _standing(told: StandingFloor) -> Json:
    level, tilt = told.level, told.tilt
    return {
        "stance": _place(told.place),
        "wheels": [{"wheel": wheel, "height_m": _number(height)} for wheel, height in told.wheels_m],
        "shims": [{"wheel": wheel, "shim_m": _number(height)} for wheel, height in told.shims_m],
        "stands": [{"target": target, "above_wheels_m": _number(rise)} for target, rise in told.stands_m],
        "pitch_deg": None if tilt is None else _degrees(tilt.pitch_rad),
        "roll_deg": None if tilt is None else _degrees(tilt.roll_rad),
        "warp_m": None if tilt is None else _number(tilt.warp_m),
        "at_100_m_m": None if tilt is None else _number(100 * math.tan(tilt.pitch_rad)),
        "sensor": None
        if told.sensor is None
        else {
            "sensor": told.sensor.sensor,
            "pitch_deg": _degrees(told.sensor.pitch_rad),
            "roll_deg": _degrees(told.sensor.roll_rad),
            "at_100_m_m": _number(told.sensor.at_100_m_m),
        },
        "difference_m": None if level is None else _number(level.difference_m),
        "u_m": None if level is None else _number(level.u_m),
        "slope_deg": None if level is None else _degrees(level.slope_rad),
        "within_m": _number(told.within_m),
        "within_deg": None if told.within_rad is None else _degrees(told.within_rad),
        "verdict": told.verdict,
        "unknown": list(told.unknown),
    }


def _envelope(basis: Basis) -> Json:
    return envelope(basis.marks, basis.warnings, basis.cautions)


def _layout(layout: TargetLayout) -> Json:
    return {
        **_target(layout.place),
        "offsets": _offsets(layout.offsets),
        "hubs": [_measure(m) for m in layout.hubs],
        "sensor": None if layout.sensor is None else _measure(layout.sensor),
        "diagonals": [_measure(m) for m in layout.diagonals],
        "swept": [[_number(x), _number(y)] for x, y in layout.place.swept],
    }


def _target(place: TargetPlace) -> Json:
    x, y, z = place.center
    return {
        "target": place.name,
        "x_m": _number(x),
        "y_m": _number(y),
        "z_m": _number(z),
        "facing_deg": _degrees(math.remainder(place.facing_rad, math.tau)),
        "line": place.line,
    }


def _offsets(offsets: Iterable[Offset]) -> list[Json]:
    return [
        {"mark": o.mark, "along_m": _number(o.along_m), "left_m": _number(o.left_m), "plan_m": _number(o.plan_m)}
        for o in offsets
    ]


def _measure(one: Measure) -> Json:
    return {
        "from": one.start,
        "to": one.end,
        "straight_m": _number(one.straight_m),
        "plan_m": _number(one.plan_m),
        "rise_m": _number(one.rise_m),
    }


def _plan(plan: ReadingPlan) -> Json:
    return {
        "readings": [_reading(r) for r in plan.readings],
        "enough": plan.enough,
        "proven": plan.proven,
        "short_of": list(plan.short_of),
        "reached": [
            {"tolerance": r.name, "u": _number(r.u), "most_u": _number(r.most_u), "unit": _unit(r.name)}
            for r in plan.reached
        ],
    }


def _reading(reading: Reading) -> Json:
    return {
        "what": reading.what,
        "from": list(reading.start),
        "to": list(reading.end),
        "plumbed": reading.plumbed,
        "title": reading.title,
        "u": _number(reading.u),
        "unit": "rad" if reading.what in ("angle", "lean") else "m",
    }


def _unit(demand: str) -> str:
    return "rad" if demand.endswith((": turn", ": lean")) else "m"


def _car(car: CarStands) -> Json:
    return {
        **(_place(car.place)),
        "forward_m": _number(car.forward_m),
        "left_m": _number(car.left_m),
        "turn_deg": _degrees(car.turn_rad),
        "u_x_m": _number(math.sqrt(car.covariance[0, 0])),
        "u_y_m": _number(math.sqrt(car.covariance[1, 1])),
        "u_heading_deg": _degrees(math.sqrt(car.covariance[2, 2])),
        "thrust_heading_deg": _degrees(car.thrust_heading_rad),
    }


def _restood(stance: Restood, planned: bool) -> Json:
    answer = stance.answer
    return {
        "place": _place(answer.place) if answer.place is not None else None,
        "planned": planned,
        "carried_by": answer.carried_by,
        "height_m": _number(answer.height_m),
        "fits": answer.fits is Fits.YES,
        "verdict": stance.verdict,
        "margin_m": _number(answer.margin_m) if answer.fits is Fits.YES else None,
        "u_m": _number(stance.u_m),
        "probability": None if stance.tested is None else round(stance.tested.probability, 6),
        "touches": [touch_json(t) for t in answer.touches],
        "because": list(answer.because),
        "in_view": list(answer.in_view),
    }


def _stands(target: TargetStands, system: System) -> Json:
    return {
        "target": target.place.name,
        "verdict": target.verdict,
        "because": list(target.because),
        "parts": [_part(part) for part in target.parts],
        "covariance": [[_number(float(c)) for c in row] for row in target.covariance],
        "correct": [] if target.correct is None else list(target.correct.words(system)),
    }


def _part(part: Part) -> Json:
    angle = part.name in ("turn", "lean")
    scaled = _degrees if angle else _number
    end = "deg" if angle else "m"
    return {
        "name": part.name,
        "measured": part.measured,
        f"deviation_{end}": scaled(part.deviation),
        f"u_{end}": scaled(part.u),
        f"limit_{end}": None if part.limit is None else scaled(part.limit),
        "verdict": None if part.tested is None else part.tested.verdict,
        "probability": None if part.tested is None else round(part.tested.probability, 6),
        "risk": None if part.tested is None else part.tested.risk,
    }


def _blunder(test: BlunderTest, readings: tuple[Reading, ...]) -> Json:
    return {
        "alarm": test.alarm,
        "suspects": [readings[i].title for i in test.suspects],
        "size": _number(test.size) if test.alarm else None,
        "critical": _number(test.critical),
        "unchecked": [readings[i].title for i in test.unchecked],
        "readings": [
            {"title": r.title, "test": _number(float(w)), "detectable": _number(d)}
            for r, w, d in zip(readings, test.test, test.detectable, strict=True)
        ],
    }


def _place(place: Place) -> Json:
    return {"x_m": _number(place.x_m), "y_m": _number(place.y_m), "heading_deg": _number(place.heading_deg)}


def _ring(part: Any) -> list[list[float | None]]:
    return [[_number(float(x)), _number(float(y))] for x, y in shapely.get_coordinates(part.exterior)[:-1]]


def _degrees(angle_rad: float) -> float | None:
    return _number(math.degrees(angle_rad))


def _number(value: float | None) -> float | None:
    """Rounded to a billionth; None for what is not known or not finite."""
    return None if value is None or not math.isfinite(value) else round(value, 9) + 0.0
