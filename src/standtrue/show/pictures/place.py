"""The drawing of an answer, or of a floor alone: from results to shapes with meaning, and to SVG.

A pure function of its arguments: no clock, no chance, no file. The same answer gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import get_args

from standtrue.draw.shapes import Drawing, Paragraph, Role, Shape
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground
from standtrue.model.reason import Angle, Ref, because
from standtrue.place.question.answer import FIT_M, Answer, Slice
from standtrue.show.pictures.car import measures, region_shapes, stance_shapes
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.words.place import carried, stops, touch_words, verdict
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
        title=title or reader.say("Floor plan of {site}", site=site.name),
        facts=((reader.say("Site"), site.name), *_lift_facts(ground, reader)),
        verdict="",
        datum=site.datum,
        shapes=in_order(floor_shapes(ground, reader)),
        paragraphs=paragraphs([(reader.say("Notes"), [*notes, *turned_note(ground, reader)])]),
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
    ground, place = answer.ground, answer.shown
    shapes = [*floor_shapes(ground, reader), *region_shapes(slices, ground.site, reader)]
    if place is not None:
        shapes.extend(stance_shapes(answer, place, reader))
    return Drawing(
        title=title or reader.say("Where {car} stands for {card}", car=answer.vehicle.name, card=answer.name),
        facts=(
            (reader.say("Site"), ground.site.name),
            (reader.say("Car"), answer.vehicle.name),
            (reader.say("For"), answer.name),
            (reader.say("Stands"), carried(answer, reader)),
        ),
        verdict=_headline(answer, reader),
        datum=ground.site.datum,
        shapes=in_order(shapes),
        measures=() if place is None else tuple(measures(answer, place, reader)),
        measures_heading=_measures_heading(answer, reader),
        caption=_caption(answer, reader),
        paragraphs=_answer_paragraphs(answer, notes, reader),
        cautions=tuple(cautions),
        demonstration=demonstration,
    )


def _measures_heading(answer: Answer, reader: Reader) -> str:
    if answer.fits is Fits.YES:
        return reader.say("To lay out, from the datum")
    return reader.say("Where it is drawn (do not lay out)")


def _headline(answer: Answer, reader: Reader) -> str:
    said = verdict(answer, reader)
    if answer.fits is Fits.YES or answer.shown is None:
        return said
    return " ".join((said, reader.say("The car is drawn at the nearest miss, for the picture only.")))


def _caption(answer: Answer, reader: Reader) -> str:
    if answer.fits is Fits.YES:
        return ""
    if answer.fits is Fits.NO:
        return reader.say("NEAREST MISS – DOES NOT FIT") if answer.shown else reader.say("DOES NOT FIT")
    return reader.say("NEAREST MISS – CANNOT TELL") if answer.shown else reader.say("CANNOT TELL")


def _answer_paragraphs(answer: Answer, notes: Sequence[str], reader: Reader) -> tuple[Paragraph, ...]:
    fits = answer.fits is Fits.YES
    near = [touch_words(t, reader) for t in answer.touches if fits or t.margin_m >= FIT_M]
    asides = reader.reasons(because("not-considered", what=note) for note in answer.not_considered)
    return paragraphs(
        [
            (reader.say("What stops it"), [] if fits else list(stops(answer, reader))),
            (reader.say("What it touches first"), near),
            (reader.say("In view"), reader.reasons(answer.in_view)),
            (
                reader.say("Notes"),
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
        yield reader.say(
            "The plan is turned so that the datum's direction ({turn} in the site's own frame) points "
            "right; right, up and every direction are meant from it",
            turn=Angle(turn),
        )


def _lift_facts(ground: Ground, reader: Reader) -> Iterator[tuple[str, str]]:
    states = ", ".join(
        reader.say("{lift}: {state}", lift=name, state=setting.state) for name, setting in ground.settings
    )
    if states:
        yield (reader.say("Lifts"), states)


def paragraphs(parts: Sequence[tuple[str, Sequence[str]]]) -> tuple[Paragraph, ...]:
    """Headings with their sentences, each sentence once; empty ones left out."""
    return tuple(Paragraph(heading, tuple(dict.fromkeys(said))) for heading, said in parts if said)


def in_order(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """The shapes as they are drawn, from the floor up."""
    order = {role: i for i, role in enumerate(get_args(Role))}
    return tuple(sorted(shapes, key=lambda s: order[s.role]))
