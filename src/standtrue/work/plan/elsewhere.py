"""Other places for what no way was found to: the roomiest place may be one that no car comes to."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.drive.question.answer import End
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.place.engine import best_stance
from standtrue.place.question.answer import Answer
from standtrue.work.drive.arrivals import goal_of, other_stances
from standtrue.work.plan.operations import Draft
from standtrue.work.plan.ordered import Ordered
from standtrue.work.plan.question import JobQuestion
from standtrue.work.plan.stances import Candidate, Candidates


def with_others(question: JobQuestion, candidates: Candidates, ordered: Ordered) -> Candidates:
    """The candidates, and for each thing left out since no way was found to its places another place, with a way to it.

    The same where there is none; once stopped, those found by then.
    """
    left = [u.draft for u in ordered.undone if "no-way-to-place" in {why.code for why in u.ruled_out_by}]
    found = tuple(Candidate(place, ()) for place in dict.fromkeys(_reached(question, left)))
    return candidates.pooled([Candidates(candidates.cards, found)]) if found else candidates


def _reached(question: JobQuestion, drafts: list[Draft]) -> Iterator[Place]:
    """For each operation and class of support the first other stance that is reached, if any."""
    served: list[tuple[object, ...]] = []
    for draft in drafts:
        card = draft.card
        if card is None or question.asking.stopped():
            continue
        alike = (card.supports, card.lift_height_m, card.wheels_on, card.zones, card.targets, card.variants)
        if alike in served:
            continue
        served.append(alike)
        for support in card.all_supports:
            rough = question.floors.uneven.get((card.key, support), ())
            answer = best_stance(Grounds(question.site), question.needs.vehicle, [card], support, uneven=rough)
            tried = (other for other in _others(answer) if not question.asking.stopped() and _comes(question, other))
            first = next(tried, None)
            if first is not None and first.place is not None:
                yield first.place


def _others(answer: Answer) -> tuple[Answer, ...]:
    return other_stances(answer) if answer.fits is Fits.YES else ()


def _comes(question: JobQuestion, answer: Answer) -> bool:
    """Whether a quick search finds a way to a stance from any door."""
    goal = goal_of(answer)
    return any(question.paths.find(End(door=d.name), goal, "drive").found for d in question.site.doors)
