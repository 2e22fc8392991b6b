"""Whether the car can get from a door to where it fits; where it cannot, another stance that fits and that it can."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from attrs import evolve, field, frozen, mutable

from standtrue.drive.engine import drive
from standtrue.drive.question.answer import Answer as Way
from standtrue.drive.question.answer import End
from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import Fault, Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Unfloor
from standtrue.model.reason import Ref, because
from standtrue.model.site import Bay, Site, equipment_of
from standtrue.model.stance import FLOOR, Carrier, lift_at_rest, lift_state
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import region
from standtrue.place.margin.measure import better_side, measure
from standtrue.place.margin.ways import Question, ways
from standtrue.place.question.answer import FIT_M, PARALLEL_RAD, Answer
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.drive.drives import Driven

HEADINGS = 12
"""At how many more headings other stances are looked for, beside the best one's own and the opposite one."""

OTHERS = 6
"""How many other stances are tried, those of the widest margin first."""

APART_M, APART_RAD = 0.5, math.radians(20.0)
"""Stances nearer than this to one that was tried are not worth another trial."""


@frozen(eq=False)
class Reached:
    """Whether and how the car gets to a stance of `answer`.

    `answer` is the one asked about at the stance that was chosen or, where that cannot be reached, with another stance
    that can (`best` is then false). `way` is the quickest found, from `door`; `tried` counts stances. `taken` names
    equipment that must be taken from its store before the car comes.
    """

    answer: Answer
    door: str
    way: Way
    start: End
    goal: End
    best: bool = True
    tried: int = 1
    taken: tuple[str, ...] = ()
    bay: Bay | None = None

    @property
    def driven(self) -> Driven:
        """The move by itself."""
        return Driven(self.answer.ground.site, self.answer.vehicle, self.start, self.goal, self.way)


@mutable(eq=False)
class Reaching:
    """Finds ways from the doors named to stances of one car in one site or bay; the same way is looked for once."""

    site: Site
    vehicle: Vehicle
    doors: Sequence[str]
    bay: Bay | None = None
    asking: Asking = Asking()
    _known: dict[object, tuple[str, Way]] = field(factory=dict)

    def reach(self, answer: Answer) -> Reached | None:
        """None where nothing fits, so that there is nowhere to go."""
        if answer.fits is not Fits.YES or answer.place is None:
            return None
        best = self._to(answer.stands)
        if best.way.found:
            return best
        others = other_stances(answer)
        for number, other in enumerate(others, start=2):
            if self.asking.stopped():
                return evolve(best, tried=number - 1)
            found = self._to(other)
            if found.way.found:
                return evolve(found, best=False, tried=number)
        return evolve(best, tried=1 + len(others))

    def _to(self, answer: Answer) -> Reached:
        goal = goal_of(answer)
        door, way = self._quickest(goal, frozenset())
        taken: tuple[str, ...] = ()
        in_use = equipment_in_use(answer)
        if not way.found and in_use:
            other_door, other = self._quickest(goal, in_use)
            if other.found:
                door, way, taken = other_door, other, tuple(sorted(in_use))
        return Reached(answer, door, way, End(door=door), goal, taken=taken, bay=self.bay)

    def _quickest(self, goal: End, in_use: frozenset[str]) -> tuple[str, Way]:
        """The quickest way from any of the doors; where there is none, what came nearest to an answer."""
        key = (goal, in_use)
        if key not in self._known:
            found = [(door, self._drive(End(door=door), goal, in_use)) for door in self.doors]
            self._known[key] = min(found, key=lambda f: (not f[1].found, f[1].proven, f[1].seconds[0]))
        return self._known[key]

    def _drive(self, start: End, goal: End, in_use: frozenset[str]) -> Way:
        stopped = self.asking.stopped
        return drive(self.site, self.vehicle, start, goal, bay=self.bay, in_use=in_use, hopeless=stopped)


def reached_from(
    answers: Sequence[Answer],
    site: Site,
    vehicle: Vehicle,
    doors: Sequence[str] | None,
    bay: Bay | None = None,
    asking: Asking = Asking(),
) -> tuple[Reached | None, ...]:
    """For each answer whether the car can be driven there from one of `doors`, any of the site's if none is named.

    Stopped early, the ways found by then. Raises UnansweredError if the site has no door, or not one of these.
    """
    known = {d.name: d for d in site.doors}
    if not known:
        what, remedy = because("site-without-door", site=Ref("site", site.name)), because("add-door")
        raise UnansweredError([Fault("no-such-door", what, "", "--reach", "", remedy)])
    chosen = [pick("door", name, known, "--door").name for name in doors or known]
    reaching = Reaching(site, vehicle, chosen, bay, asking)
    found: list[Reached | None] = []
    for number, answer in enumerate(answers, start=1):
        if asking.stopped():
            break
        found.append(reaching.reach(answer))
        asking.tell(Progress(because("way-to-be-found", stance=answer.name), number, len(answers)))
    return (*found, *(None for _ in answers[len(found) :]))


def goal_of(answer: Answer) -> End:
    """The end of a move to an answer's stance: on a lift in the state that it is driven onto, raised afterwards."""
    return end_at(answer.place, answer.carrier or FLOOR, answer.ground.site)


def end_at(place: Place | None, carrier: Carrier, site: Site) -> End:
    """The same, of a place and what carries the car there."""
    if carrier.lift is None:
        return End(place)
    _, state = lift_state(carrier, site)
    return End(place, carrier if state.drive_on else lift_at_rest(site.lift(carrier.lift)))


def equipment_in_use(answer: Answer) -> frozenset[str]:
    """The equipment that the cards use: it may be taken from its store before the car comes."""
    wanted = {name for c in answer.forms for name in (*c.equipment, *(t.equipment for t in c.targets))}
    found = (equipment_of(name, answer.ground.site.equipment) for name in wanted)
    return frozenset(e.name for e in found if e is not None)


def other_stances(answer: Answer) -> tuple[Answer, ...]:
    """The same answer at other stances that fit, apart from one another: those along the chosen one's line first, then
    the widest margin."""
    answer = answer.stands
    assert answer.place is not None
    own = answer.place.heading_rad
    headings = [own + math.pi, own, *(own + math.tau * (k + 0.5) / HEADINGS for k in range(HEADINGS))]
    candidates = [
        measured
        for cut in region(answer, headings, uneven=_uneven(answer))
        for x, y in _middles(cut.polygons)
        if (measured := _measured(answer, Place(x, y, math.remainder(cut.heading_rad, math.tau)))) is not None
    ]
    candidates.sort(key=lambda a: (not _along(answer.place, a.place), -(a.margin_m or 0.0)))
    chosen = [answer]
    for one in candidates:
        if len(chosen) <= OTHERS and all(_apart(one.place, other.place) for other in chosen):
            chosen.append(one)
    return tuple(chosen[1:])


def _uneven(answer: Answer) -> tuple[Unfloor, ...]:
    """The floor that the answer's stance was kept clear of, since it is not level enough for its cards."""
    return tuple(area for area in answer.ground.unfloor if area.kind == "uneven")


def _middles(
    polygons: Sequence[tuple[Sequence[tuple[float, float]], Sequence[Sequence[tuple[float, float]]]]],
) -> Iterator[tuple[float, float]]:
    """The roomiest point of each polygon."""
    for outer, holes in polygons:
        shape = shapely.Polygon(outer, holes)
        line = shapely.maximum_inscribed_circle(shape, 0.05)
        x, y = shapely.get_coordinates(line)[0] if not line.is_empty else shapely.get_coordinates(shape)[0]
        yield float(x), float(y)


def _measured(answer: Answer, place: Place) -> Answer | None:
    """The answer with its stance at `place`: of the ways that allow it, the one of the widest margin; None if none."""
    question = Question(answer.grounds, answer.vehicle, answer.cards, answer.support, _uneven(answer))
    best: Answer | None = None
    for way in ways(question, answer.doors_open, []):
        if way.carried_by != answer.carried_by or way.variants != answer.variants or not way.allows(place.heading_rad):
            continue
        side = better_side(way.pairs, way.origins, place)
        margin, touches, free = measure(way.pairs, way.origins, side, place)
        if margin >= FIT_M and (best is None or margin > (best.margin_m or 0.0)):
            claims = tuple(c for c in way.claims if c.role != "exit" or c.side == side)
            best = evolve(answer, place=place, margin_m=margin, free_m=free, touches=touches, claims=claims)
    return best


def _along(one: Place | None, two: Place | None) -> bool:
    """Whether a car stands along the same line at both, either way round."""
    assert one is not None
    assert two is not None
    return abs(math.remainder(one.heading_rad - two.heading_rad, math.pi)) <= PARALLEL_RAD


def _apart(one: Place | None, two: Place | None) -> bool:
    assert one is not None
    assert two is not None
    turn = abs(math.remainder(one.heading_rad - two.heading_rad, math.tau))
    return math.dist((one.x_m, one.y_m), (two.x_m, two.y_m)) >= APART_M or turn >= APART_RAD
