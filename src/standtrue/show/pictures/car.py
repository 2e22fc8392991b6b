"""The shapes of one stance: the car, its zones and targets, where it may stand, and what it touches first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, sin

import shapely
from attrs import frozen

from standtrue.aim.floor_level import asked_shapes
from standtrue.draw.shapes import Area, Chain, Measure, Role, Shape, area, areas_of
from standtrue.model.anchors import anchor_frame
from standtrue.model.basics import Layer, Outline, Place, Point
from standtrue.model.ground import Ground
from standtrue.model.level import IsLevel
from standtrue.model.procedure import Target
from standtrue.model.reason import Length, Ref
from standtrue.model.site import Datum, Site, from_datum
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.answer import FIT_M, Answer, Slice, Touch
from standtrue.place.question.claims import Claim
from standtrue.plane.shapes import polygon, union
from standtrue.show.pictures.car_body import drawn_body, glass_lines, nose_mark
from standtrue.show.words import labels, labels_place, labels_whole
from standtrue.show.words.level import level_words
from standtrue.show.words.place import touch_words
from standtrue.show.words.reader import Reader

SHOWN_STOPS = 3
"""How many things that stop the car are marked on the plan; the words name every one."""

LEAST_CHAIN_M = 0.005
"""A shorter dimension is not drawn."""

_ZONE_ROLES: dict[Layer, Role] = {
    "stand": "zone stand",
    "walk": "zone walk",
    "clear": "zone clear",
    "metal-free": "zone metal-free",
    "plain": "zone plain",
}


@frozen
class PlacedTarget:
    """One position of a target in the site frame; `height_m` is its center above the shop floor."""

    tag: str
    name: str
    at: Point
    height_m: float
    facing_rad: float
    target: Target


def at_place(outline: Sequence[Point], place: Place) -> Outline:
    """Points of the vehicle frame, in the site frame."""
    c, s = cos(place.heading_rad), sin(place.heading_rad)
    return tuple((place.x_m + c * x - s * y, place.y_m + s * x + c * y) for x, y in outline)


def region_shapes(slices: Sequence[Slice], site: Site, reader: Reader) -> Iterator[Shape]:
    """Where the rear axle's center may be, heading by heading."""
    for cut in sorted(slices, key=lambda s: s.heading_rad):
        if cut.polygons:
            heading_rad = cut.heading_rad - site.datum.direction_rad
            words, label = labels_place.region(heading_rad, len(slices) > 1, reader)
            yield Shape("region", words, tuple(cut.polygons), label=label)


def stance_shapes(answer: Answer, place: Place, reader: Reader) -> Iterator[Shape]:
    """The car where `place` puts it, everything it claims, and what that touches first."""
    gaps = answer.ground.site.gaps
    yield from _not_level(answer, place, reader)
    for claim in answer.claims:
        if claim.role == "body":
            yield Shape("body", reader.write(claim.ref), area(at_place(drawn_body(answer.vehicle), place)))
        else:
            yield _claim_shape(claim, place, gaps.person_m, reader)
    yield from _car_lines(answer, place, reader)
    for placed in placed_targets(answer, place, reader):
        yield from _target_shapes(placed, answer, place, reader)
    yield from _touch_shapes(answer, reader)


def _not_level(answer: Answer, place: Place, reader: Reader) -> Iterator[Shape]:
    """The floor that the card asks to be level and that is not, hatched under what stands there."""
    if answer.level is None or answer.level.level is not IsLevel.NOT_MET:
        return
    asking = [form for form in answer.forms if form.floor_level is not None]
    under = [o for form in asking for o in asked_shapes(form, answer.vehicle, place, answer.height_m).values()]
    meaning = "; ".join(reader.reasons(answer.level.because))
    yield Shape("uneven", meaning, tuple(areas_of(union(map(polygon, under)))), label=level_words(answer.level, reader))


def _claim_shape(claim: Claim, place: Place, person_m: float, reader: Reader) -> Shape:
    outline = at_place(claim.outline, place)
    if claim.role == "zone":
        words, label = labels_place.zone(claim.ref, claim.needs, claim.bottom_m, claim.top_m, reader)
        return Shape(_ZONE_ROLES[claim.needs], words, area(outline), label=label)
    if claim.role == "person":
        grown = areas_of(shapely.Polygon(outline).buffer(person_m, quad_segs=8))
        return Shape("person", labels_place.person(reader), grown)
    if claim.role == "exit":
        return Shape("exit", labels_place.getting_out(reader), area(outline))
    if claim.role == "equipment":
        return Shape("equipment", reader.write(claim.ref), area(outline))
    if claim.role == "point":
        return Shape("mark", reader.write(claim.ref), spots=outline)
    return Shape(claim.role, reader.write(claim.ref), area(outline))


def _car_lines(answer: Answer, place: Place, reader: Reader) -> Iterator[Shape]:
    car, datum = answer.vehicle, answer.ground.site.datum
    front, rear = car.front_x_m, car.rear_x_m
    yield from car_marks(car, place, reader)
    ahead = max([front + 0.6, *(p[0] for _, p in _own_targets(answer))])
    behind = min([rear - 0.4, *(p[0] for _, p in _own_targets(answer))])
    yield Shape("centerline", labels_place.centerline(reader), lines=(at_place(((behind, 0.0), (ahead, 0.0)), place),))
    tip, wing = car.wheelbase_m * 0.86, min(0.16, car.width_m / 6)
    shaft = at_place(((0.12 * car.wheelbase_m, 0.0), (tip, 0.0)), place)
    head = at_place(((tip - 1.6 * wing, wing), (tip, 0.0), (tip - 1.6 * wing, -wing)), place)
    turn_rad = place.heading_rad - datum.direction_rad
    words, label = labels_place.facing(turn_rad, reader)
    yield Shape("heading", words, lines=(shaft, head), label=label)
    if abs(sin(turn_rad)) > 0.01:
        ahead_of_datum = Place(place.x_m, place.y_m, datum.direction_rad)
        line = at_place(((0.0, 0.0), (0.6 * car.wheelbase_m, 0.0)), ahead_of_datum)
        yield Shape("reference", labels_place.reference(reader), lines=(line,))
    yield from axle_shapes(car, place, reader)


def car_marks(car: Vehicle, place: Place, reader: Reader) -> Iterator[Shape]:
    """What tells the car's front from its rear: its glass, and a triangle at its nose."""
    yield Shape("glass", labels.glass(reader), lines=tuple(at_place(line, place) for line in glass_lines(car)))
    yield Shape("front", labels.front_end(reader), area(at_place(nose_mark(car), place)))


def axle_shapes(car: Vehicle, place: Place, reader: Reader) -> Iterator[Shape]:
    """Both axles with their centers, A the rear one."""
    for tag, name, x, track in (
        ("A", labels.rear_axle(reader), 0.0, car.track_rear_m),
        ("B", labels.front_axle(reader), car.wheelbase_m, car.track_front_m),
    ):
        axle = at_place(((x, -track / 2), (x, track / 2)), place)
        yield Shape("axle", name, lines=(axle,), spots=at_place(((x, 0.0),), place), tag=tag)


def _own_targets(answer: Answer) -> Iterator[tuple[tuple[Target, float, float], Point]]:
    """Every target position in the vehicle frame: (target, height, facing) and its center."""
    for card in answer.forms:
        for target in card.targets:
            frame = anchor_frame(target.anchor, target.turned, card, answer.vehicle)
            if frame is None:
                continue
            (x0, y0), turn = frame
            c, s = cos(turn), sin(turn)
            poses = [(target.at, target.facing_rad)]
            for position in target.positions:
                facing = target.facing_rad if position.facing_rad is None else position.facing_rad
                if (position.at, facing) not in poses:
                    poses.append((position.at, facing))
            rise = 0.0 if target.from_floor else answer.height_m
            for (x, y, z), facing in poses:
                yield (target, z + rise, facing + turn), (x0 + c * x - s * y, y0 + s * x + c * y)


def placed_targets(answer: Answer, place: Place, reader: Reader) -> tuple[PlacedTarget, ...]:
    """Every position of every target of the answer's cards, in the cards' order, tagged T1, T2, …"""
    found = list(_own_targets(answer))
    placed = []
    for number, ((target, height, facing), own) in enumerate(found, start=1):
        (at,) = at_place((own,), place)
        same = [i for i, ((other, _, _), _) in enumerate(found) if other is target]
        name = target.name
        if len(same) > 1:
            name = labels_place.target_position(name, same.index(number - 1) + 1, reader)
        placed.append(PlacedTarget(f"T{number}", name, at, height, facing + place.heading_rad, target))
    return tuple(placed)


def _target_shapes(placed: PlacedTarget, answer: Answer, place: Place, reader: Reader) -> Iterator[Shape]:
    pose = Place(*placed.at, placed.facing_rad)
    half = (placed.target.size_m[0] if placed.target.size_m else 0.5) / 2
    face = at_place(((0.0, -half), (0.0, half)), pose)
    tick = at_place(((0.0, 0.0), (0.35, 0.0)), pose)
    head = at_place(((0.24, 0.06), (0.35, 0.0), (0.24, -0.06)), pose)
    words = labels.target(placed.name, reader)
    yield Shape("target", words, lines=(face, tick, head), spots=(placed.at,), label=placed.name, tag=placed.tag)
    if placed.target.swept:
        frame = _swept_path(placed.target, answer)
        if frame:
            words = labels.target_path(placed.target.name, reader)
            yield Shape("target path", words, lines=(at_place(frame, place),))


def _swept_path(target: Target, answer: Answer) -> Outline:
    card = next(c for c in answer.forms if target in c.targets)
    frame = anchor_frame(target.anchor, target.turned, card, answer.vehicle)
    if frame is None:
        return ()
    return at_place(target.swept, Place(*frame[0], frame[1]))


def _touch_shapes(answer: Answer, reader: Reader) -> Iterator[Shape]:
    """What stops the car, with what of it can be drawn; where nothing does, what comes nearest."""
    stops = [t for t in answer.touches if t.margin_m < FIT_M]
    if not stops:
        yield from (_nearest(t, reader) for t in answer.touches[:1])
        return
    for touch in list({t.thing: t for t in reversed(stops)}.values())[::-1][:SHOWN_STOPS]:
        pair = labels.in_the_way(touch_words(touch, reader), reader)
        label = "" if touch.kind == "void" else reader.write(touch.thing)
        if touch.separation_m > 0.0:
            label = labels_whole.too_near(touch.thing, touch.separation_m, touch.gap_m, reader)
        yield Shape("in the way", pair, thing_areas(touch.thing, answer.ground), (), (touch.at,), label)


def _nearest(touch: Touch, reader: Reader) -> Shape:
    """What comes nearest, and how near: a distance from the car, or its zone, to the thing."""
    line = ((touch.of_at, touch.at),) if touch.separation_m > 0.0 else ()
    label = labels_whole.nearest_thing(touch.thing, touch.separation_m, reader)
    meaning = labels_place.first_touch(touch_words(touch, reader), reader)
    return Shape("touch", meaning, lines=line, spots=(touch.at,), label=label)


def thing_areas(ref: Ref, ground: Ground) -> tuple[Area, ...]:
    """What a thing, or floor where nothing may stand, covers; nothing of walls: those are seen as it is."""
    shapes = [t.shape for t in ground.things if t.ref == ref and t.kind != "wall"]
    shapes += [u.wheel_shape for u in ground.unfloor if u.ref == ref]
    return areas_of(union(shapes)) if shapes else ()


def chains(answer: Answer, place: Place, reader: Reader) -> Iterator[Chain]:
    """From the datum to the rear axle's center, to the front axle's where the car stands askew; from the car's front to
    what stands farthest ahead of it.
    """
    yield from chains_of(answer.vehicle, place, answer.ground.site.datum, reader)
    ahead = [at[0] for _, at in _own_targets(answer)]
    front = answer.vehicle.front_x_m
    if ahead and max(ahead) - front > 0.3:
        start, end = at_place(((front, 0.0), (max(ahead), 0.0)), place)
        yield Chain(start, end, reader.write(Length(max(ahead) - front)), "between")


def chains_of(car: Vehicle, place: Place, datum: Datum, reader: Reader) -> Iterator[Chain]:
    """From the datum to the axles' centers of a car that stands there."""
    rear, front = at_place(((0.0, 0.0), (car.wheelbase_m, 0.0)), place)
    (right, up), (ahead, beside) = from_datum(rear, datum), from_datum(front, datum)
    for value, way in ((right, "right"), (up, "up")):
        if abs(value) > LEAST_CHAIN_M:
            yield Chain(datum.at, rear, reader.write(Length(abs(value))), "right" if way == "right" else "up")
    along = abs(ahead - right) >= abs(beside - up)
    if along and abs(beside - up) > LEAST_CHAIN_M:
        yield Chain(datum.at, front, reader.write(Length(abs(beside))), "up")
    elif not along and abs(ahead - right) > LEAST_CHAIN_M:
        yield Chain(datum.at, front, reader.write(Length(abs(ahead))), "right")


def measures(answer: Answer, place: Place, reader: Reader) -> Iterator[Measure]:
    """What to lay out on the floor: both axle centers, and every target position."""
    datum = answer.ground.site.datum
    turn = place.heading_rad - datum.direction_rad
    rear, front = labels.rear_axle(reader), labels.front_axle(reader)
    for tag, name, x in (("A", rear, 0.0), ("B", front, answer.vehicle.wheelbase_m)):
        right, up = from_datum(at_place(((x, 0.0),), place)[0], datum)
        yield Measure(tag, name, right, up, faces_rad=turn if tag == "A" else None)
    for placed in placed_targets(answer, place, reader):
        right, up = from_datum(placed.at, datum)
        yield Measure(placed.tag, placed.name, right, up, placed.height_m, placed.facing_rad - datum.direction_rad)
