"""Forms of lifts, sites and vehicles, turned into the model."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import cast

from standtrue.documents import shapes
from standtrue.documents.estimate import estimate_missing
from standtrue.documents.forms.base import ObstacleForm
from standtrue.documents.forms.lift import LiftFields, PlacedLiftForm, StateForm
from standtrue.documents.forms.site import DoorForm, EquipmentForm, SiteForm, VoidForm
from standtrue.documents.forms.vehicle import OpenedForm, VehicleForm
from standtrue.documents.shapes import Shape
from standtrue.model.basics import Outline, Range, Side
from standtrue.model.lift import Arm, Lift, LiftState, Obstacle, PlacedLift, Plate
from standtrue.model.site import (
    Bay,
    Cover,
    Datum,
    Door,
    Equipment,
    Gaps,
    Light,
    Mark,
    Pace,
    Patch,
    Person,
    SentOut,
    Site,
    Void,
)
from standtrue.model.vehicle import Opened, Sensor, Vehicle


def _outlines(found: Iterable[Shape]) -> tuple[Outline, ...]:
    return tuple(shape.points for shape in found)


def _obstacle(form: ObstacleForm, name: str) -> Obstacle:
    return Obstacle(form.name or name, form.shape.points, form.bottom, form.top, form.metal, form.movable)


def _obstacles(forms: Iterable[ObstacleForm], word: str) -> tuple[Obstacle, ...]:
    return tuple(_obstacle(form, f"{word} {i}") for i, form in enumerate(forms, 1))


def to_lift(form: LiftFields, name: str) -> Lift:
    """A lift document, or the lift fields that a site holds in place."""
    return Lift(
        name=name,
        states=tuple(_state(state) for state in form.states),
        carries="body" if form.carries == "body" else "wheels",
        capacity_kg=form.capacity,
        axle_capacity_kg=form.axle_capacity,
        posts=_obstacles(form.posts, "post"),
        locks_m=tuple(sorted(form.locks)),
        travel_s=form.travel,
        facing="one" if form.facing == "one" else "either",
        wheelbase_m=form.wheelbase,
        jacks=form.jacks,
        plates=tuple(Plate("front" if p.axle == "front" else "rear", p.shape.points) for p in form.plates),
        arms=tuple(Arm(arm.pivot, arm.reach, _swing(arm.swing), arm.capacity) for arm in form.arms),
    )


def _swing(swing: Range) -> Range:
    """Angles counter-clockwise from the first to the second."""
    start, end = swing
    return (start, end if end >= start else end + 2 * math.pi)


def _state(form: StateForm) -> LiftState:
    return LiftState(
        name=form.name,
        deck_height_m=form.deck_height or (0.0, 0.0),
        decks=_outlines(form.decks),
        deck_thickness_m=form.deck_thickness,
        voids=_outlines(form.voids),
        fills=_outlines(form.fills),
        obstacles=_obstacles(form.obstacles, "part"),
        ramps=_outlines(form.ramps),
        drive_on=form.drive_on,
    )


def placed_lift(form: PlacedLiftForm, lifts: Mapping[str, Lift]) -> PlacedLift:
    """A lift of a site; `lifts` must hold its type, where it names one."""
    lift = to_lift(form, form.name) if form.type is None else lifts[form.type]
    return PlacedLift(form.name, form.at, form.heading, lift)


def to_site(form: SiteForm, lifts: Mapping[str, Lift]) -> Site:
    """A site; `lifts` must hold every lift that it names by type."""
    outline = form.shape.points
    datum = Datum(outline[0]) if form.datum is None else Datum(form.datum.at, form.datum.direction)
    gaps, pace = form.gaps, form.pace
    return Site(
        name=form.name,
        outline=outline,
        datum=datum,
        gaps=Gaps(gaps.body, gaps.wheel, gaps.zone, gaps.person, gaps.bridge, gaps.exit),
        clear_height_m=form.clear_height,
        wall_metal=form.wall_metal,
        holes=_outlines(form.holes),
        marks=tuple(Mark(mark.name, mark.at) for mark in form.marks),
        light=tuple(Light(light.lux, light.at) for light in form.light),
        doors=tuple(_door(door) for door in form.doors),
        bays=tuple(
            Bay(bay.name, bay.shape.points, tuple(sorted(bay.shape.edge(edge) for edge in bay.closed_edges)))
            for bay in form.bays
        ),
        obstacles=_obstacles(form.obstacles, "obstacle"),
        voids=tuple(_void(void) for void in form.voids),
        patches=tuple(Patch(patch.name, patch.shape.points, patch.why) for patch in form.patches),
        lifts=tuple(placed_lift(lift, lifts) for lift in form.lifts),
        equipment=tuple(_equipment(item) for item in form.equipment),
        people=tuple(Person(person.name, person.skills, person.hours) for person in form.people),
        hours=form.hours,
        sent_out=tuple(SentOut(s.procedures, s.minutes, s.price, s.currency) for s in form.sent_out),
        pace=Pace(pace.drive, pace.turn_back, pace.enter, pace.leave, pace.guide, pace.push, pace.skates),
    )


def _door(form: DoorForm) -> Door:
    track = form.track
    return Door(
        name=form.name,
        start=form.start,
        end=form.end,
        height_m=form.height,
        metal=form.metal,
        may_stand_open=form.may_stand_open,
        apron=None if form.apron is None else form.apron.points,
        track=None
        if track is None
        else Obstacle(f"{form.name} track", track.shape.points, track.bottom, track.top, track.metal),
    )


def _void(form: VoidForm) -> Void:
    covers = tuple(Cover(cover.name, cover.shape.points, cover.load) for cover in form.covers)
    return Void(form.name, form.shape.points, covers, form.closed)


def _equipment(form: EquipmentForm) -> Equipment:
    footprint = None if form.footprint is None else form.footprint.points
    return Equipment(
        name=form.name,
        kind=form.kind,
        count=form.count,
        footprint=footprint,
        height_m=form.height,
        reach_m=form.reach,
        store=_stored(form, footprint),
        used_at=form.used_at,
        serves=form.serves,
        set_up_s=form.set_up,
        put_away_s=form.put_away,
        wheeled=form.wheeled,
    )


def _stored(form: EquipmentForm, footprint: Outline | None) -> Outline | None:
    if form.store is None or isinstance(form.store, Shape):
        return form.store and form.store.points
    return None if footprint is None else shapes.placed(footprint, *form.store)


def to_vehicle(form: VehicleForm) -> Vehicle:
    """A car, with what its document leaves out estimated by the rules in `estimate`."""
    dimensions, estimated = estimate_missing(
        {
            "length": form.length,
            "width": form.width,
            "wheelbase": form.wheelbase,
            "width_over_mirrors": form.width_over_mirrors,
            "height": form.height,
            "front_overhang": form.front_overhang,
            "track_front": form.track_front,
            "track_rear": form.track_rear,
            "tire_width": form.tire_width,
            "tire_diameter": form.tire_diameter,
            "ground_clearance": form.ground_clearance,
            "turning_circle": form.turning_circle,
            "turning_circle_wall": form.turning_circle_wall,
        }
    )
    return Vehicle(
        name=form.name,
        length_m=dimensions["length"],
        width_m=dimensions["width"],
        width_over_mirrors_m=dimensions["width_over_mirrors"],
        height_m=dimensions["height"],
        wheelbase_m=dimensions["wheelbase"],
        front_overhang_m=dimensions["front_overhang"],
        track_front_m=dimensions["track_front"],
        track_rear_m=dimensions["track_rear"],
        tire_width_m=dimensions["tire_width"],
        tire_diameter_m=dimensions["tire_diameter"],
        ground_clearance_m=dimensions["ground_clearance"],
        turning_circle_m=dimensions.get("turning_circle"),
        turning_circle_wall_m=dimensions.get("turning_circle_wall"),
        maker=form.maker,
        model=form.model,
        years=form.years,
        trim=form.trim,
        propulsion=form.propulsion,
        driven_wheels=form.driven_wheels,
        mass_kg=form.mass,
        front_axle_share=form.front_axle_share,
        lift_points=tuple(form.lift_points),
        alignment=tuple(form.alignment.items()),
        ride_height=tuple(form.ride_height.items()),
        hood_open=_opened(form.hood_open),
        liftgate_open=_opened(form.liftgate_open),
        outline=form.shape.points or None,
        mirror_at_m=form.mirror_at,
        sensors=tuple(Sensor(s.kind, side_of(s.side), s.at, s.facing, s.tilt, s.option) for s in form.sensors),
        estimated=estimated,
    )


def _opened(form: OpenedForm | None) -> Opened | None:
    return None if form is None else Opened(form.height, form.reach)


def side_of(word: str | None) -> Side | None:
    """A side as the model has it: the forms have checked the word."""
    return cast("Side | None", word)
