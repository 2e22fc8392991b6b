"""Pictures of aiming: from a use case's answer to a drawing."""

from __future__ import annotations

import math
from collections.abc import Iterator

from attrs import evolve

from standtrue.aim.corrections import LEAST_M
from standtrue.aim.scene import Scene
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.stands import TargetStands
from standtrue.draw.near import Near
from standtrue.draw.near_page import NearPage, Row, near_page_svg
from standtrue.draw.page import Page
from standtrue.model.basis import Basis
from standtrue.model.ground import Grounds
from standtrue.model.reason import Ref
from standtrue.model.verdict import Verdict
from standtrue.show.pictures.heights import CarThere, FloorPicture
from standtrue.show.pictures.near import AtTheCar, kinds_and_corners, near_view, untold_size
from standtrue.show.pictures.shifts import EXAGGERATED, Shift, arrow_shape
from standtrue.show.words import labels, labels_aim, labels_floor, near
from standtrue.show.words.aim import correction_steps
from standtrue.show.words.floor import floor_words, standing_notes
from standtrue.show.words.gate import gate_line
from standtrue.show.words.measured import target_words
from standtrue.show.words.place import verdict
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_report import part_rows
from standtrue.show.words.sheet_title import picture_cells
from standtrue.show.words.texts import as_sentence
from standtrue.work.aim.aiming import MeasuredAnswer
from standtrue.work.aim.floors import FloorAnswer
from standtrue.work.aim.laying import TargetsAnswer


def floor_picture(answer: FloorAnswer, reader: Reader) -> FloorPicture:
    """A surveyed floor with its lines of equal height, and what a card and a car make of it."""
    standing = answer.standing
    there = None
    if answer.vehicle is not None and standing is not None:
        shims = tuple((wheel, height) for wheel, height, _ in standing.shims_m)
        there = CarThere(answer.vehicle, standing.place, shims)
    facts = [labels.site_fact(answer.site.name, reader), labels_floor.survey_fact(answer.survey.name, reader)]
    facts += [labels.card_fact(answer.card.key, reader)] if answer.card is not None else []
    facts += [labels.car_fact(answer.vehicle.name, reader)] if answer.vehicle is not None else []
    return FloorPicture(
        title=labels_floor.heights_title(answer.survey.name, reader),
        floor=answer.floor,
        ground=Grounds(answer.site).at_rest(),
        level=answer.band,
        car=there,
        facts=tuple(facts),
        verdict=floor_words(answer, reader),
        notes=(*reader.reasons(answer.questions), *standing_notes(standing, reader)),
        basis=answer.basis,
        uphill=answer.uphill,
    )


def targets_svg(answer: TargetsAnswer, reader: Reader) -> str:
    """A set-up's car and targets near by, nose up, with the readings to take as numbered tapes, as one SVG."""
    card, car = Ref("card", answer.scene.card.key), Ref("vehicle", answer.scene.vehicle.name)
    places = tuple(layout.place for layout in answer.targets)
    readings = () if answer.plan is None else answer.plan.planned
    at = AtTheCar(answer.stance, places, readings, answer.chalk)
    kinds, corners = kinds_and_corners(at)
    names = [place.name for place in places]
    rows = tuple(
        Row(
            str(r.number),
            near.planned_words(r, names, len(kinds), reader),
            near.planned_figure(r.reading, r.value, reader),
        )
        for r in readings
    )
    size = untold_size(places)
    view = near_view(at, reader, labels_aim.planned_title(card, car, reader))
    page = _page(view, answer.scene, answer.basis, labels_aim.planned_question(len(places), reader), reader)
    below = (
        near.drawn_how(reader),
        *near.how_found(kinds, corners, reader),
        *((near.face_words(reader),) if places else ()),
        *((near.ends_untold(size, reader),) if size is not None else ()),
        *(as_sentence(said) for said in reader.reasons(answer.basis.warnings)),
    )
    page = evolve(page, verdict=verdict(answer.stance, reader), below=below)
    return near_page_svg(NearPage(page, view, near.bar_scale(reader), labels_aim.readings_heading(reader), rows))


def _page(view: Near, scene: Scene, basis: Basis, question: str, reader: Reader) -> Page:
    """The page about a near view, without its answer and its notes."""
    return Page(
        kind="near",
        paper=scene.site.reader.paper or "letter",
        language=reader.language,
        title=view.title,
        told=view.told,
        cells=picture_cells(scene.card.key, question, basis.marks, reader),
        widest_scale=near.bar_scale(reader).replace("{scale}", "1000"),
        banner=labels.invented_drawing(reader) if basis.demonstration else "",
        cautions_heading=labels.cautions_heading(reader),
        cautions=tuple(reader.reasons(c.reason for c in basis.cautions)),
    )


def measured_svg(answer: MeasuredAnswer, reader: Reader) -> str:
    """A set-up as it stands, as one SVG."""
    return near_page_svg(measured_page(answer, reader))


def measured_page(answer: MeasuredAnswer, reader: Reader) -> NearPage:
    """A set-up as it stands, near by: the car, its targets' places, how far off each is, arrows for what to shift."""
    setup, stance = answer.setup, answer.stance.answer
    card, car = Ref("card", setup.scene.card.key), Ref("vehicle", setup.scene.vehicle.name)
    shifts = shifts_of(setup, reader)
    at = AtTheCar(stance, setup.corrected, (), ())
    arrows = [arrow_shape(shift, reader) for shift in shifts]
    view = near_view(at, reader, labels_aim.measured_title(card, car, reader), extra=arrows)
    below = (
        near.drawn_how(reader),
        *((near.face_words(reader),) if setup.corrected else ()),
        *(as_sentence(labels_aim.shift(shift.place.name, shift.words, reader)) for shift in shifts),
        *((as_sentence(labels_aim.arrows_note(EXAGGERATED, reader)),) if shifts else ()),
        *(as_sentence(said) for said in reader.reasons(answer.basis.warnings)),
    )
    said = labels_aim.measured_verdict(gate_line(answer.gate, reader), verdict(stance, reader), reader)
    page = _page(view, setup.scene, answer.basis, labels_aim.measured_question(reader), reader)
    rows = tuple(Row("", *row) for target in setup.targets for row in _off(target, reader))
    page = evolve(page, verdict=said, below=below)
    return NearPage(page, view, near.bar_scale(reader), labels_aim.off_heading(reader), rows)


def shifts_of(setup: SetupAnswer, reader: Reader) -> list[Shift]:
    """What to shift at each target that is not accepted as it stands."""
    return [s for target in setup.targets if (s := _shift(target, setup, reader)) is not None]


def _off(target: TargetStands, reader: Reader) -> Iterator[tuple[str, str]]:
    """A target's verdict, then each part of its place: what it is, and how far it is off."""
    yield target_words(target, reader), ""
    for name, means, off, _, _, limit, _, said in part_rows(target, reader):
        yield labels_aim.part_against(name, means, limit, said, reader), off


def _shift(target: TargetStands, setup: SetupAnswer, reader: Reader) -> Shift | None:
    """What to shift at a target; None where it is accepted as it stands, or nothing is known."""
    steps = correction_steps(target.correct, reader)
    if target.verdict is Verdict.ACCEPT or target.correct is None or not steps:
        return None
    heading = setup.scene.place.heading_rad if setup.car is None else setup.car.place.heading_rad
    line = heading + setup.scene.thrust.value_rad
    forward, left = target.correct.forward_m, target.correct.left_m
    far = math.hypot(forward, left)
    seen = far if far >= LEAST_M else 0.0
    return Shift(target.place, line + math.atan2(left, forward), seen, ", ".join(steps))
