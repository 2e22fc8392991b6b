"""Stances on floor that is level enough for their cards, where there are such.

The roomiest stance is taken if its floor is level; otherwise stances are sought on surveyed floor within one band of
heights, band after band; then on surveyed floor. Floor that nobody surveyed is no refuge: a stance on it is taken only
where no other fits. Which is taken changes nothing of whether the card fits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from attrs import evolve, frozen

from standtrue.aim.conformity import guard_factor
from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.floor_bands import floor_between
from standtrue.aim.floor_level import Judged
from standtrue.model.basics import SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Unfloor, uneven_floor
from standtrue.model.level import IsLevel
from standtrue.model.procedure import FloorLevel, Procedure
from standtrue.model.reason import Angle, Length, Reason, Ref, Term, Value, because
from standtrue.model.survey import Survey
from standtrue.model.vehicle import WHEELS
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.fits.chosen import chosen_at
from standtrue.place.question.answer import Answer
from standtrue.place.question.claims import named_over
from standtrue.plane.shapes import difference, outside
from standtrue.work.place.level import LevelFloors

STEPS = 4
"""Bands overlap: each begins a fourth of its width above the one before, at most."""

MOST_BANDS = 60
"""Where the floor is so uneven that more bands would be looked at, they begin farther apart."""

Uneven = Mapping[tuple[str, SupportClass], Sequence[Unfloor]]


@frozen(eq=False)
class Settled:
    """An answer with its stance's level told, on level floor where there is such a stance.

    `uneven` is the floor that was kept clear of; `notes` what must be said.
    """

    answer: Answer
    uneven: tuple[Unfloor, ...] = ()
    notes: tuple[Reason, ...] = ()


def settle(level: LevelFloors, answer: Answer) -> Settled:
    """The roomiest stance on level floor for the answer's one card, `answer` being the roomiest of all; so the chosen.

    Where there is none, the roomiest on floor of which it cannot be told; then on floor that was surveyed at all; where
    there is none either, `answer`. A level stance is chosen before a parallel one.
    """
    own = level.noted(answer)
    if level.floor is None or level.survey is None or own.level is None or own.fits is not Fits.YES:
        return Settled(own)
    off = next((one for one in (own, own.stands) if not _is(one, IsLevel.MET)), None)
    if off is None:
        return Settled(own)
    assert off.place is not None
    judged = level.judged(off.forms[0], off.vehicle, off.place, off.height_m)
    assert judged is not None
    bands = _Bands(level, level.floor, level.survey, off, judged)
    found = list(bands.roomiest())
    return _with_chosen(_settled(own, bands, found), [(own, ()), *found])


def _settled(own: Answer, bands: _Bands, found: Sequence[_OnBand]) -> Settled:
    """By the roomiest stance alone."""
    if _is(own, IsLevel.MET):
        return Settled(own)
    judged = bands.judged
    met = _most_room(found, IsLevel.MET)
    if met is not None:
        return Settled(*met, (bands.kept,))
    none = because(
        "level-of-card", **_asking(own), why=because("no-level-floor", **_asked(judged.asked), survey=bands.by)
    )
    perhaps = _most_room(found, IsLevel.CANNOT_TELL)
    if perhaps is not None and (judged.unknown or _is(own, IsLevel.NOT_MET)):
        return Settled(*perhaps, (none,))
    if judged.unknown:
        surveyed = bands.on(bands.beyond)
        if surveyed.fits is Fits.YES:
            note = because("kept-to-surveyed-floor", **_asking(own), survey=bands.by)
            return Settled(surveyed, bands.beyond, (note, none))
    return Settled(own, (), (none,))


def _with_chosen(settled: Settled, found: Sequence[_OnBand]) -> Settled:
    """With the stance chosen: of those as level as the roomiest the straightest, then the roomiest of any band."""
    best, own = settled.answer, (settled.answer, settled.uneven)
    assert best.level is not None
    pool = [*found, own] if _is(best, IsLevel.MET) else [own]
    chosen = [
        (chosen_at(one, best), uneven)
        for answer, uneven in pool
        for one in (answer.stands, answer)
        if _is(one, best.level.level)
    ]
    at, uneven = max(chosen, key=lambda c: (c[0].rank, c[0].margin_m))
    bound = max(best.bound_m or 0.0, at.margin_m)
    return evolve(settled, answer=evolve(best, chosen=at, bound_m=bound), uneven=uneven)


def _is(answer: Answer, level: IsLevel) -> bool:
    return answer.level is not None and answer.level.level is level


def rough_for(level: LevelFloors, settled: Settled) -> tuple[Unfloor, ...]:
    """The floor that the answer's card must keep clear of at other places, too, so that it stays servable."""
    answer = settled.answer.stands
    if (
        settled.uneven
        or not _is(answer, IsLevel.MET)
        or level.floor is None
        or level.survey is None
        or answer.place is None
    ):
        return settled.uneven
    judged = level.judged(answer.forms[0], answer.vehicle, answer.place, answer.height_m)
    assert judged is not None
    assert judged.level is not None
    bands = _Bands(level, level.floor, level.survey, answer, judged)
    width = max(bands.width(bands.guard_m), judged.level.difference_m + 1e-9)
    return bands.outside((judged.level.lowest_m + judged.level.highest_m - width) / 2, width, _steepest(judged.asked))


_OnBand = tuple[Answer, tuple[Unfloor, ...]]


def _most_room(found: Sequence[_OnBand], level: IsLevel) -> _OnBand | None:
    """Of the stances that are as level as said, the one with the most room."""
    such = [one for one in found if _is(one[0], level)]
    return max(such, key=lambda one: one[0].margin_m or 0.0, default=None)


@frozen(eq=False)
class _Bands:
    """The floor in bands of heights, for one answer's card."""

    level: LevelFloors
    floor: SurveyedFloor
    survey: Survey
    own: Answer
    judged: Judged

    @property
    def by(self) -> Ref:
        return Ref("survey", self.survey.name)

    @property
    def card(self) -> Procedure:
        return self.own.cards[0]

    def on(self, uneven: tuple[Unfloor, ...]) -> Answer:
        """The roomiest stance that keeps clear of some floor, its level told."""
        own = self.own
        return self.level.noted(best_stance(own.grounds, own.vehicle, own.cards, own.support, uneven=uneven))

    def roomiest(self) -> Iterator[_OnBand]:
        """The roomiest stance on each band of heights.

        First on bands narrower by a guard band; on wider ones only if none of those is level.
        """
        asked, own = self.judged.asked, self.own
        slope_u = 0.0 if self.judged.level is None else self.judged.level.slope_u_rad
        for guard_m, guard_rad in ((self.guard_m, guard_factor() * slope_u), (0.0, 0.0)):
            met, width, steepest = False, self.width(guard_m), _steepest(asked, guard_rad)
            for uneven in self._of(width, steepest) if min(width, steepest) > 0.0 else ():
                if any_fit(own.grounds, own.vehicle, own.cards, own.support, uneven=uneven) is Fits.NO:
                    continue
                found = self.on(uneven)
                if found.fits is Fits.YES:
                    met |= found.level is not None and found.level.level is IsLevel.MET
                    yield found, uneven
            if met:
                return

    @property
    def guard_m(self) -> float:
        """The widest guard band that the difference of two surveyed heights has."""
        own = np.diag(self.floor.covariance)
        squared = own[:, None] + own[None, :] - 2.0 * self.floor.covariance
        return guard_factor() * math.sqrt(max(float(squared.max()), 0.0))

    def width(self, guard_m: float) -> float:
        """How wide a band is; all of the floor where the card asks for a slope only."""
        within = self.judged.asked.within_m
        return float(np.ptp(self.floor.measured)) + 1e-6 if within is None else within - guard_m

    def _of(self, width_m: float, steepest: float) -> Iterator[tuple[Unfloor, ...]]:
        """The floor outside each band of heights, bands from the lowest to the highest point."""
        low, over = float(self.floor.measured.min()), max(0.0, float(np.ptp(self.floor.measured)) - width_m)
        count = min(MOST_BANDS, math.ceil(over / (width_m / STEPS)) + 1)
        for start in np.linspace(low, low + over, count):
            yield self.outside(float(start), width_m, steepest)

    def outside(self, low_m: float, width_m: float, steepest: float) -> tuple[Unfloor, ...]:
        """The floor outside a band of heights, and all that was not surveyed."""
        band = floor_between(self.floor, low_m, width_m, self.level.site.outline, steepest)
        return (
            *uneven_floor(Ref("uneven", self.card.key), difference(self.floor.known, band.level), self._over),
            *self.beyond,
        )

    @property
    def beyond(self) -> tuple[Unfloor, ...]:
        """All that was not surveyed."""
        return uneven_floor(Ref("unsurveyed"), outside(self.floor.known), self._over)

    @property
    def _over(self) -> tuple[Ref, ...]:
        """What must be level: what the card names, or else all of it that stands on the floor."""
        named = self.judged.asked.over
        if not named:
            zones = [*self.card.zones, *(z for variant in self.card.variants for z in variant.zones)]
            named = (*WHEELS, *(z.name for z in zones if z.needs == "stand"))
        return named_over(self.card, named)

    @property
    def kept(self) -> Reason:
        """That another stance was taken than the roomiest, whose floor is so uneven as far as it was surveyed."""
        level = self.judged.level
        if level is None or self.judged.unknown:
            return because("kept-to-level-surveyed-floor", **_asking(self.own), survey=self.by)
        off: dict[str, Value] = {"difference": Length(level.difference_m), "slope": Angle(level.slope_rad)}
        return because("kept-to-level-floor", **_asking(self.own), **off, survey=self.by)


def _asking(answer: Answer) -> dict[str, Value]:
    """Which answer a note is about."""
    return {"card": answer.name, "support": Term(answer.support)}


def _asked(asked: FloorLevel) -> dict[str, Value]:
    """What a card asks of the floor, as far as it does."""
    within: dict[str, Value] = {} if asked.within_m is None else {"within": Length(asked.within_m)}
    return within if asked.within_rad is None else {**within, "slope": Angle(asked.within_rad)}


def _steepest(asked: FloorLevel, guard_rad: float = 0.0) -> float:
    """The greatest slope that a card allows, metres a metre, less a guard band."""
    return math.inf if asked.within_rad is None else math.tan(asked.within_rad - guard_rad)
