"""What would have to change in the shop for something to fit: the least of each change, or the cheapest pair."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations
from typing import Literal

from attrs import evolve, frozen

from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.reason import Reason, Ref
from standtrue.model.site import Site
from standtrue.place.change.amounts import least_outward, least_shrinking, most
from standtrue.place.change.changes import (
    VOID_KINDS,
    Subject,
    moved,
    shrunk,
    subjects,
    taken_away,
    wall_moved,
)
from standtrue.place.change.translation import LIMIT_M, Translations
from standtrue.place.change.trial import MOST_ROWS, Allowance, Trial, Tried, never
from standtrue.place.many.many import AnyFits
from standtrue.place.margin.ways import Question
from standtrue.place.question.answer import Answer
from standtrue.place.question.walls import outward

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
    `cut`: it was stopped early; `missing` are the things whose change was not asked for, or not how much of it.
    `hopeless` says what no change of the shop can mend. `asked` is False where nobody wanted to know.
    """

    single: tuple[Remedy, ...] = ()
    pairs: tuple[tuple[Remedy, Remedy], ...] = ()
    complete: bool = True
    hopeless: tuple[Reason, ...] = ()
    cut: bool = False
    missing: tuple[Ref, ...] = ()
    asked: bool = True


NOT_ASKED = Remedies(complete=False, asked=False)


@frozen(eq=False)
class _Help:
    """A subject whose greatest change makes room: that change, and a stance that then fits."""

    subject: Subject
    whole: Remedy
    tried: Tried


def find_remedies(
    answer: Answer,
    *,
    uneven: Sequence[Unfloor] = (),
    amounts: bool = True,
    stopped: Callable[[], bool] = never,
    most_rows: int = MOST_ROWS,
) -> Remedies:
    """The remedies for an answer that does not fit, for its cards and class of support.

    Every remedy has been asked of `any_fit` on the changed site. Empty if the answer fits or is undecided.
    Without `amounts` only what is closed, covered or taken away is told: soon, where the least of every move,
    shrinking and wall may take seconds. Once `stopped`, or after `most_rows`, it tells what it has, and what is
    missing.
    """
    if answer.fits is not Fits.NO:
        return Remedies()
    question = Question(answer.grounds, answer.vehicle, answer.cards, answer.support, tuple(uneven))
    trial = Trial(question, Allowance(stopped, most_rows))
    if not trial.ways:
        return Remedies(hopeless=answer.because)
    candidates = [s for s in subjects(trial.site) if amounts or s.kind != "wall"]
    helps, left = _helps(trial, sorted(candidates, key=_promise))
    if not amounts:
        return Remedies(_verified(trial, [h.whole for h in helps]), complete=not left, cut=bool(left), missing=left)
    single, unmeasured = _singles(trial, helps)
    missing = (*left, *unmeasured)
    complete = all(r.exact for r in single) and not missing
    if any(r.kind != "wall" for r in single):
        return Remedies(single, (), complete, cut=trial.stopped(), missing=missing)
    pairs, asked = _pairs(trial, walls=not single)
    return Remedies(single, pairs, complete and asked, cut=trial.stopped(), missing=missing)


def changed(site: Site, remedy: Remedy, less_m: float = 0.0) -> Site:
    """The site with a remedy made, or with `less_m` less of it. Raises ValueError if a wall cannot move as far."""
    found = _made(site, remedy, less_m)
    if found is None:
        raise ValueError(f"{remedy.thing} cannot be moved as far")
    return found


def _made(site: Site, remedy: Remedy, less_m: float = 0.0) -> Site | None:
    """As `changed`; None where it cannot be made: of two changes one may exclude the other."""
    amount = (remedy.least_m or 0.0) - less_m
    if remedy.action in ("cover", "remove"):
        return taken_away(site, remedy.subject)
    if remedy.action == "shrink":
        return shrunk(site, remedy.subject, amount)
    if remedy.subject.kind == "wall":
        return wall_moved(site, remedy.subject, amount)
    turn = remedy.direction_rad or 0.0
    return moved(site, remedy.subject, (amount * math.cos(turn), amount * math.sin(turn)))


def _promise(subject: Subject) -> int:
    """What is cheap to change comes first: if time runs out, that has been asked."""
    if subject.movable:
        return 0
    return ("cover", "covers", "obstacle", "equipment", "void", "wall").index(subject.kind) + 1


def _helps(trial: Trial, candidates: Sequence[Subject]) -> tuple[list[_Help], tuple[Ref, ...]]:
    """What makes room, changed as far as it can be, and what was not asked in time.

    What does not help when it is gone altogether does not help at all.
    """
    found: list[_Help] = []
    for number, subject in enumerate(candidates):
        if trial.stopped():
            return found, tuple(s.thing for s in candidates[number:])
        whole = _greatest(trial, subject)
        site = None if whole is None else _made(trial.site, whole)
        if whole is None or site is None:
            continue
        away = subject.kind in ("obstacle", "equipment")
        tried = trial.fits_without(subject) if away else trial.fits(site, (subject,))
        if tried.fits is Fits.YES:
            found.append(_Help(subject, whole, tried))
    return found, ()


def _singles(trial: Trial, helps: Sequence[_Help]) -> tuple[tuple[Remedy, ...], tuple[Ref, ...]]:
    """Every single remedy, verified, and those things of which it was not asked in time how much is enough.

    To prove a move the shortest takes long: that comes last.
    """
    found = [h.whole for h in helps if _whole_is_told(trial, h.subject)]
    unmeasured: list[Ref] = []
    moves: list[Translations] = []
    outward: dict[Subject, int] = {}
    for one in helps:
        if not _has_amount(one.subject):
            continue
        if trial.stopped():
            unmeasured.append(one.subject.thing)
        elif one.subject.movable:
            moves.append(Translations(trial, one.subject))
            moves[-1].begin(one.tried)
        elif one.subject.kind == "wall":
            found.append(wall := _outward(trial, one, outward))
            outward[one.subject] = round(1000 * (wall.least_m or 0.0))
        else:
            found.extend(_shrink(trial, one.subject))
    for move in moves:
        found.extend(_move(trial, move))
    covered = {r.subject.void for r in found if r.action == "cover" and r.subject.kind == "cover"}
    kept = [r for r in found if not (r.subject.kind == "covers" and r.subject.void in covered)]
    return _verified(trial, kept), tuple(unmeasured)


def _verified(trial: Trial, remedies: Sequence[Remedy]) -> tuple[Remedy, ...]:
    """Those of them that make room, as asked of the changed site; in the order in which they are told."""
    question, asked, made = trial.question, AnyFits(), []
    for remedy in remedies:
        site = _made(trial.site, remedy)
        if site is not None:
            asked.ask(evolve(question, grounds=Grounds(site, question.grounds.bay)))
            made.append(remedy)
    answers = asked.answers()
    return tuple(sorted((r for r, fits in zip(made, answers, strict=True) if fits is Fits.YES), key=_rank))


def _outward(trial: Trial, one: _Help, known: Mapping[Subject, int]) -> Remedy:
    """The least that a wall must move. The wall over against it may have to move as much."""
    subject, enough = one.subject, round((one.whole.least_m or 0.0) * 1000)
    guess = next((mm for other, mm in known.items() if subject.faces(other)), 0)
    amount = least_outward(trial, subject, enough, guess)
    return evolve(one.whole, least_m=amount.mm / 1000, exact=amount.proven)


def _has_amount(subject: Subject) -> bool:
    """Whether less than the greatest change may do."""
    return subject.movable or subject.kind in ("obstacle", "void", "wall")


def _whole_is_told(trial: Trial, subject: Subject) -> bool:
    """Whether the greatest change is a remedy by itself: not of a wall, nor of a void that has covers of its own."""
    if subject.kind == "void":
        return not any(v.covers for v in trial.site.voids if v.name == subject.void)
    return subject.kind != "wall"


def _greatest(trial: Trial, subject: Subject) -> Remedy | None:
    """The greatest change of a subject. None if it cannot change."""
    if subject.kind in VOID_KINDS:
        return Remedy(subject, "cover")
    if subject.kind != "wall":
        return Remedy(subject, "remove")
    far = most(lambda mm: wall_moved(trial.site, subject, mm / 1000) is not None, LIMIT_MM)
    if far == 0 or subject.line is None:
        return None
    x, y = outward(subject.line)
    return Remedy(subject, "move", far / 1000, math.atan2(y, x))


def _shrink(trial: Trial, subject: Subject) -> Iterator[Remedy]:
    amount = least_shrinking(trial, subject)
    if amount is not None:
        yield Remedy(subject, "shrink", amount.mm / 1000, exact=amount.proven)


def _move(trial: Trial, known: Translations) -> Iterator[Remedy]:
    move, subject = known.finish(), known.subject
    if move is None or move.length_m <= 0.0:
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
        if len(found) == ENOUGH_PAIRS or trial.stopped():
            break
        first = _made(trial.site, one)
        both = None if first is None else _made(first, other)
        if both is not None and trial.fits(both, (one.subject, other.subject)).fits is Fits.YES:
            couple = _least_pair(trial, one, other)
            if couple is not None:
                found.append(couple)
    every = len(found) == ENOUGH_PAIRS or len(couples) <= MOST_PAIRS
    return tuple(found), every and not trial.stopped()


def _least_pair(trial: Trial, one: Remedy, other: Remedy) -> tuple[Remedy, Remedy] | None:
    """The least of the second change with the whole of the first, then the least of the first with that."""
    for first, second in ((one, other), (other, one)):
        theirs = _first_by(_after(trial, first), second.subject)
        mine = theirs and _first_by(_after(trial, theirs), first.subject)
        if theirs and mine:
            pair = sorted((mine, theirs), key=_rank)
            after = _after(trial, pair[0])
            if after is not None and _verified(after, pair[1:]):
                return (pair[0], pair[1])
    return None


def _after(trial: Trial, remedy: Remedy) -> Trial | None:
    """The same question in the site with a remedy made; None where it cannot be."""
    site = _made(trial.site, remedy)
    if site is None:
        return None
    return Trial(evolve(trial.question, grounds=Grounds(site, trial.question.grounds.bay)), trial.allowance)


def _first_by(trial: Trial | None, subject: Subject) -> Remedy | None:
    """The gentlest remedy by one subject, as it stands after another change."""
    if trial is None:
        return None
    helps, _ = _helps(trial, [subject])
    found, _ = _singles(trial, helps)
    return next(iter(found), None)


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
