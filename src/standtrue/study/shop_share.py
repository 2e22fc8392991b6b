"""What a shop can do of the work that its room holds: what it lacks, what stops the car, and what getting it wins.

Everything here is counting, as in `tally`: what was found of each card of each car comes in. A card counts only if it
fits, if what was found of it there is a yes, and if the shop lacks nothing that the card asks for. So the share of the
shop is never above that of the room, and getting something never lowers it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from standtrue.model.fits import Fits
from standtrue.model.reason import Reason
from standtrue.study.tally import Share, Table, Tally, Task, TaskNeed, fits, need_met, tally, total


@frozen
class Found:
    """What was found of a card that fits: whether it can be done, were all that it lacks there; and why not."""

    fit: Fits
    why: tuple[Reason, ...] = ()


Able = Mapping[tuple[str, str], Found]
"""By car and card, for those that fit in the room."""

Lacks = Mapping[str, tuple[Reason, ...]]
"""By card: each thing that it asks for and that the shop lacks."""


@frozen
class Loss:
    """Why work that the room holds is not done: the orders a year lost by it, and those that nothing else stops."""

    why: Reason
    lost: float
    alone: float
    cards: tuple[str, ...]
    cars: tuple[str, ...]


@frozen
class Gain:
    """What getting things that the shop lacks wins: orders a year, and the share then."""

    lacks: tuple[Reason, ...]
    won: float
    whole: Share


@frozen
class ShopTally:
    """The work of a year that a shop can do in a room; why it cannot do the rest; and what getting things wins."""

    tally: Tally
    losses: tuple[Loss, ...]
    gains: tuple[Gain, ...]


def shop_tally(tasks: Sequence[Task], room: Table, able: Able, lacks: Lacks) -> ShopTally:
    """Weigh the tasks by what the shop can do."""
    now = _table(room, able, lacks)
    told = tally(tasks, now)
    return ShopTally(told, tuple(_losses(tasks, room, now, able, lacks)), tuple(_gains(tasks, room, able, lacks, told)))


def _table(room: Table, able: Able, lacks: Lacks) -> Table:
    """The room's table with only what the shop can do; a card that is not yes on any support stays as it is."""
    return {
        (car, card): told
        if (car, card) not in able
        else tuple((s, fit if fit is not Fits.YES else _done(able[car, card], lacks.get(card, ()))) for s, fit in told)
        for (car, card), told in room.items()
    }


def _done(found: Found, lacks: tuple[Reason, ...]) -> Fits:
    return Fits.NO if lacks else found.fit


def _losses(tasks: Sequence[Task], room: Table, now: Table, able: Able, lacks: Lacks) -> list[Loss]:
    """Why what fits is not done, the most work lost first."""
    lost: dict[Reason, list[tuple[Task, bool, set[str]]]] = {}
    for task in tasks:
        unmet = [n for n in task.needs if need_met(now, task.car, n) is not Fits.YES]
        if not unmet or any(need_met(room, task.car, n) is not Fits.YES for n in task.needs):
            continue
        why: dict[Reason, set[str]] = {}
        for need in unmet:
            for card in _tried(room, now, task.car, need):
                found = able[task.car, card]
                for reason in (*lacks.get(card, ()), *(found.why if found.fit is not Fits.YES else ())):
                    why.setdefault(reason, set()).add(card)
        for reason, cards in why.items():
            lost.setdefault(reason, []).append((task, len(why) == 1, cards))
    found_losses = [
        Loss(
            reason,
            total(t.per_year for t, _, _ in stopped),
            total(t.per_year for t, alone, _ in stopped if alone),
            tuple(sorted(set().union(*(cards for _, _, cards in stopped)))),
            tuple(sorted({t.car for t, _, _ in stopped})),
        )
        for reason, stopped in lost.items()
    ]
    return sorted(found_losses, key=lambda loss: (-loss.lost, loss.why.code, repr(loss.why)))


def _tried(room: Table, now: Table, car: str, need: TaskNeed) -> Iterator[str]:
    """The cards that are not done of the first option that fits."""
    option = next(o for o in need.options if all(fits(room, car, card) is Fits.YES for card in o))
    return (card for card in option if fits(now, car, card) is not Fits.YES)


def _gains(tasks: Sequence[Task], room: Table, able: Able, lacks: Lacks, told: Tally) -> list[Gain]:
    """What each thing that is lacking would win if it were there, and all of them together; the most first."""
    things = list(dict.fromkeys(thing for own in lacks.values() for thing in own))
    found = []
    for got in [(thing,) for thing in things] + ([tuple(things)] if len(things) > 1 else []):
        left = {card: tuple(r for r in own if r not in got) for card, own in lacks.items()}
        then = tally(tasks, _table(room, able, left)).whole
        if then.done > told.whole.done:
            found.append(Gain(got, then.done - told.whole.done, then))
    return sorted(found, key=lambda gain: (-gain.won, len(gain.lacks), repr(gain.lacks)))
