"""How a car looks from above on a picture: an outline with a rounded nose, its glass, and a triangle at its nose."""

from __future__ import annotations

from standtrue.model.basics import Outline, Point
from standtrue.model.vehicle import Vehicle

_HALF: tuple[Point, ...] = (
    (0.0, 0.0), (0.004, 0.38), (0.026, 0.79), (0.044, 0.87), (0.071, 0.945), (0.098, 0.99), (0.113, 1.0),
    (0.943, 1.0), (0.963, 0.98), (0.985, 0.91), (1.0, 0.77),
)  # fmt: skip
"""The left half of an outline, from the nose back: shares of the length behind the nose, and of half the width."""

_GLASS: tuple[tuple[Point, ...], ...] = (
    ((0.323, 0.86), (0.274, 0.55), (0.262, 0.0)),
    ((0.429, 0.72), (0.393, 0.45), (0.380, 0.0)),
    ((0.914, 0.78), (0.930, 0.0)),
)
"""The windshield's lower and upper edge and the rear window, from the left to the middle, in the same shares."""

_NOSE: tuple[Point, ...] = ((0.037, 0.0), (0.094, 0.184))


def drawn_body(car: Vehicle) -> Outline:
    """The car's outline on a picture, vehicle frame: its own where it states one, else within its length and width."""
    return car.body if car.outline is not None else _both(_HALF, car.front_x_m, car.length_m, car.width_m)


def glass_lines(car: Vehicle) -> tuple[Outline, ...]:
    """Windshield and rear window, vehicle frame."""
    return glass_of(car.front_x_m, car.length_m, car.width_m)


def glass_of(front_m: float, length_m: float, width_m: float) -> tuple[Outline, ...]:
    """The same of a car that is as long and as wide as told, with its front end so far ahead of its rear axle."""
    return tuple(_both(line, front_m, length_m, width_m) for line in _GLASS)


def nose_mark(car: Vehicle) -> Outline:
    """A triangle on the hood that points ahead, vehicle frame."""
    return nose_of(car.front_x_m, car.length_m, car.width_m)


def nose_of(front_m: float, length_m: float, width_m: float) -> Outline:
    """The same of a car that is as long and as wide as told."""
    return _both(_NOSE, front_m, length_m, width_m)


def _both(half: tuple[Point, ...], front_m: float, length_m: float, width_m: float) -> Outline:
    """The left half, then its mirror image back again."""
    left = [(front_m - x * length_m, y * width_m / 2) for x, y in half]
    return (*left, *((x, -y) for x, y in reversed(left) if y > 0.0))
