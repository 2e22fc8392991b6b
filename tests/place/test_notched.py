"""Shops in whole millimeters, with notches, piers and walls in two parts, held against shapely and random stances.

No answer is a traceback; what fits exactly is no longer open; a remedy once done fits, and 2 mm less of it does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import notched_cases
import numpy as np
import oracle
import pytest
from attrs import frozen
from test_remedies import is_open

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.site import Site
from standtrue.place.change.remedies import Remedies, Remedy, changed, find_remedies
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.question.answer import Answer

FITS_M = -2e-9
"""The engine's limit is -1e-9; shapely may round otherwise by as much."""

SAME_M = 1e-6
UNDECIDED_M = 2e-3
LESS_M = 2e-3


@frozen(eq=False)
class Held:
    """One shop and how hard it is attacked."""

    shop: notched_cases.Shop
    stances: int

    def answer(self, site: Site) -> Answer:
        return best_stance(Grounds(site), self.shop.vehicle, self.shop.cards, "floor")

    def ways(self, site: Site) -> list[oracle.Way]:
        return oracle.ways(site, self.shop.vehicle, self.shop.cards, "floor")

    def complaints(self) -> Iterator[str]:
        site = self.shop.site
        answer = self.answer(site)
        yield from self._answered(answer, site)
        remedies = find_remedies(answer)
        for remedy in remedies.single:
            yield from self._done(remedy)
        for one, other in remedies.pairs:
            both = changed(changed(site, one), other)
            yield from (f"{one} and {other}: {said}" for said in self._witness(self.answer(both), both))
        yield from self._whole(remedies)

    def _answered(self, answer: Answer, site: Site) -> Iterator[str]:
        fits = any_fit(Grounds(site), self.shop.vehicle, self.shop.cards, "floor")
        if fits is not answer.fits:
            yield f"best stance says {answer.fits}, any fit {fits}"
        if answer.fits is Fits.UNDECIDED and not 0.0 <= (answer.bound_m or 0.0) <= UNDECIDED_M:
            yield f"undecided at a bound of {answer.bound_m}"
        if answer.fits is Fits.YES:
            yield from self._witness(answer, site)
        if answer.fits is Fits.NO:
            rng = np.random.default_rng([15, self.shop.seed])
            shown = [(p.x_m, p.y_m, p.heading_rad) for p in [answer.shown] if p is not None]
            for way in self.ways(site):
                best = float(oracle.random_search(way, self.stances, rng, shown).margins.max())
                if best >= 0.0:
                    yield f"nothing fits, but a stance of margin {best} does"

    def _witness(self, answer: Answer, site: Site) -> Iterator[str]:
        """What shapely holds against the stance of an answer that must be a yes."""
        if answer.fits is not Fits.YES or answer.place is None or answer.margin_m is None:
            yield f"{answer.fits} at a bound of {answer.bound_m}"
            return
        at = np.array([(answer.place.x_m, answer.place.y_m, answer.place.heading_rad)])
        (way,) = self.ways(site)
        margin = float(oracle.margins(way, at)[0][0])
        if margin < FITS_M or abs(margin - answer.margin_m) > SAME_M:
            yield f"the margin told is {answer.margin_m}, by shapely {margin}"
        for touch in answer.touches:
            if touch.separation_m > 0.0 and abs(math.dist(touch.at, touch.of_at) - touch.separation_m) > SAME_M:
                yield f"the ends of {touch} are not as far apart"

    def _done(self, remedy: Remedy) -> Iterator[str]:
        """A remedy done fits; 2 mm less of it does not, where it is told as the least."""
        site = self.shop.site
        made = changed(site, remedy)
        yield from (f"{remedy}: {said}" for said in self._witness(self.answer(made), made))
        rolled = remedy.kind == "movable" and remedy.action == "move" and remedy.subject.kind == "obstacle"
        if rolled and not is_open(made, remedy.thing.name):
            yield f"{remedy}: not on clear floor"
        if remedy.least_m is None or not remedy.exact or remedy.least_m <= LESS_M:
            return
        less = changed(site, remedy, LESS_M)
        if remedy.kind == "movable" and not (rolled and is_open(less, remedy.thing.name)):
            return
        if self.answer(less).fits is Fits.YES:
            yield f"{remedy}: 2 mm less fits too"

    @staticmethod
    def _whole(remedies: Remedies) -> Iterator[str]:
        if remedies.missing and not remedies.cut:
            yield f"{remedies.missing} are missing, and nothing was cut short"


def complaints(seeds: range, stances: int) -> list[str]:
    held = (Held(notched_cases.make(seed), stances) for seed in seeds)
    return [f"seed {one.shop.seed}: {said}" for one in held for said in one.complaints()]


@pytest.mark.parametrize("block", range(4))
def test_nothing_is_wrong_in_rooms_with_notches_and_piers(block: int) -> None:
    assert complaints(range(block * 10, block * 10 + 10), 200) == []


@pytest.mark.long
@pytest.mark.parametrize("block", range(20))
def test_nothing_is_wrong_in_many_rooms_with_notches_and_piers(block: int) -> None:
    assert complaints(range(1000 + block * 25, 1025 + block * 25), 4000) == []
