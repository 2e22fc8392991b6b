"""Stances on floor that is level enough for their cards, where the folder holds a survey of the site.

A card asks that heights differ by no more than so much over what it names. The roomiest stance is taken if its floor
does; otherwise stances are sought on floor within one band of heights, band after band.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from attrs import evolve, frozen

from standtrue.aim.floor import Level, SurveyedFloor
from standtrue.aim.floor_bands import floor_between
from standtrue.model.basics import Fault, Outline, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Unfloor, uneven_floor
from standtrue.model.procedure import FloorLevel, Procedure
from standtrue.model.reason import Angle, Length, Reason, Ref, Term, Value, because
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.survey import Survey
from standtrue.place.engine import any_fit, best_stance
from standtrue.place.margin.measure import at_place
from standtrue.place.question.answer import Answer
from standtrue.place.question.claims import named_over
from standtrue.work.ask import UnansweredError

STEPS = 4
"""Bands overlap: each begins a fourth of its width above the one before."""

Uneven = Mapping[tuple[str, SupportClass], Sequence[Unfloor]]


@frozen(eq=False)
class Settled:
    """An answer whose stance stands on level floor as far as the survey tells, or why there is none.

    `uneven` is the floor that was kept clear of; `notes` what must be said.
    """

    answer: Answer
    uneven: tuple[Unfloor, ...] = ()
    notes: tuple[Reason, ...] = ()


def survey_of(shop: Shop, site: Site) -> tuple[Survey | None, Reason | None]:
    """The one survey of the site, if there is just one, or why none was used. Other sites' surveys are not touched."""
    found = [shop.surveys[name] for name, survey in shop.written.surveys.items() if survey.site == site.name]
    if len(found) > 1:
        return None, because("several-surveys", surveys=len(found), site=Ref("site", site.name))
    return (found[0], None) if found else (None, None)


def surveyed_floor(survey: Survey) -> SurveyedFloor:
    """The floor of a survey. Raises UnansweredError where its points make none."""
    try:
        return SurveyedFloor(survey.points)
    except ValueError:
        what = because("survey-too-small", survey=Ref("survey", survey.name))
        fault = Fault("survey-too-small", what, "", f"survey {survey.name}", "", because("survey-three-points"))
        raise UnansweredError([fault]) from None


class LevelFloors:
    """A surveyed floor and what the cards ask of it. Raises UnansweredError as `surveyed_floor` does."""

    def __init__(self, survey: Survey, site: Site) -> None:
        self.survey = survey
        self.site = site
        self.floor = surveyed_floor(survey)

    def settle(self, answer: Answer) -> Settled:
        """The roomiest stance on floor level enough for the answer's one card, `answer` being the roomiest of all."""
        (card,) = answer.cards
        asked = card.floor_level
        if asked is None or answer.fits is not Fits.YES:
            return Settled(answer)
        found = self.under(answer)
        if found is None or _kept(found, asked):
            return Settled(answer, (), tuple(self._unsurveyed(answer, found)))
        rough = list(self._rough(card, self._width(asked)))
        where = (answer.grounds, answer.vehicle, answer.cards, answer.support)
        hopeful = [u for u in rough if any_fit(*where, uneven=u) is not Fits.NO]
        fitting = [(a, u) for u in hopeful if (a := best_stance(*where, uneven=u)).fits is Fits.YES]
        off: dict[str, Value] = {"difference": Length(found.difference_m), "slope": Angle(found.slope_rad)}
        if fitting:
            best, uneven = max(fitting, key=lambda t: t[0].margin_m or 0.0)
            note = because("kept-to-level-floor", **_asking(answer), **off, survey=self._survey)
            return Settled(best, uneven, (note, *self._unsurveyed(best, self.under(best))))
        note = because("roomiest-on-uneven-floor", **_asking(answer), **off)
        return Settled(self._without(answer, asked), rough[0], (note,))

    def rough_for(self, settled: Settled) -> tuple[Unfloor, ...]:
        """The floor that the answer's card must keep clear of at other places, too, so that it stays servable."""
        answer = settled.answer
        asked = answer.cards[0].floor_level
        found = self.under(answer) if answer.fits is Fits.YES else None
        if settled.uneven or asked is None or found is None:
            return settled.uneven
        width = self._width(asked)
        return self._outside(answer.cards[0], (found.lowest_m + found.highest_m - width) / 2, width)

    def under(self, answer: Answer) -> Level | None:
        """How level the floor is under what the card names at the answer's stance; None where it is not known."""
        return self.floor.level(self._standing(answer))

    def _standing(self, answer: Answer) -> list[Outline]:
        asked = answer.cards[0].floor_level
        over = () if asked is None else named_over(answer.cards[0], asked.over)
        place = answer.place
        if asked is None or place is None:
            return []
        on_decks = answer.height_m > 0.0
        return [
            at_place(c.outline, place)
            for c in answer.claims
            if (c.ref in over or (not over and c.needs == "stand" and c.role in ("zone", "wheel")))
            and not (on_decks and c.role == "wheel")
        ]

    def _width(self, asked: FloorLevel) -> float:
        whole = float(self.floor.heights.max() - self.floor.heights.min()) + 1e-6
        return whole if asked.within_m is None else asked.within_m

    def _rough(self, card: Procedure, width_m: float) -> Iterator[tuple[Unfloor, ...]]:
        """The floor outside each band of heights, bands from the lowest to the highest point."""
        low, high = float(self.floor.heights.min()), float(self.floor.heights.max())
        step = width_m / STEPS
        for number in range(max(1, math.ceil((high - low - width_m) / step) + 1)):
            yield self._outside(card, low + number * step, width_m)

    def _outside(self, card: Procedure, low_m: float, width_m: float) -> tuple[Unfloor, ...]:
        asked = card.floor_level
        assert asked is not None
        steepest = math.inf if asked.within_rad is None else math.tan(asked.within_rad)
        band = floor_between(self.floor, low_m, width_m, self.site.outline, steepest)
        return uneven_floor(Ref("uneven", card.key), band.uneven, named_over(card, asked.over))

    def _without(self, answer: Answer, asked: FloorLevel) -> Answer:
        """The answer that nothing fits on level floor.

        Proven if nothing does within bands wider by a step either: any heights that differ by so much lie in one.
        """
        width = self._width(asked)
        proven = asked.within_rad is None and not any(
            any_fit(answer.grounds, answer.vehicle, answer.cards, answer.support, uneven=u) is not Fits.NO
            for u in self._rough(answer.cards[0], width * STEPS / (STEPS - 1))
        )
        return evolve(
            answer,
            fits=Fits.NO if proven else Fits.UNDECIDED,
            place=None,
            nearest_miss=answer.place,
            margin_m=None,
            free_m=None,
            bound_m=None,
            touches=(),
            because=(because("no-level-floor", **_asked(asked), survey=self._survey),),
        )

    def _unsurveyed(self, answer: Answer, found: Level | None) -> Iterator[Reason]:
        if found is None:
            yield because("stance-floor-not-surveyed", **_asking(answer))
        elif found.unknown_m2 > 0.0:
            yield because("stance-floor-partly-surveyed", **_asking(answer))

    @property
    def _survey(self) -> Ref:
        return Ref("survey", self.survey.name)


def _asking(answer: Answer) -> dict[str, Value]:
    """Which answer a note is about."""
    return {"card": answer.name, "support": Term(answer.support)}


def _kept(found: Level, asked: FloorLevel) -> bool:
    flat = asked.within_m is None or found.difference_m <= asked.within_m
    return flat and (asked.within_rad is None or found.slope_rad <= asked.within_rad)


def _asked(asked: FloorLevel) -> dict[str, Value]:
    """What a card asks of the floor, as far as it does."""
    within: dict[str, Value] = {} if asked.within_m is None else {"within": Length(asked.within_m)}
    return within if asked.within_rad is None else {**within, "slope": Angle(asked.within_rad)}


def asks_level(cards: Sequence[Procedure]) -> bool:
    """Whether any of the cards asks anything of the floor's level."""
    return any(card.floor_level is not None for card in cards)
