"""The plan of an answer, or of a floor alone: from results to shapes with meaning, and to SVG.

A pure function of its arguments: no clock, no chance, no file. The same answer gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import get_args

from standtrue.draw.shapes import Drawing, Paragraph, Role, Shape
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground
from standtrue.model.reader_units import System, format_angle
from standtrue.place.question.answer import FIT_M, Answer, Slice
from standtrue.show.pictures.car import measures, region_shapes, stance_shapes
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.floor import floor_shapes
from standtrue.show.words.place import carried, touch_words, verdict
from standtrue.show.words.reader import Reader


def plan_svg(
    answer: Answer,
    *,
    slices: Sequence[Slice] = (),
    units: System = "metric",
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> str:
    """The whole drawing of an answer as one self-contained SVG that prints to scale on Letter and A4.

    `slices` tints where the rear axle's center may be. `cautions` always stand at the foot. An answer
    that does not fit is drawn at its nearest miss, which is said, with what stops it.
    """
    plan = drawing_of(
        answer, slices=slices, units=units, title=title, notes=notes, cautions=cautions, demonstration=demonstration
    )
    return svg_of(plan, Reader(units))


def site_svg(
    ground: Ground,
    *,
    units: System = "metric",
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> str:
    """The floor alone, in the state of `ground`, as one self-contained SVG."""
    plan = site_drawing(ground, units=units, title=title, notes=notes, cautions=cautions, demonstration=demonstration)
    return svg_of(plan, Reader(units))


def site_drawing(
    ground: Ground,
    *,
    units: System = "metric",
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> Drawing:
    """The shapes and words of a floor alone, for any back end."""
    site = ground.site
    return Drawing(
        title=title or f"Floor plan of {site.name}",
        facts=(("Site", site.name), *_lift_facts(ground)),
        verdict="",
        datum=site.datum,
        shapes=in_order(floor_shapes(ground, units)),
        paragraphs=paragraphs([("Notes", [*notes, *turned_note(ground)])]),
        cautions=tuple(cautions),
        demonstration=demonstration,
    )


def drawing_of(
    answer: Answer,
    *,
    slices: Sequence[Slice] = (),
    units: System = "metric",
    title: str = "",
    notes: Sequence[str] = (),
    cautions: Sequence[str] = (),
    demonstration: bool = False,
) -> Drawing:
    """The shapes, measures and words of an answer, for any back end."""
    ground, place = answer.ground, answer.shown
    shapes = [*floor_shapes(ground, units), *region_shapes(slices, ground.site)]
    if place is not None:
        shapes.extend(stance_shapes(answer, place, units))
    facts = (
        ("Site", ground.site.name),
        ("Car", answer.vehicle.name),
        ("For", answer.name),
        ("Stands", carried(answer, units)),
    )
    return Drawing(
        title=title or f"Where {answer.vehicle.name} stands for {answer.name}",
        facts=facts,
        verdict=_headline(answer, units),
        datum=ground.site.datum,
        shapes=in_order(shapes),
        measures=() if place is None else tuple(measures(answer, place)),
        measures_heading="To lay out, from the datum"
        if answer.fits is Fits.YES
        else "Where it is drawn (do not lay out)",
        caption=_caption(answer),
        paragraphs=_answer_paragraphs(answer, notes, units),
        cautions=tuple(cautions),
        demonstration=demonstration,
    )


def _headline(answer: Answer, units: System) -> str:
    if answer.fits is Fits.YES:
        return verdict(answer, units)
    shown = " The car is drawn at the nearest miss, for the picture only." if answer.shown else ""
    return verdict(answer, units) + shown


def _measures_heading(answer: Answer) -> str:
    return "To lay out, from the datum" if answer.fits is Fits.YES else "Where it is drawn (do not lay out)"


def _caption(answer: Answer) -> str:
    if answer.fits is Fits.YES:
        return ""
    said = "does not fit" if answer.fits is Fits.NO else "undecided"
    return f"NEAREST MISS – {said.upper()}" if answer.shown else said.upper()


def _answer_paragraphs(answer: Answer, notes: Sequence[str], units: System) -> tuple[Paragraph, ...]:
    near = [touch_words(t, units) for t in answer.touches if t.margin_m >= FIT_M]
    short = (touch_words(t, units) for t in answer.touches if t.margin_m < FIT_M)
    stops = [*Reader(units).reasons(answer.because), *short]
    if answer.fits is Fits.YES:
        stops, near = [], [touch_words(t, units) for t in answer.touches]
    asides = [f"Not considered: {n}" for n in Reader(units).reasons(answer.not_considered)]
    return paragraphs(
        [
            ("What stops it", stops),
            ("What it touches first", near),
            ("In view", Reader(units).reasons(answer.in_view)),
            ("Notes", [*notes, *_estimated(answer), *asides, *turned_note(answer.ground)]),
        ]
    )


def _estimated(answer: Answer) -> Iterator[str]:
    if answer.vehicle.estimated:
        yield f"Estimated for the car, not measured: {', '.join(answer.vehicle.estimated)}"


def turned_note(ground: Ground) -> Iterator[str]:
    """A sentence for a plan that is turned, so that its datum's direction points right."""
    turn = ground.site.datum.direction_rad
    if abs(turn) > 1e-9:
        yield (
            f"The plan is turned so that the datum's direction ({format_angle(turn)} in the site's own frame) points "
            "right; right, up and every direction are meant from it"
        )


def _lift_facts(ground: Ground) -> Iterator[tuple[str, str]]:
    states = ", ".join(f"{name}: {setting.state}" for name, setting in ground.settings)
    if states:
        yield ("Lifts", states)


def paragraphs(parts: Sequence[tuple[str, Sequence[str]]]) -> tuple[Paragraph, ...]:
    """Headings with their sentences, each sentence once; empty ones left out."""
    return tuple(Paragraph(heading, tuple(dict.fromkeys(said))) for heading, said in parts if said)


def in_order(shapes: Iterable[Shape]) -> tuple[Shape, ...]:
    """The shapes as they are drawn, from the floor up."""
    order = {role: i for i, role in enumerate(get_args(Role))}
    return tuple(sorted(shapes, key=lambda s: order[s.role]))
