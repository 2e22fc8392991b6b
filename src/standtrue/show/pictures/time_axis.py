"""The axis of a time chart: to scale, by the clock over working days or in time that has passed, nights folded."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from attrs import frozen

from standtrue.draw.lettering import width_mm as words_mm
from standtrue.model.reason import Duration
from standtrue.show.words.days import day_words, of_day
from standtrue.show.words.reader import Reader

FOLD_MM = 5.0
"""How wide a night is drawn, however long it is."""
FOLDS = 0.3
"""The greatest share of the axis that all nights together may take."""
FOLDED_S = 7_200.0
"""Closed time that is longer than this is folded."""
STEPS_S = (300.0, 600.0, 900.0, 1_800.0, 3_600.0, 7_200.0, 14_400.0, 28_800.0, 43_200.0, 86_400.0, 604_800.0)
BETWEEN_MM = 3.0
"""Between what is written at two marks."""

Mark = tuple[float, str]
"""How far to the right, millimetres, and what stands there."""


@frozen
class Shift:
    """The hours of a chart: seconds since a midnight, `midnight`, from which the shop is open, and to when."""

    midnight: datetime
    spans: tuple[tuple[float, float], ...]

    def moment(self, seconds: float) -> datetime:
        """A time of the chart by the clock."""
        return self.midnight + timedelta(seconds=round(seconds))


@frozen
class Stretch:
    """A piece of the axis: from when to when, seconds, and from where to where, millimetres.

    `closed`: the shop is; `folded`: not to scale.
    """

    start_s: float
    end_s: float
    x0: float
    x1: float
    closed: bool = False
    folded: bool = False

    def x(self, at_s: float) -> float:
        """Where a time of it is."""
        whole = self.end_s - self.start_s
        return self.x0 + (self.x1 - self.x0) * ((at_s - self.start_s) / whole if whole else 0.0)


@frozen
class Axis:
    """Stretches from left to right, and the marks over them; `days` stand over the marks, each for its stretch."""

    stretches: tuple[Stretch, ...]
    marks: tuple[Mark, ...]
    days: tuple[Mark, ...] = ()

    def x(self, at_s: float) -> float:
        """Where a time is, millimetres from the left end."""
        within = next((s for s in self.stretches if at_s <= s.end_s), self.stretches[-1])
        return within.x(at_s)


def axis_of(start_s: float, end_s: float, room_mm: float, reader: Reader, shift: Shift | None) -> Axis:
    """An axis from one time to another, as long as the room."""
    stretches = _stretches(start_s, max(end_s, start_s + 1.0), room_mm, () if shift is None else shift.spans)
    open_s = sum(s.end_s - s.start_s for s in stretches if not s.folded)
    scale = sum(s.x1 - s.x0 for s in stretches if not s.folded) / open_s
    if shift is None:
        step = _step(scale, [reader.write(Duration(35_400.0))])
        return Axis(stretches, tuple(_apart(_passed(stretches, step, reader))))
    samples = [shift.midnight + timedelta(seconds=60 * k) for k in (0, 755, 1315)]
    step = _step(scale, [of_day(s, reader) for s in samples])
    marks = tuple(_apart(_clock(stretches, step, shift, reader)))
    return Axis(stretches, marks, tuple(_apart(_days(stretches, shift, reader))))


def _stretches(
    start_s: float, end_s: float, room_mm: float, spans: Sequence[tuple[float, float]]
) -> tuple[Stretch, ...]:
    """The pieces of the axis: open, closed to scale, folded."""
    cuts: list[tuple[float, float, bool]] = []
    at = start_s
    for opens, closes in spans:
        if closes <= at or opens >= end_s:
            continue
        if opens > at:
            cuts.append((at, opens, True))
        cuts.append((max(at, opens), min(closes, end_s), False))
        at = min(closes, end_s)
    if at < end_s:
        cuts.append((at, end_s, bool(spans)))
    folds = [closed and b - a > FOLDED_S for a, b, closed in cuts]
    fold = min(FOLD_MM, FOLDS * room_mm / max(1, sum(folds)))
    if all(folds):
        folds, fold = [False] * len(folds), 0.0
    whole = sum(b - a for (a, b, _), folded in zip(cuts, folds, strict=True) if not folded)
    scale = (room_mm - fold * sum(folds)) / whole
    told, x = [], 0.0
    for (a, b, closed), folded in zip(cuts, folds, strict=True):
        wide = fold if folded else (b - a) * scale
        told.append(Stretch(a, b, x, x + wide, closed, folded))
        x += wide
    return tuple(told)


def _step(scale: float, words: Sequence[str]) -> float:
    """The least step between marks at which none is written over another."""
    wide = max(words_mm(one) for one in words) + BETWEEN_MM
    return next((s for s in STEPS_S if s * scale >= wide), STEPS_S[-1])


def _within(stretch: Stretch, step: float) -> Iterator[float]:
    """The whole steps within a stretch."""
    at = -(-stretch.start_s // step) * step
    while at <= stretch.end_s + 1e-6:
        yield at
        at += step


def _passed(stretches: Sequence[Stretch], step: float, reader: Reader) -> Iterator[Mark]:
    for stretch in stretches:
        for at in _within(stretch, step):
            yield stretch.x(at), reader.write(Duration(at)) if at else "0"


def _clock(stretches: Sequence[Stretch], step: float, shift: Shift, reader: Reader) -> Iterator[Mark]:
    for stretch in stretches:
        for at in () if stretch.folded else _within(stretch, step):
            if at == stretch.end_s and stretch is not stretches[-1]:
                # What begins then stands after the fold.
                continue
            yield stretch.x(at), of_day(shift.moment(at), reader)


def _days(stretches: Sequence[Stretch], shift: Shift, reader: Reader) -> Iterator[Mark]:
    """Each day where it begins."""
    last = None
    long = stretches[-1].end_s - stretches[0].start_s > 6 * 86_400.0
    for stretch in stretches:
        if stretch.folded:
            continue
        for at in (stretch.start_s, *(t for t in _within(stretch, 86_400.0) if stretch.start_s < t < stretch.end_s)):
            day = shift.moment(at)
            if day.date() != last:
                last = day.date()
                yield stretch.x(at), day_words(day, reader, dated=long)


def _apart(marks: Iterator[Mark]) -> Iterator[Mark]:
    """Those that are not written over the one before."""
    end = -BETWEEN_MM
    for x, words in marks:
        if x >= end + 0.5 * BETWEEN_MM:
            end = x + words_mm(words)
            yield x, words
