"""The drawing of an answer, or of a floor alone: from results to shapes with meaning, and to SVG.

A pure function of its arguments: no clock, no chance, no file. The same answer gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import get_args

from standtrue.draw.shapes import Drawing, Paragraph, Role, Shape
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground
from standtrue.model.reason import Ref, because
from standtrue.place.question.answer import FIT_M, Answer, Slice
from standtrue.show.pictures.car import measures, region_shapes, stance_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.words import labels, labels_place
from standtrue.show.words.place import alignment, carried, stops, touch_words, verdict
from standtrue.show.words.reader import ENGLISH, Reader


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
        shapes=in_order(floor_shapes(ground, reader)),
        paragraphs=paragraphs([(labels.notes_heading(reader), [*notes, *turned_note(ground, reader)])]),
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
    ground, place = answer.ground, answer.shown
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
        shapes=in_order(shapes),
        measures=() if place is None else tuple(measures(answer, place, reader)),
        measures_heading=_measures_heading(answer, reader),
        caption=labels_place.misfit(answer.fits, answer.shown is not None, reader),
        paragraphs=_answer_paragraphs(answer, notes, reader),
        cautions=tuple(cautions),
        demonstration=demonstration,
    )


def _measures_heading(answer: Answer, reader: Reader) -> str:
    if answer.fits is Fits.YES:
        return labels.lay_out_heading(reader)
    return labels_place.shown_anyway_heading(reader)


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
                [*notes, *_estimated(answer, reader), *asides, *turned_note(answer.ground, reader)],
            ),
        ]
    )


def _estimated(answer: Answer, reader: Reader) -> Iterator[str]:
    car = answer.vehicle
    if car.estimated:
        yield reader.reason(because("vehicle-estimated", vehicle=Ref("vehicle", car.name), fields=car.estimated))


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
