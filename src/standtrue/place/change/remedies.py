"""What would have to change in the shop for something to fit: the least of each change, or the cheapest pair."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations
from typing import Literal

from attrs import evolve, frozen

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.reason import Reason, Ref
from standtrue.model.site import Site
from standtrue.place.change.changes import (
    VOID_KINDS,
    Subject,
    moved,
    narrowness,
    outward,
    shrunk,
    subjects,
    taken_away,
    wall_moved,
)
from standtrue.place.change.translation import LIMIT_M, least_translation
from standtrue.place.change.trial import Trial, Tried
from standtrue.place.engine import any_fit
from standtrue.place.margin.ways import Question
from standtrue.place.question.answer import Answer

Action = Literal["move", "cover", "shrink", "remove"]
RemedyKind = Literal["movable", "cover", "obstacle", "void", "wall"]
KINDS: tuple[RemedyKind, ...] = ("movable", "cover", "obstacle", "void", "wall")
"""In the order in which they are told."""

LIMIT_MM = round(LIMIT_M * 1000)
ENOUGH_PAIRS = 2
MOST_PAIRS = 40
"""How many pairs of whole changes are asked for, at most."""


@frozen
class Remedy:
    """One change that makes room.

    `least_m` is the least amount, metres, rounded up to a whole millimetre where that can be done;
    None for what is closed, covered or taken away. `direction_rad` is that of a move, in the site frame.
    `exact`: nothing fits with 1 mm less, whatever the direction.
    """

    subject: Subject
    action: Action
    least_m: float | None = None
    direction_rad: float | None = None
    exact: bool = True

    @property
    def thing(self) -> Ref:
        return self.subject.thing

    @property
    def kind(self) -> RemedyKind:
        if self.action == "cover":
            return "cover"
        if self.subject.kind == "wall" or self.subject.kind == "void":
            return self.subject.kind
        return "movable" if self.subject.movable else "obstacle"


@frozen
class Remedies:
    """Every single change that makes room; where none does but to move a wall, pairs that do, the cheapest first.

    `complete` is False where a limit was reached: a least amount may then not be the least, or a pair be missing.
    `hopeless` says what no change of the shop can mend.
    """

    single: tuple[Remedy, ...] = ()
    pairs: tuple[tuple[Remedy, Remedy], ...] = ()
    complete: bool = True
    hopeless: tuple[Reason, ...] = ()


def find_remedies(answer: Answer, *, uneven: Sequence[Unfloor] = (), amounts: bool = True) -> Remedies:
    """The remedies for an answer that does not fit, for its cards and class of support.

    Every remedy has been asked of `any_fit` on the changed site. Empty if the answer fits or is undecided.
    Without `amounts` only what is closed, covered or taken away is told: soon, where the least of every move,
    shrinking and wall may take seconds.
    """
    if answer.fits is not Fits.NO:
        return Remedies()
    trial = Trial(Question(answer.grounds, answer.vehicle, answer.cards, answer.support, tuple(uneven)))
    if not trial.ways:
        return Remedies(hopeless=answer.because)
    if not amounts:
        wholes = [s for s in subjects(trial.site) if s.kind != "wall"]
        return Remedies(_sorted(_singles(trial, wholes, amounts)))
    single = _sorted(_singles(trial, tuple(subjects(trial.site))))
    complete = all(r.exact for r in single)
    if any(r.kind != "wall" for r in single):
        return Remedies(single, complete=complete)
    pairs, asked = _pairs(trial, walls=not single)
    return Remedies(single, pairs, complete and asked)


def changed(site: Site, remedy: Remedy, less_m: float = 0.0) -> Site:
    """The site with a remedy made, or with `less_m` less of it. Raises ValueError if a wall cannot move as far."""
    amount = (remedy.least_m or 0.0) - less_m
    if remedy.action in ("cover", "remove"):
        return taken_away(site, remedy.subject)
    if remedy.action == "shrink":
        return shrunk(site, remedy.subject, amount)
    if remedy.subject.kind == "wall":
        grown = wall_moved(site, remedy.subject, amount)
        if grown is None:
            raise ValueError(f"{remedy.thing} cannot move by {amount} m")
        return grown
    turn = remedy.direction_rad or 0.0
    return moved(site, remedy.subject, (amount * math.cos(turn), amount * math.sin(turn)))


def _singles(trial: Trial, candidates: Sequence[Subject], amounts: bool = True) -> list[Remedy]:
    """Every single remedy by one of the candidates, verified."""
    found = [r for subject in candidates for r in _remedies_by(trial, subject, amounts)]
    covered = {r.subject.void for r in found if r.action == "cover" and r.subject.kind == "cover"}
    kept = [r for r in found if not (r.subject.kind == "covers" and r.subject.void in covered)]
    return [r for r in kept if _verified(trial, r)]


def _verified(trial: Trial, remedy: Remedy) -> bool:
    question = trial.question
    grounds = Grounds(changed(trial.site, remedy), question.grounds.bay)
    return any_fit(grounds, question.vehicle, question.cards, question.support, uneven=question.uneven) is Fits.YES


def _remedies_by(trial: Trial, subject: Subject, amounts: bool = True) -> Iterator[Remedy]:
    """The remedies that one subject offers. What does not help when it is gone altogether does not help at all."""
    whole = _greatest(trial, subject)
    if whole is None:
        return
    away = subject.kind in ("obstacle", "equipment")
    tried = trial.fits_without(subject) if away else trial.fits(changed(trial.site, whole), (subject,))
    if tried.fits is not Fits.YES:
        return
    if not amounts:
        yield whole
    elif subject.kind == "wall":
        yield from _wall(trial, subject, whole)
    elif subject.kind in ("cover", "covers"):
        yield Remedy(subject, "cover")
    elif subject.kind == "void":
        yield from _void(trial, subject)
    elif subject.movable:
        yield from _move(trial, subject, tried)
        yield Remedy(subject, "remove")
    else:
        if subject.kind == "obstacle":
            yield from _shrink(trial, subject)
        yield Remedy(subject, "remove")


def _greatest(trial: Trial, subject: Subject) -> Remedy | None:
    """The greatest change of a subject. None if it cannot change."""
    if subject.kind in VOID_KINDS:
        return Remedy(subject, "cover")
    if subject.kind != "wall":
        return Remedy(subject, "remove")
    most = _most(lambda mm: wall_moved(trial.site, subject, mm / 1000) is not None, LIMIT_MM)
    x, y = outward(trial.site.outline, subject.edge)
    return Remedy(subject, "move", most / 1000, math.atan2(y, x)) if most > 0 else None


def _wall(trial: Trial, subject: Subject, whole: Remedy) -> Iterator[Remedy]:
    def fits(mm: int) -> bool:
        grown = wall_moved(trial.site, subject, mm / 1000)
        return grown is not None and trial.fits(grown, (subject,)).fits is Fits.YES

    least = _least(fits, round((whole.least_m or 0.0) * 1000))
    yield evolve(whole, least_m=least / 1000)


def _void(trial: Trial, subject: Subject) -> Iterator[Remedy]:
    void = next(v for v in trial.site.voids if v.name == subject.void)
    if not void.covers:
        yield Remedy(subject, "cover")
    yield from _shrink(trial, subject)


def _shrink(trial: Trial, subject: Subject) -> Iterator[Remedy]:
    """The least inward offset, unless nothing would be left."""
    most = math.ceil(narrowness(trial.site, subject) * 1000)

    def fits(mm: int) -> bool:
        return trial.fits(shrunk(trial.site, subject, mm / 1000), (subject,)).fits is Fits.YES

    least = _least(fits, most)
    if least < most:
        yield Remedy(subject, "shrink", least / 1000)


def _move(trial: Trial, subject: Subject, gone: Tried) -> Iterator[Remedy]:
    move = least_translation(trial, subject, gone)
    if move is None:
        return
    turn = math.atan2(move.by[1], move.by[0])

    def fits(length: float) -> bool:
        by = (length * math.cos(turn), length * math.sin(turn))
        return move.is_open(length) and trial.fits_moved(subject, by).fits is Fits.YES

    # Rounded up, unless it would then run into something.
    up = math.ceil(move.length_m * 1000 - 1e-6) / 1000
    length = next((n for n in (up, up + 0.001, move.length_m) if fits(n)), None)
    while length is not None and length > 0.001 and fits(length - 0.001):
        length -= 0.001
    if length is not None:
        yield Remedy(subject, "move", round(length, 6), turn, exact=move.proven)


def _most(can: Callable[[int], bool], limit: int) -> int:
    """The most, up to the limit, that can be done, if all that is less can be done too."""
    low, high = 0, limit + 1
    if can(limit):
        return limit
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if can(middle) else (low, middle)
    return low


def _least(fits: Callable[[int], bool], enough: int) -> int:
    """The least that fits, given that `enough` does, 0 does not, and more never hurts."""
    low, high = 0, enough
    step = 32
    while low + step < high and not fits(low + step):
        low, step = low + step, step * 2
    high = min(high, low + step)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if fits(middle) else (middle, high)
    return high


def _sorted(remedies: Sequence[Remedy]) -> tuple[Remedy, ...]:
    """Movable things first, then covers, obstacles, voids, walls; then by size."""
    return tuple(sorted(remedies, key=_rank))


def _rank(remedy: Remedy) -> tuple[int, float, str, Ref]:
    size = math.inf if remedy.least_m is None else remedy.least_m
    return KINDS.index(remedy.kind), size, remedy.thing.name or remedy.thing.of, remedy.thing


def _pairs(trial: Trial, walls: bool) -> tuple[tuple[tuple[Remedy, Remedy], ...], bool]:
    """The cheapest pairs of changes that make room where none does alone, and whether all pairs were asked."""
    candidates = (s for s in subjects(trial.site) if walls or s.kind != "wall")
    whole = [w for subject in candidates if (w := _greatest(trial, subject)) is not None]
    couples = sorted((c for c in combinations(whole, 2) if _apart(*c)), key=_cost)
    found: list[tuple[Remedy, Remedy]] = []
    for one, other in couples[:MOST_PAIRS]:
        both = changed(changed(trial.site, one), other)
        if trial.fits(both, (one.subject, other.subject)).fits is Fits.YES:
            couple = _least_pair(trial, one, other)
            if couple is not None:
                found.append(couple)
        if len(found) == ENOUGH_PAIRS:
            break
    return tuple(found), len(found) == ENOUGH_PAIRS or len(couples) <= MOST_PAIRS


def _least_pair(trial: Trial, one: Remedy, other: Remedy) -> tuple[Remedy, Remedy] | None:
    """The least of the second change with the whole of the first, then the least of the first with that."""
    for first, second in ((one, other), (other, one)):
        theirs = _first_by(_after(trial, first), second.subject)
        mine = theirs and _first_by(_after(trial, theirs), first.subject)
        if theirs and mine:
            pair = sorted((mine, theirs), key=_rank)
            return (pair[0], pair[1])
    return None


def _after(trial: Trial, remedy: Remedy) -> Trial:
    """The same question in the site with a remedy made."""
    grounds = Grounds(changed(trial.site, remedy), trial.question.grounds.bay)
    return Trial(evolve(trial.question, grounds=grounds))


def _first_by(trial: Trial, subject: Subject) -> Remedy | None:
    """The gentlest remedy by one subject."""
    return next((r for r in _remedies_by(trial, subject) if _verified(trial, r)), None)


def _apart(one: Remedy, other: Remedy) -> bool:
    """Whether two changes can be made together: not two of one void's that contain each other, nor of one thing."""
    first, second = one.subject, other.subject
    if first.kind in VOID_KINDS and second.kind in VOID_KINDS:
        return first.void != second.void or first.kind == second.kind == "cover"
    return True


def _cost(pair: tuple[Remedy, Remedy]) -> tuple[int, int]:
    """Movable things before covers, obstacles, voids and walls."""
    ranks = [KINDS.index(r.kind) for r in pair]
    return sum(ranks), max(ranks)
