"""What does not matter to a step is drawn with 28 % of its ink and has no name; a pit, a wall and a door never fade."""

from __future__ import annotations

import pytest

from standtrue.draw.backends.svg import SVG
from standtrue.draw.ink import Ink
from standtrue.draw.near import conventional
from standtrue.draw.scaled import Paper
from standtrue.draw.shapes import Drawing, Role, Shape, area
from standtrue.model.site import Datum
from standtrue.show.pictures.fading import MATTERS_M, fade_others

CAR = Shape("body", "the car", area(((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0))))
WAY = Shape("forward", "its way", lines=(((4.0, 1.0), (20.0, 1.0)),))
FADING: tuple[Role, ...] = ("obstacle", "movable", "post", "overhead", "stored", "bay", "raised deck")
STAYING: tuple[Role, ...] = ("void", "open cover", "closed cover", "wall", "hole", "door", "way in", "datum", "mark")


def at(role: Role, x: float, y: float) -> Shape:
    return Shape(role, "meant", area(((x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1))), label="a name")


@pytest.mark.parametrize("role", FADING)
def test_what_stands_far_from_car_and_way_fades_and_loses_its_name(role: Role) -> None:
    far, near_car, near_way = at(role, 0.0, 2.1 + MATTERS_M), at(role, 0.0, 1.9 + MATTERS_M), at(role, 15.0, 3.0)
    faded, *others = fade_others([far, near_car, near_way], [CAR, WAY])
    assert (faded.faded, faded.label, faded.areas, faded.meaning) == (True, "", far.areas, "meant")
    assert others == [near_car, near_way]
    assert fade_others([far], []) == [far], "where nothing is told of the step, nothing fades"
    paper = Paper(Drawing("", (), "", Datum((0.0, 0.0)), ()), 10.0, 0.0, 0.0, (0.0, 0.0, 30.0, 30.0))
    for part in conventional(faded):
        drawn = Ink(SVG, paper).shape(part)
        assert 'opacity="0.28"' in drawn.split(">")[0]
    assert 'opacity="0.28"' not in Ink(SVG, paper).shape(far).split(">")[0]


@pytest.mark.parametrize("role", STAYING)
def test_a_pit_a_wall_a_door_and_a_mark_never_fade(role: Role) -> None:
    far = at(role, 100.0, 100.0)
    assert fade_others([far], [CAR]) == [far]
