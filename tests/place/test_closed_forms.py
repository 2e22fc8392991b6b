"""Stances whose best margin can be worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from standtrue.model.basics import Outline
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Obstacle
from standtrue.model.site import Datum, Gaps, Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.question.answer import Answer

TOLERANCE_M = 5e-4
BODY_M = 0.05
ALONE = Gaps(body_m=BODY_M, exit_m=0.0)


def plain_car(length: float, width: float, outline: Outline | None = None) -> Vehicle:
    """A car whose wheels lie well inside its body and whose mirrors do not stand out."""
    base = length / 2
    return Vehicle("car", length, width, width, 1.5, base, length / 4, 0.4, 0.4, 0.1, 0.6, 0.15, outline=outline)


def room(x: float, y: float, turn: float = 0.0) -> Outline:
    c, s = math.cos(turn), math.sin(turn)
    corners = ((-x / 2, -y / 2), (x / 2, -y / 2), (x / 2, y / 2), (-x / 2, y / 2))
    return tuple((2.0 + c * a - s * b, -1.0 + s * a + c * b) for a, b in corners)


def answer_for(outline: Outline, car: Vehicle, gaps: Gaps = ALONE, obstacles: tuple[Obstacle, ...] = ()) -> Answer:
    return best_stance(Grounds(Site("s", outline, Datum((0.0, 0.0)), gaps, obstacles=obstacles)), car, (), "floor")


def turned_margin(length: float, width: float, x: float, y: float) -> float:
    """Largest margin of a rectangle in a rectangle.

    At heading t the rectangle reaches (L|cos t| + W|sin t|)/2 to either side along x, and likewise
    along y; each wall's distance is the half-room less that reach, best with the car in the middle.
    So the margin is the largest over t of the smaller slack: one variable, scanned finely.
    """
    t = np.linspace(0.0, math.pi / 2, 200_001)
    along = (x - length * np.cos(t) - width * np.sin(t)) / 2
    across = (y - length * np.sin(t) - width * np.cos(t)) / 2
    return float(np.minimum(along, across).max()) - BODY_M


@pytest.mark.parametrize("turn", [0.0, math.pi / 2, 0.3, 1.1])
@pytest.mark.parametrize(("x", "y"), [(6.0, 2.2), (5.0, 2.9), (4.85, 1.96)])
def test_a_car_lengthwise_in_a_room(x: float, y: float, turn: float) -> None:
    answer = answer_for(room(x, y, turn), plain_car(4.7, 1.8))
    exact = min((x - 4.7) / 2, (y - 1.8) / 2) - BODY_M
    assert answer.fits is Fits.YES
    assert answer.margin_m == pytest.approx(exact, abs=TOLERANCE_M + 1e-9)
    assert answer.bound_m is not None
    assert answer.bound_m >= exact - 1e-9


@pytest.mark.parametrize("turn", [0.0, 0.7])
def test_a_long_car_stands_across_a_square_room(turn: float) -> None:
    """In a square of side s a rectangle at 45 degrees reaches (L + W)/sqrt(2): less than L if W < 0.414 L."""
    side, length, width = 5.4, 5.2, 1.5
    answer = answer_for(room(side, side, turn), plain_car(length, width))
    exact = (side - (length + width) / math.sqrt(2)) / 2 - BODY_M
    assert exact > (side - length) / 2 - BODY_M
    assert answer.margin_m == pytest.approx(exact, abs=TOLERANCE_M + 1e-9)
    assert answer.place is not None
    off = (answer.place.heading_deg - math.degrees(turn)) % 90
    assert off == pytest.approx(45.0, abs=1.0)


def test_a_car_turned_in_random_rooms() -> None:
    rng = np.random.default_rng(1)
    slanted = 0
    for _ in range(40):
        length, width = rng.uniform(3.6, 6.0), rng.uniform(0.9, 1.4)
        x, y = length * rng.uniform(0.93, 1.1), length * rng.uniform(0.8, 1.0)
        exact = turned_margin(length, width, x, y)
        answer = answer_for(room(x, y, rng.uniform(-3, 3)), plain_car(length, width))
        if exact > 2e-3:
            assert answer.margin_m == pytest.approx(exact, abs=TOLERANCE_M + 1e-6)
            slanted += x < length
        elif exact < -2e-3:
            assert answer.fits is Fits.NO
    assert slanted >= 5


@pytest.mark.parametrize("seed", range(8))
def test_whether_an_oblong_fits_in_an_oblong(seed: int) -> None:
    """Carver 1957, American Mathematical Monthly 64: p x q (p > a) fits in a x b just if

    ((a + b)/(p + q))^2 + ((a - b)/(p - q))^2 >= 2. Both walls are touched where p cos t + q sin t = a
    and p sin t + q cos t = b; the sum and the difference give (cos t + sin t) and (cos t - sin t),
    whose squares add up to 2. Solved here for b, and asked 20 mm and 3 mm to either side of it
    (3 mm may be within 2 mm of a margin of zero: then it may stay undecided).
    """
    rng = np.random.default_rng(seed)
    p, q = rng.uniform(3.6, 6.0), rng.uniform(0.7, 1.2)
    a = p * rng.uniform(0.93, 0.99)
    u, v = (p + q) ** 2, (p - q) ** 2
    qa, qb, qc = 1 / u + 1 / v, 2 * a * (1 / u - 1 / v), a * a * (1 / u + 1 / v) - 2
    b = (-qb + math.sqrt(qb * qb - 4 * qa * qc)) / (2 * qa)
    assert ((a + b) / (p + q)) ** 2 + ((a - b) / (p - q)) ** 2 == pytest.approx(2.0)
    gaps = Gaps(body_m=0.0, exit_m=0.0)
    assert q < b < p
    for more in (0.02, 0.003, -0.003, -0.02):
        grounds = Grounds(Site("s", room(a, b + more, rng.uniform(-3, 3)), Datum((0.0, 0.0)), gaps))
        allowed = (Fits.of(more > 0.0),) if abs(more) > 0.01 else (Fits.of(more > 0.0), Fits.UNDECIDED)
        assert any_fit(grounds, plain_car(p, q), (), "floor") in allowed
        assert best_stance(grounds, plain_car(p, q), (), "floor").fits in allowed


@pytest.mark.parametrize("turn", [0.0, 0.3])
@pytest.mark.parametrize("spare", [1e-3, 1e-4, 1e-6, 0.0, -1e-6, -1e-4, -1e-3])
def test_a_room_that_fits_like_a_glove(turn: float, spare: float) -> None:
    """Within 2 mm of the limit the answer may stay undecided, but it is never the wrong one."""
    site = Site("s", room(4.8 + 2 * spare, 2.0 + 2 * spare, turn), Datum((0.0, 0.0)), ALONE)
    for fits in (
        any_fit(Grounds(site), plain_car(4.7, 1.9), (), "floor"),
        best_stance(Grounds(site), plain_car(4.7, 1.9), (), "floor").fits,
    ):
        assert fits in (Fits.of(spare >= 0.0), Fits.UNDECIDED)


ELL: Outline = ((0, 0), (9, 0), (9, 3.5), (4, 3.5), (4, 8), (0, 8))
TEE: Outline = ((0, 0), (10, 0), (10, 3.2), (6.6, 3.2), (6.6, 7), (3.1, 7), (3.1, 3.2), (0, 3.2))
SKEW: Outline = ((0, 0), (8, 1), (7, 6), (5, 4.2), (3, 7.5), (-1, 5))
POSTS = (
    Obstacle("post", ((2.0, 2.0), (2.3, 2.1), (2.1, 2.4)), 0.0, 3.0),
    Obstacle("rack", ((6.0, 0.5), (6.8, 0.5), (6.8, 1.0), (6.0, 1.0)), 0.0, 2.0),
)


@pytest.mark.parametrize("outline", [ELL, TEE, SKEW])
@pytest.mark.parametrize("obstacles", [(), POSTS])
def test_a_round_car_in_the_largest_inscribed_circle(outline: Outline, obstacles: tuple[Obstacle, ...]) -> None:
    """A 64-sided car of circumradius R: its margin is the circle's radius less R, up to the polygon's sagitta."""
    radius = 0.9
    angles = 2 * math.pi * np.arange(64) / 64
    ring = tuple((0.45 + radius * math.cos(a), radius * math.sin(a)) for a in angles)
    car = plain_car(2 * radius, 2 * radius, ring)
    assert car.front_x_m == pytest.approx(0.45 + radius)
    free = shapely.Polygon(outline).difference(shapely.union_all([shapely.Polygon(o.outline) for o in obstacles]))
    circle = shapely.length(shapely.maximum_inscribed_circle(free, tolerance=1e-5))
    answer = answer_for(outline, car, obstacles=obstacles)
    least = circle - radius - BODY_M
    sagitta = radius * (1 - math.cos(math.pi / 64))
    assert answer.margin_m is not None
    assert least - 1e-3 <= answer.margin_m <= least + sagitta + 1e-3
    assert answer.bound_m is not None
    assert answer.bound_m >= least - 1e-4
