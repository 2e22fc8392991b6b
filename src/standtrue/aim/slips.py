"""Slips at the tape and at the pen: what a reading would have been without one.

Which slips happen, and how often one against another, is common practice of whoever tapes and types, no source: the
shares are plain numbers, and all that hangs on them is which of two slips that explain equally well is named first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise
from typing import Literal

from attrs import evolve, frozen

from standtrue.aim.bodies import Reading
from standtrue.aim.questions import UNITS
from standtrue.aim.scene import Scene
from standtrue.aim.ties import is_tie
from standtrue.aim.titles import point_ref
from standtrue.model.reason import Angle, Length, Reason, Ref, Term, Value, because
from standtrue.model.setup import LINES, Figure

Kind = Literal[
    "misread",
    "other point",
    "board sides",
    "sign",
    "digits swapped",
    "digit wrong",
    "other unit",
    "miscount",
    "exchanged",
]

RATE = 0.01
"""How many readings of a hundred have a slip in them: 1."""

SHARES: Mapping[Kind, float] = {
    "misread": 0.20,
    "other point": 0.20,
    "board sides": 0.10,
    "sign": 0.10,
    "digits swapped": 0.12,
    "digit wrong": 0.08,
    "other unit": 0.05,
    "miscount": 0.10,
    "exchanged": 0.05,
}
"""Of a hundred slips, how many are of each kind. `misread` is any size, for no reason that could be named."""

US_STEPS: tuple[float, ...] = (0.3048, 0.0254)
METRIC_STEPS: tuple[float, ...] = (1.0, 0.1)
"""What is miscounted on a tape, metres: a foot or an inch, a meter or a hundred millimeters."""

TWINS: tuple[tuple[str, str], ...] = (("left", "right"), ("front", "rear"), ("top", "bottom"))
"""Words in the names of points of which one is taken for the other."""

HANDS: tuple[str, ...] = ("wheel", "hub", "sidewall", "clamp", "bar")
"""What the names of points at one wheel begin with."""


@frozen
class Slip:
    """One slip: the readings that it changed, as they would have been without it, each by its index.

    `share` is how likely it is against the other slips of the same reading, `told` what its sentence names.
    """

    kind: Kind
    changed: tuple[tuple[int, Reading], ...]
    share: float
    told: tuple[tuple[str, Value], ...] = ()

    @property
    def readings(self) -> tuple[int, ...]:
        return tuple(i for i, _ in self.changed)

    @property
    def why(self) -> Reason:
        """That it would explain the readings, with what was typed and what was meant."""
        return because(f"slip-{self.kind.replace(' ', '-')}", **dict(self.told))


def slips_of(index: int, reading: Reading, scene: Scene, points: Sequence[str]) -> Iterator[Slip]:
    """Every slip that may have happened to one reading alone; those of a kind share its part evenly."""
    if not _read(reading):
        return
    found: dict[Kind, list[tuple[Reading, tuple[tuple[str, Value], ...]]]] = {}
    for kind, other, told in _variants(reading, scene, frozenset(points)):
        same = any(_alike(other, one) for one, _ in found.get(kind, []))
        if not same and not _alike(other, reading):
            found.setdefault(kind, []).append((other, told))
    for kind, ones in found.items():
        for other, told in ones:
            yield Slip(kind, ((index, other),), SHARES[kind] / len(ones), told)


def joint_slips(readings: Sequence[Reading], scene: Scene, points: Sequence[str]) -> Iterator[Slip]:
    """Slips that change several readings at once: values exchanged, a board's sides swapped in all, a line's sign."""
    known = frozenset(points)
    for target in scene.targets:
        left, right = target.sides
        if {left, right} <= known:
            swapped = _renamed(readings, {left: right, right: left})
            if len(swapped) > 1:
                yield Slip("board sides", swapped, SHARES["board sides"], (("target", Ref("target", target.name)),))
    for line in {r.start for r in readings if r.what == "offset" and _read(r)}:
        turned = tuple((i, evolve(r, value=-r.value)) for i, r in enumerate(readings) if r.start == line)
        if len(turned) > 1:
            yield Slip("sign", turned, SHARES["sign"] / 2)
    pairs = [(i, j) for i, j in combinations(range(len(readings)), 2) if _may_exchange(readings[i], readings[j])]
    for i, j in pairs:
        one, two = readings[i], readings[j]
        changed = ((i, evolve(one, value=two.value)), (j, evolve(two, value=one.value)))
        yield Slip("exchanged", changed, SHARES["exchanged"] / len(readings))


def _variants(
    reading: Reading, scene: Scene, points: frozenset[str]
) -> Iterator[tuple[Kind, Reading, tuple[tuple[str, Value], ...]]]:
    for one, other, renamed in _other_points(reading, points, scene):
        sides = any({one, other} == set(t.sides) for t in scene.targets)
        ends = (("typed", point_ref(one, scene)), ("meant", point_ref(other, scene)))
        yield "board sides" if sides else "other point", renamed, ends
    for name, line in _other_lines(reading, points):
        yield "other point", evolve(reading, start=line), (("typed", Term(_line_name(reading.start))), ("meant", name))
    if reading.what != "distance":
        yield "sign", evolve(reading, value=-reading.value), ()
    figure = reading.typed if reading.typed is not None else _figure(reading)
    for value, text in _swapped(reading.value, figure):
        yield "digits swapped", evolve(reading, value=value), (("typed", figure.text), ("meant", text))
    for value, text in _one_wrong(reading.value, figure):
        yield "digit wrong", evolve(reading, value=value), (("typed", figure.text), ("meant", text))
    if reading.is_angle:
        return
    for value, typed, read in _other_units(reading.value, figure):
        yield "other unit", evolve(reading, value=value), (("typed", typed), ("read", read))
    for step in _steps(reading):
        for value in (reading.value + step, reading.value - step):
            yield "miscount", evolve(reading, value=value), (("by", Length(step)),)


def _read(reading: Reading) -> bool:
    """Whether somebody read it: what is stated of the car has no slip of the tape or the pen."""
    return reading.what != "size" and not is_tie(reading)


def _alike(one: Reading, other: Reading) -> bool:
    """Whether two readings say the same, to what can be read."""
    return one.start == other.start and one.end == other.end and abs(one.value - other.value) < one.u / 2


def _may_exchange(one: Reading, other: Reading) -> bool:
    same = (one.what, one.plumbed) == (other.what, other.plumbed) and one.points != other.points
    same = same and _read(one) and _read(other)
    return same and abs(one.value - other.value) > 3.0 * max(one.u, other.u)


def _renamed(readings: Sequence[Reading], names: Mapping[str, str]) -> tuple[tuple[int, Reading], ...]:
    """The readings that touch these points, with the points renamed."""
    return tuple(
        (i, evolve(r, start=tuple(names.get(p, p) for p in r.start), end=tuple(names.get(p, p) for p in r.end)))
        for i, r in enumerate(readings)
        if not names.keys().isdisjoint(r.points)
    )


def _other_points(reading: Reading, points: frozenset[str], scene: Scene) -> Iterator[tuple[str, str, Reading]]:
    """The reading with one point replaced by one that it may be taken for."""
    if reading.what not in ("distance", "height", "offset", "lean"):
        return
    marks = [m.name for m in scene.site.marks]
    for name in (*(reading.start if reading.what != "offset" else ()), *reading.end):
        for other in _taken_for(name, marks, scene):
            if other in points and other not in reading.points:
                ((_, renamed),) = _renamed([reading], {name: other})
                yield name, other, renamed


def _taken_for(name: str, marks: Sequence[str], scene: Scene) -> Iterator[str]:
    """The points that a point is taken for: its twin, another at the same wheel, another mark, another of a board."""
    if name in marks:
        yield from (m for m in marks if m != name)
        return
    for target, names in scene.target_points.items():
        if name in names:
            yield from sorted(n for n in names if n != name and n.startswith(target))
            return
    yield from _twins(name)
    first, _, rest = name.partition(" ")
    if first in HANDS:
        yield from (f"{hand} {rest}" for hand in HANDS if hand != first)


def _twins(name: str) -> Iterator[str]:
    words = name.split()
    for pair in TWINS:
        for one, other in (pair, pair[::-1]):
            if one in words:
                yield " ".join(other if w == one else w for w in words)


def _other_lines(reading: Reading, points: frozenset[str]) -> Iterator[tuple[Term, tuple[str, str]]]:
    """The other lines that an offset or an angle may have been taken from."""
    if reading.what in ("offset", "angle") and _line_name(reading.start):
        for name, line in LINES.items():
            if line != reading.start and points.issuperset(line):
                yield Term(name), line


def _line_name(start: tuple[str, ...]) -> str:
    return next((name for name, line in LINES.items() if line == start), "")


def _figure(reading: Reading) -> Figure:
    """A value that nobody typed, as one would: whole millimeters, hundredths of a degree."""
    size = abs(Angle(reading.value).radians) if reading.is_angle else abs(reading.value)
    unit = 0.017453292519943295 if reading.is_angle else 0.001
    text = f"{size / unit:.2f}" if reading.is_angle else f"{size / unit:.0f}"
    sign = "-" if reading.value < 0.0 else ""
    return Figure(sign + text, ((len(sign), len(sign) + len(text), unit),))


def _swapped(value: float, figure: Figure) -> Iterator[tuple[float, str]]:
    """The value with two neighboring digits swapped."""
    for start, end, unit in figure.runs:
        digits = figure.text[start:end]
        places = [k for k, c in enumerate(digits) if c != "."]
        for a, b in pairwise(places):
            if digits[a] != digits[b]:
                new = digits[:a] + digits[b] + digits[a + 1 : b] + digits[a] + digits[b + 1 :]
                yield _with_digits(value, figure, (start, end, unit), new)


def _one_wrong(value: float, figure: Figure) -> Iterator[tuple[float, str]]:
    """The value with one digit another."""
    for start, end, unit in figure.runs:
        digits = figure.text[start:end]
        for k, old in enumerate(digits):
            for digit in "0123456789" if old != "." else "":
                if digit != old:
                    yield _with_digits(value, figure, (start, end, unit), digits[:k] + digit + digits[k + 1 :])


def _with_digits(value: float, figure: Figure, run: tuple[int, int, float], new: str) -> tuple[float, str]:
    start, end, unit = run
    more = (float(new) - float(figure.text[start:end])) * unit
    return value + (more if value >= 0.0 else -more), figure.text[:start] + new + figure.text[end:]


def _other_units(value: float, figure: Figure) -> Iterator[tuple[float, Term, Term]]:
    """The same figure in another unit; of a figure of several units (feet and inches) there is no other."""
    if len(figure.runs) != 1:
        return
    unit = figure.runs[0][2]
    typed = next((word for size, word in UNITS if abs(size - unit) < 1e-9), None)
    if typed is not None:
        yield from ((value / unit * size, typed, word) for size, word in UNITS if word != typed)


def _steps(reading: Reading) -> tuple[float, ...]:
    """What may be miscounted, by the units that it was typed in."""
    if reading.typed is None or not reading.typed.runs:
        return (*METRIC_STEPS, *US_STEPS)
    return US_STEPS if any(abs(run[2] - us) < 1e-9 for run in reading.typed.runs for us in US_STEPS) else METRIC_STEPS
