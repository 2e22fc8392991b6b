"""One answer of several as a picture, with the way that leads there."""

from __future__ import annotations

from standtrue.place.question.answer import Answer
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.drive import with_move
from standtrue.show.pictures.place import drawing_of, on_sheet
from standtrue.show.words import labels_place
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import remedies_words
from standtrue.work.drive.arrivals import Reached
from standtrue.work.place.places import Places


def answer_svg(places: Places, answer: Answer, reader: Reader, way: Reached | None = None) -> str:
    """One of the answers, or a place recommended, as an SVG that is a page of the reader's paper.

    With the way there, if any; one of the answers with its region and what would make room.
    """
    basis = places.basis
    number = next((n for n, one in enumerate(places.answers) if one is answer), None)
    drawing = drawing_of(
        answer if way is None else way.answer,
        reader,
        slices=() if number is None else places.slices[number],
        title=labels_place.answer_title(answer.name, places.vehicle.name, places.site.name, reader),
        notes=[] if number is None else remedies_words(places.remedies[number], answer, reader),
    )
    moves = way is not None and way.way.found
    if way is not None and moves:
        drawing = with_move(drawing, way.driven, reader)
    return svg_of(on_sheet(drawing, basis, reader, moves=moves), reader)
