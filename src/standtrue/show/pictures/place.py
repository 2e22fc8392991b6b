"""The drawing of an answer, or of a floor alone: from results to shapes with meaning, and to SVG.

A pure function of its arguments: no clock, no chance, no file. The same answer gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import get_args

from attrs import evolve

from standtrue.draw.shapes import Drawing, Paragraph, Role, Shape, TitleBlock
from standtrue.model.basis import Basis
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground
from standtrue.model.reader_units import Paper
from standtrue.model.reason import because
from standtrue.model.site import Site
from standtrue.place.question.answer import FIT_M, Answer, Slice
from standtrue.show.pictures.car import chains, measures, region_shapes, stance_shapes
from standtrue.show.pictures.floor import floor_shapes, way_in
from standtrue.show.words import labels, labels_place, labels_whole
from standtrue.show.words.place import alignment, carried, stops, touch_words, verdict
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.show.words.sheet_title import rests_words


def site_drawing(
    ground: Ground,
    reader: Reader = ENGLISH,
    *,
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> Drawing:
    """The shapes and words of a floor alone in the state of `ground`, for any back end."""
    site = ground.site
    return Drawing(
        title=title or labels_place.floor_title(site.name, reader),
        facts=(labels.site_fact(site.name, reader), *labels_place.lift_facts(ground, reader)),
        verdict="",
        datum=site.datum,
        shapes=whole_shapes(floor_shapes(ground, reader), site, reader),
        paragraphs=paragraphs([(labels.notes_heading(reader), [*notes, *turned_note(ground, reader)])]),
        block=TitleBlock(site.name, labels_whole.floor_question(reader)),
        paper=paper_of(site),
        cautions=tuple(cautions),
        demonstration=demonstration,
    )


def drawing_of(
    answer: Answer,
    reader: Reader = ENGLISH,
    *,
    slices: Sequence[Slice] = (),
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> Drawing:
    """The shapes, measures and words of an answer, for any back end.

    `slices` tints where the rear axle's center may be. `cautions` always stand at the foot. An answer
    that does not fit is drawn at its nearest miss, which is said, with what stops it.
    """
    headline, answer = _headline(answer, reader), answer.stands
    ground, place, fits = answer.ground, answer.shown, answer.fits is Fits.YES
    shapes = [*floor_shapes(ground, reader), *region_shapes(slices, ground.site, reader)]
    if place is not None:
        shapes.extend(stance_shapes(answer, place, reader))
    return Drawing(
        title=title or labels_place.stance_title(answer.vehicle.name, answer.name, reader),
        facts=(
            labels.site_fact(ground.site.name, reader),
            labels.car_fact(answer.vehicle.name, reader),
            labels.card_fact(answer.name, reader),
            labels.stands_fact(carried(answer, reader), reader),
        ),
        verdict=headline,
        datum=ground.site.datum,
        shapes=whole_shapes(shapes, ground.site, reader, car=answer.vehicle.name, datum=fits and place is not None),
        measures=() if place is None else tuple(measures(answer, place, reader)),
        caption=labels_place.misfit(answer.fits, answer.shown is not None, reader),
        paragraphs=_answer_paragraphs(answer, notes, reader),
        cautions=tuple(cautions),
        demonstration=demonstration,
        chains=tuple(chains(answer, place, reader)) if fits and place is not None else (),
        block=TitleBlock(answer.name, labels_whole.where_question(reader)),
        paper=paper_of(ground.site),
    )


def on_sheet(drawing: Drawing, basis: Basis, reader: Reader, *, moves: bool) -> Drawing:
    """The drawing with what it rests on, and the cautions that matter to it."""
    block = drawing.block
    return evolve(
        drawing,
        cautions=tuple(reader.reasons(c.reason for c in basis.cautions)),
        short=(*drawing.short, *labels_whole.short_cautions(basis.cautions, reader, moves=moves)),
        demonstration=basis.demonstration,
        block=block and evolve(block, rests_on=rests_words(basis.marks, reader)),
    )


def paper_of(site: Site) -> Paper:
    """The paper on which a picture of this site is drawn: the site's own."""
    return site.reader.paper or "letter"


def whole_shapes(
    shapes: Iterable[Shape], site: Site, reader: Reader, *, car: str = "", datum: bool = False
) -> tuple[Shape, ...]:
    """The shapes of a whole view from the floor up, with a triangle at each door, and with the names that they have in
    one: the car its own, every open pit the same; marks none that nothing is measured from.
    """
    doors = (way_in(door, site, reader) for door in site.doors)
    return in_order(s for shape in (*doors, *shapes) if (s := _named(shape, car, datum, reader)) is not None)


def _named(shape: Shape, car: str, datum: bool, reader: Reader) -> Shape | None:
    match shape.role:
        case "datum":
            return shape if datum else None
        case "mark":
            return evolve(shape, label="")
        case "void":
            return evolve(shape, label=labels_whole.open_pit(reader))
        case "body":
            return evolve(shape, label=car)
    return shape


def _headline(answer: Answer, reader: Reader) -> str:
    said = verdict(answer, reader)
    if answer.chosen is not None:
        return " ".join((said, alignment(answer.chosen.because, reader)))
    if answer.fits is Fits.YES or answer.shown is None:
        return said
    return " ".join((said, labels_place.nearest_miss(reader)))


def _answer_paragraphs(answer: Answer, notes: Sequence[str], reader: Reader) -> tuple[Paragraph, ...]:
    fits = answer.fits is Fits.YES
    near = [touch_words(t, reader) for t in answer.touches if fits or t.margin_m >= FIT_M]
    asides = reader.reasons(because("not-considered", what=note) for note in answer.not_considered)
    return paragraphs(
        [
            (labels_place.stops_heading(reader), [] if fits else list(stops(answer, reader))),
            (labels_place.touches_heading(reader), near),
            (labels_place.in_view_heading(reader), reader.reasons(answer.in_view)),
            (
                labels.notes_heading(reader),
                [*notes, *reader.reasons(answer.vehicle.notes), *asides, *turned_note(answer.ground, reader)],
            ),
        ]
    )


def turned_note(ground: Ground, reader: Reader) -> Iterator[str]:
    """A sentence for a plan that is turned, so that its datum's direction points right."""
    turn = ground.site.datum.direction_rad
    if abs(turn) > 1e-9:
        yield labels_place.turned(turn, reader)


def paragraphs(parts: Sequence[tuple[str, Sequence[str]]]) -> tuple[Paragraph, ...]:
    """Headings with their sentences, each sentence once; empty ones left out."""
    return tuple(Paragraph(heading, tuple(dict.fromkeys(said))) for heading, said in parts if said)


def in_order(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """The shapes as they are drawn, from the floor up."""
    order = {role: i for i, role in enumerate(get_args(Role))}
    return tuple(sorted(shapes, key=lambda s: order[s.role]))
