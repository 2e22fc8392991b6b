"""What would make room for what a plan leaves out, where the car can then come to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from attrs import evolve

from standtrue.drive.question.answer import End
from standtrue.model.asking import Asking
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.site import Site
from standtrue.model.stance import lift_at_rest
from standtrue.place.change.remedies import KINDS, Remedies, Remedy, changed, find_remedies
from standtrue.place.engine import best_stance
from standtrue.place.question.answer import Answer
from standtrue.work.needs.jobs import Needs
from standtrue.work.plan.floors import Floors
from standtrue.work.plan.moves import Paths
from standtrue.work.plan.ordered import Undone

MOST_LOOKED_AT = 4
"""Of so many changes that make room it is asked whether the car can then come in; the first with a way is told."""


class Asked(Protocol):
    """What is asked of one job in one site."""

    @property
    def needs(self) -> Needs: ...
    @property
    def site(self) -> Site: ...
    @property
    def floors(self) -> Floors: ...
    @property
    def asking(self) -> Asking: ...


def would_help(ask: Asked, undone: Undone) -> Undone:
    """The same with what stops it at each support class, where nothing else was said, and the least that helps.

    A change that makes room is told as help only if, the change made, a way from a door to a stance that then fits was
    found.
    """
    card = undone.draft.card
    if card is None or undone.ruled_out_by or undone.waits_for or ask.asking.stopped():
        return undone
    told = []
    for support in card.all_supports:
        rough = ask.floors.uneven.get((card.key, support), ())
        known = ask.floors.even.get((card.key, support))
        answer = known or best_stance(Grounds(ask.site), ask.needs.vehicle, [card], support, uneven=rough)
        told.append((answer, find_remedies(answer, uneven=rough, amounts=False, stopped=ask.asking.stopped)))
    tried = list(_in_turn(told))[:MOST_LOOKED_AT]
    least = next((r for answer, r in tried if _comes_in(ask, answer, r)), None)
    shut_in = bool(tried) and least is None and not ask.asking.stopped()
    return evolve(undone, answers=tuple(told), least=least, shut_in=shut_in)


def _in_turn(told: Sequence[tuple[Answer, Remedies]]) -> Iterator[tuple[Answer, Remedy]]:
    """Every single change with the answer that it is for, the cheapest kinds first."""
    every = [(a, r) for a, remedies in told if a.fits is Fits.NO for r in remedies.single]
    return iter(sorted(every, key=lambda one: KINDS.index(one[1].kind)))


def _comes_in(ask: Asked, answer: Answer, remedy: Remedy) -> bool:
    """Whether a way is found from a door to where it fits, once this is changed. Without doors nobody asks."""
    if ask.asking.stopped():
        return False
    site, card = changed(ask.site, remedy), answer.cards[0]
    rough = ask.floors.uneven.get((card.key, answer.support), ())
    found = best_stance(Grounds(site), answer.vehicle, [card], answer.support, uneven=rough).stands
    if found.place is None or found.carrier is None:
        return False
    lift = found.carrier.lift
    place = End(found.place) if lift is None else End(found.place, lift_at_rest(site.lift(lift)))
    paths = Paths(site, answer.vehicle)
    return not site.doors or any(paths.find(End(door=d.name), place, "drive").found for d in site.doors)
