"""How sure a margin is: against the spread of margins of many cars that stand as the covariance says. All invented."""

from __future__ import annotations

import math

import numpy as np
import pytest

from standtrue.aim.alignment import Angle
from standtrue.aim.stands import CarStands
from standtrue.demo import demo_files
from standtrue.documents import gather, load_text
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.verdict import Verdict
from standtrue.place.margin.stated import stated_stance
from standtrue.work.aim.restanding import margin_u, restand


@pytest.mark.parametrize("place", [Place(15.24, 2.743, math.pi), Place(15.0, 2.6, 3.0), Place(14.8, 3.0, 3.2)])
def test_the_margins_uncertainty_is_that_of_many_cars(place: Place) -> None:
    folder = gather(load_text(content, name) for name, content in demo_files().items())
    (site,), car = folder.sites.values(), folder.vehicles["Tavlin Corrow"]
    card = next(c for c in folder.procedures if c.key == "forward camera wide board")
    setup = folder.setups["corrow camera"]
    root = np.array([[2e-3, 0.0, 0.0], [1e-3, 1.5e-3, 0.0], [2e-4, -3e-4, 4e-4]])
    stands = CarStands(place, root @ root.T, 0.0, 0.0, 0.0, Angle(0.0))
    found = restand(Grounds(site), car, card, setup, stands)
    assert found.answer.fits is Fits.YES
    assert found.u_m is not None
    rng = np.random.default_rng(5)
    grounds = Grounds(site)
    margins = []
    for dx, dy, turn in rng.normal(size=(200, 3)) @ root.T:
        moved = Place(place.x_m + dx, place.y_m + dy, place.heading_rad + turn)
        margins.append(stated_stance(grounds, car, [card], moved).margin_m)
    # The spread of 200 trials is known to 5 %: the standard deviation of one is sigma / sqrt(2 (n - 1)).
    assert float(np.std(np.array(margins, dtype=float))) == pytest.approx(found.u_m, rel=0.15)


def test_where_they_overlap_the_whole_position_counts() -> None:
    folder = gather(load_text(content, name) for name, content in demo_files().items())
    (site,), car = folder.sites.values(), folder.vehicles["Tavlin Corrow"]
    card = next(c for c in folder.procedures if c.key == "forward camera wide board")
    place = Place(15.24, 1.8, math.pi)
    stands = CarStands(place, np.diag([9e-6, 16e-6, 0.0]), 0.0, 0.0, 0.0, Angle(0.0))
    answer = stated_stance(Grounds(site), car, [card], place)
    assert answer.touches[0].separation_m <= 0.0
    assert margin_u(answer.touches[0], stands) == pytest.approx(0.005)
    assert restand(Grounds(site), car, card, folder.setups["corrow camera"], stands).verdict is Verdict.REJECT
