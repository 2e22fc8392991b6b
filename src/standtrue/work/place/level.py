"""How level the floor is under stances, by the survey that the folder holds of the site.

Level is a second answer beside whether a stance fits. Whoever tells of a stance's level asks here, and here asks
`judge_level`: so all say the same of one stance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve

from standtrue.aim.conformity import Tested
from standtrue.aim.floor import SurveyedFloor
from standtrue.aim.floor_level import Judged, judge_level
from standtrue.aim.surveyed import Surveyed, read_survey
from standtrue.model.basics import Fault, Place
from standtrue.model.level import IsLevel, LevelTold
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Angle, Length, Reason, Ref, Term, because
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.survey import Survey
from standtrue.model.vehicle import WHEELS, Vehicle
from standtrue.model.verdict import Verdict
from standtrue.place.many.shared import Shared
from standtrue.place.question.answer import Answer
from standtrue.work.ask import UnansweredError

NOT_SURVEYED = because("floor-not-surveyed")


def survey_of(shop: Shop, site: Site) -> tuple[Survey | None, Reason | None]:
    """The one survey of the site, if there is just one, or why none was used. Other sites' surveys are not touched."""
    found = [shop.surveys[name] for name, survey in shop.written.surveys.items() if survey.site == site.name]
    if len(found) > 1:
        return None, because("several-surveys", surveys=len(found), site=Ref("site", site.name))
    return (found[0], None) if found else (None, None)


def surveyed(survey: Survey) -> Surveyed:
    """The floor of a survey, and what of it looks misread. Raises UnansweredError where its points make none."""
    try:
        return read_survey(survey)
    except ValueError:
        what = because("survey-too-small", survey=Ref("survey", survey.name))
        fault = Fault("survey-too-small", what, "", f"survey {survey.name}", "", because("survey-three-points"))
        raise UnansweredError([fault]) from None


def level_floors(shop: Shop, site: Site, cards: Sequence[Procedure]) -> LevelFloors:
    """The site's floor by its survey, which is looked up only where a card asks for level floor."""
    if not any(card.floor_level is not None for card in cards):
        return LevelFloors(None, site)
    survey, unused = survey_of(shop, site)
    return LevelFloors(survey, site, unused)


class LevelFloors:
    """The floor of a site by its one survey, and how level it is under stances.

    `unused` is why a survey that there is was not used. Raises UnansweredError as `surveyed` does.
    """

    def __init__(self, survey: Survey | None, site: Site, unused: Reason | None = None) -> None:
        self.survey = survey
        self.site = site
        self.unused = unused
        self.read = None if survey is None else surveyed(survey)
        self.floor = None if self.read is None else self.read.floor

    def judged(self, card: Procedure, vehicle: Vehicle, place: Place, height_m: float = 0.0) -> Judged | None:
        """The floor under a stance as `judge_level` has it; None without a survey, or if the card asks nothing."""
        if self.read is None:
            return None
        return judge_level(self.read.floor, card, vehicle, place, height_m, self.read.doubtful)

    def told(self, card: Procedure, vehicle: Vehicle, place: Place, height_m: float = 0.0) -> LevelTold | None:
        """Whether a stance is as level as its card, in the form that is met, asks; None where it asks nothing."""
        if card.floor_level is None:
            return None
        judged = self.judged(card, vehicle, place, height_m)
        if judged is None or self.survey is None or self.read is None:
            return LevelTold(IsLevel.CANNOT_TELL, (self.unused or NOT_SURVEYED,))
        why = _why(judged, self.read.floor, Ref("survey", self.survey.name))
        return LevelTold(IsLevel.of(judged.verdict), tuple(why))

    def noted(self, answer: Answer) -> Answer:
        """An answer with the level of its stance told, and of the one chosen; one without a stance has none."""
        if answer.place is None:
            return answer
        each = [self.told(form, answer.vehicle, answer.place, answer.height_m) for form in answer.forms]
        chosen = answer.chosen
        return evolve(
            answer,
            level=_together([told for told in each if told is not None]),
            chosen=None if chosen is None else evolve(chosen, at=self.noted(chosen.at)),
        )

    def noted_shared(self, shared: Shared, vehicle: Vehicle) -> Shared:
        """Shared places with the level of each use told."""
        places = tuple(
            evolve(p, uses=tuple(evolve(u, level=self.told(u.form, vehicle, p.place, u.height_m)) for u in p.uses))
            for p in shared.places
        )
        return evolve(shared, places=places)


def _together(each: Sequence[LevelTold]) -> LevelTold | None:
    """The level of one stance for several cards: met only where it is for each."""
    if not each:
        return None
    overall = Verdict.overall([told.level.verdict for told in each])
    return LevelTold(IsLevel.of(overall), tuple(dict.fromkeys(r for told in each for r in told.because)))


def point_told(floor: SurveyedFloor, number: int) -> Reason:
    """Which point of a survey: its name or its number, from 1, and where it is."""
    point = floor.points[number]
    x, y = map(Length, point.at)
    return because("survey-point", name=point.name or str(number + 1), x=x, y=y)


def _why(judged: Judged, floor: SurveyedFloor, survey: Ref) -> Iterator[Reason]:
    """By how much, of how much, known to what; what was not surveyed, and what looks misread."""
    if judged.doubtful:
        points = tuple(point_told(floor, number) for number in judged.doubtful)
        yield because("level-rests-on-doubtful", points=points, survey=survey)
    for tested, of_slope in ((judged.difference, False), (judged.slope, True)):
        if tested is not None:
            yield _tested(tested, of_slope, survey)
    if judged.level is not None and judged.level.sparse:
        yield because("level-taken-straight", apart=Length(judged.level.apart_m), survey=survey)
    if judged.unknown and judged.level is None:
        yield because("level-nothing-surveyed", survey=survey)
    elif judged.unknown:
        parts = tuple(Term(p) if p in WHEELS else Ref("zone", p) for p in judged.unknown)
        yield because("floor-partly-unsurveyed", parts=parts)


_CODES: dict[tuple[bool, Verdict], str] = {
    (False, Verdict.ACCEPT): "height-level",
    (False, Verdict.REJECT): "height-not-level",
    (False, Verdict.CANNOT_TELL): "height-perhaps-level",
    (True, Verdict.ACCEPT): "slope-level",
    (True, Verdict.REJECT): "slope-not-level",
    (True, Verdict.CANNOT_TELL): "slope-perhaps-level",
}


def _tested(tested: Tested, of_slope: bool, survey: Ref) -> Reason:
    """What was measured, what is asked and how well it is known, by a survey."""
    quantity = Angle if of_slope else Length
    off, within, u = quantity(tested.value), quantity(tested.high), quantity(tested.u)
    return because(_CODES[of_slope, tested.verdict], off=off, within=within, u=u, survey=survey)
