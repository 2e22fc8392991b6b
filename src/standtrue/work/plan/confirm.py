"""Every stance of a plan measured again by general geometry, before the plan is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.order import OUTSIDE, Choice, Problem, Turn
from standtrue.model.procedure import Procedure
from standtrue.model.site import Site
from standtrue.model.stance import support_class
from standtrue.model.vehicle import Vehicle
from standtrue.place.margin.measure import better_side, in_view, measure
from standtrue.place.margin.ways import Question, Way, ways
from standtrue.place.question.answer import FIT_M, Answer
from standtrue.work.plan.floors import Floors
from standtrue.work.plan.stances import Candidate

Stances = Mapping[tuple[int, Choice], Answer]
"""By operation and the way it is done."""


def confirm(
    site: Site,
    vehicle: Vehicle,
    cards: Sequence[Procedure],
    problem: Problem,
    places: Sequence[Candidate],
    orders: Iterable[Sequence[Turn]],
    floors: Floors,
) -> dict[tuple[int, Choice], Answer]:
    """The answer of `place` for each operation of these orders that needs a place, at the place that the plan gives it.

    Raises RuntimeError if one does not fit there after all.
    """
    grounds = Grounds(site)
    by_name = {card.key: card for card in cards}
    found: dict[tuple[int, Choice], Answer] = {}
    for number, choice in dict.fromkeys((turn.operation, turn.choice) for order in orders for turn in order):
        card = by_name.get(problem.operations[number].name)
        if card is None or choice.stand is None or choice.stand.place == OUTSIDE:
            continue
        place = places[choice.stand.place - 1].place
        support = support_class(choice.stand.carrier, site)
        question = Question(grounds, vehicle, (card,), support, tuple(floors.uneven.get((card.key, support), ())))
        answers = list(_answers(question, choice, place))
        best = max(answers, key=lambda a: a.margin_m or 0.0, default=None)
        if best is None or best.margin_m is None or best.margin_m < FIT_M:
            raise RuntimeError(f"{card.key} does not fit where the plan puts it")
        found[number, choice] = floors.level.noted(best)
    return found


def _answers(question: Question, choice: Choice, place: Place) -> Iterator[Answer]:
    """One for each way that is carried so and in this variant: arms can be dealt out in several."""
    assert choice.stand is not None
    wanted = (choice.stand.carrier, (choice.variant,))
    for way in ways(question, choice.doors_open, []):
        if (way.carrier, way.variants[:1]) == wanted and not way.blocked:
            yield _answer(question, way, place)


def _answer(question: Question, way: Way, place: Place) -> Answer:
    side = better_side(way.pairs, way.origins, place)
    margin, touches, free = measure(way.pairs, way.origins, side, place)
    return Answer(
        question.cards,
        question.vehicle,
        question.grounds,
        way.ground,
        question.support,
        way.carrier,
        way.ground.doors_open,
        way.variants,
        Fits.YES,
        margin,
        margin,
        free,
        place,
        touches=touches,
        in_view=tuple(in_view(way.claims, way.ground, place)),
        claims=tuple(c for c in way.claims if c.role != "exit" or c.side == side),
    )
