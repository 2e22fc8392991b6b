"""The year's work weighed: which of it can be finished, by card, by car, by order, and what stops the rest.

Everything here is counting: what fits where comes in as a table. A task is one kind of repair order on one car. It
is finished here if each of its needs is: one of the need's options, with every card of that option fitting on some
support. Weights are orders a year, so shares are of orders, not of cars or of cards.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from attrs import frozen

from standtrue.model.basics import SUPPORT_CLASSES, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.reason import Ref

CardFit = tuple[tuple[SupportClass, Fits], ...]
"""What any-fit says of one card for one car, support by support."""

Table = Mapping[tuple[str, str], CardFit]
"""By car and card, where every car and card of a task is."""


@frozen
class TaskNeed:
    """One thing to calibrate: `options` are sets of cards, any of which would do; () where no card covers it."""

    what: Ref
    options: tuple[tuple[str, ...], ...]

    @property
    def stopper(self) -> Ref:
        """What is named where the need cannot be met: the first option's last card, or the thing itself."""
        return Ref("card", self.options[0][-1]) if self.options and self.options[0] else self.what


@frozen
class Task:
    """One kind of repair order on one car, so many times a year."""

    order: str
    car: str
    per_year: float
    needs: tuple[TaskNeed, ...]

    @property
    def cards(self) -> tuple[str, ...]:
        """Every card that any option of any need names, each once."""
        return tuple(dict.fromkeys(card for need in self.needs for option in need.options for card in option))


@frozen
class Share:
    """How much of something is done: `done` and `of`, orders a year."""

    name: str
    done: float
    of: float

    @property
    def share(self) -> float:
        """From 0 to 1; 1 of nothing."""
        return self.done / self.of if self.of > 0.0 else 1.0


@frozen
class Stop:
    """A card that does not fit, or something to calibrate that no card covers (`no_card`).

    `lost` are the orders a year that it stops, alone or with others; `alone` those that nothing else stops; `cars` the
    cars that it stops.
    """

    what: Ref
    no_card: bool
    lost: float
    alone: float
    cars: tuple[str, ...]


@frozen
class CardShare:
    """For one card the share of its work that fits, on any support and on each."""

    card: str
    any_support: Share
    supports: tuple[tuple[SupportClass, Share], ...]


@frozen
class Tally:
    """The work of a year in one room."""

    whole: Share
    by_order: tuple[Share, ...]
    by_car: tuple[Share, ...]
    by_card: tuple[CardShare, ...]
    stops: tuple[Stop, ...]
    undecided: float
    """Orders a year that hang on a question left undecided: counted as not done."""


def fits(table: Table, car: str, card: str) -> Fits:
    """Whether a card fits for a car on some support."""
    return Fits.any_of([fit for _, fit in table[car, card]])


def need_met(table: Table, car: str, need: TaskNeed) -> Fits:
    """Whether one of a need's options fits with all its cards."""
    return Fits.any_of([_all_of([fits(table, car, card) for card in option]) for option in need.options])


def _all_of(verdicts: Sequence[Fits]) -> Fits:
    if any(fit is Fits.NO for fit in verdicts):
        return Fits.NO
    return Fits.UNDECIDED if any(fit is Fits.UNDECIDED for fit in verdicts) else Fits.YES


def tally(tasks: Sequence[Task], table: Table) -> Tally:
    """Weigh a year's tasks by what fits."""
    met = [[need_met(table, task.car, need) for need in task.needs] for task in tasks]
    done = [all(m is Fits.YES for m in found) for found in met]
    hanging = [not d and all(m is not Fits.NO for m in found) for d, found in zip(done, met, strict=True)]
    return Tally(
        Share(
            "all", total(t.per_year for t, d in zip(tasks, done, strict=True) if d), total(t.per_year for t in tasks)
        ),
        _shares([(t.order, t.per_year, d) for t, d in zip(tasks, done, strict=True)]),
        _shares([(t.car, t.per_year, d) for t, d in zip(tasks, done, strict=True)]),
        tuple(_card_shares(tasks, table)),
        tuple(_stops(tasks, met)),
        total(t.per_year for t, h in zip(tasks, hanging, strict=True) if h),
    )


def won_back(tasks: Sequence[Task], before: Table, after: Table, stop: Stop | None = None) -> float:
    """Orders a year that are finished after a change and were not before; of those that one stop stopped, if given."""
    won = []
    for task in tasks:
        was = [need_met(before, task.car, need) for need in task.needs]
        if all(m is Fits.YES for m in was):
            continue
        stopped = [n.stopper for n, m in zip(task.needs, was, strict=True) if m is not Fits.YES]
        if stop is not None and stop.what not in stopped:
            continue
        if all(need_met(after, task.car, need) is Fits.YES for need in task.needs):
            won.append(task.per_year)
    return total(won)


def _card_shares(tasks: Sequence[Task], table: Table) -> Iterable[CardShare]:
    """By card: the orders that name it, and those for whose car it fits."""
    weights: dict[str, list[tuple[str, float]]] = {}
    for task in tasks:
        for card in task.cards:
            weights.setdefault(card, []).append((task.car, task.per_year))
    for card, found in sorted(weights.items()):
        of = total(w for _, w in found)
        somewhere = Share(card, total(w for car, w in found if fits(table, car, card) is Fits.YES), of)
        supports = []
        for support in SUPPORT_CLASSES:
            if any(support in dict(table[car, card]) for car, _ in found):
                fit = total(w for car, w in found if dict(table[car, card]).get(support) is Fits.YES)
                supports.append((support, Share(support, fit, of)))
        yield CardShare(card, somewhere, tuple(supports))


def _stops(tasks: Sequence[Task], met: Sequence[Sequence[Fits]]) -> list[Stop]:
    """What stops work, the most work lost first."""
    lost: dict[tuple[Ref, bool], list[tuple[Task, bool]]] = {}
    for task, found in zip(tasks, met, strict=True):
        unmet = (n for n, m in zip(task.needs, found, strict=True) if m is not Fits.YES)
        failing = {(n.stopper, not n.options): None for n in unmet}
        for key in failing:
            lost.setdefault(key, []).append((task, len(failing) == 1))
    stops = [
        Stop(
            what,
            no_card,
            total(t.per_year for t, _ in stopped),
            total(t.per_year for t, alone in stopped if alone),
            tuple(sorted({t.car for t, _ in stopped})),
        )
        for (what, no_card), stopped in lost.items()
    ]
    return sorted(stops, key=lambda s: (-s.lost, s.what.name, s.what))


def _shares(rows: Sequence[tuple[str, float, bool]]) -> tuple[Share, ...]:
    """One share for each name, in the order of first mention."""
    names = dict.fromkeys(name for name, _, _ in rows)
    return tuple(
        Share(n, total(w for name, w, done in rows if name == n and done), total(w for name, w, _ in rows if name == n))
        for n in names
    )


def total(values: Iterable[float]) -> float:
    """The same whatever the order: a study on many workers gives the same bytes."""
    return math.fsum(values)
