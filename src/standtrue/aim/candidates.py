"""Every reading that the instruments at hand can take of a set-up, and that hands can take."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from standtrue.aim.bodies import Reading
from standtrue.aim.layout import TargetPlace, marks_of
from standtrue.aim.points import FRONT, REAR
from standtrue.aim.scene import Scene
from standtrue.aim.sight import Sight, View
from standtrue.model.setup import FLOOR_START, LINES, STRINGS, WHEELS_START, Instrument

TIERS = 5
"""How many kinds of readings there are, from those that run clear of everything to those below the car."""


@frozen
class Candidate:
    """A reading that can be taken: what it costs, how it runs, with which instrument. `again`: a second time."""

    reading: Reading
    cost: float
    instrument: Instrument
    view: View | None = None
    again: bool = False

    @property
    def tier(self) -> int:
        """0 for one that keeps off every tire's outline, 1 for another clear one, 2 for a length taken twice, 3 over a
        pit, 4 below the car. Lengths check each other better by running elsewhere; the same one taken twice finds a
        slip of the hand, and nothing else."""
        twice = 2 if self.again and self.reading.what in ("distance", "offset") else 0
        if self.view is None:
            return twice
        if self.view.under_car:
            return 4
        if self.view.over:
            return 3
        return twice or 0 if self.view.clears_tires and not self.view.before_frames else 1


def target_candidates(
    scene: Scene, target: TargetPlace, instruments: Sequence[Instrument], sight: Sight | None, tied: bool = False
) -> tuple[Candidate, ...]:
    """The readings that place one target at the car; where that is `tied` to the floor, from the floor's marks, too."""
    found = [c for i in instruments for c in _of_target(scene, target, i, tied)]
    if any(i.what == "distance" and not i.plumbed for i in instruments):
        found += [c for i in instruments if i.what == "height" for c in _of_ends(i)]
    found += [evolve(c, again=True) for c in found]
    found += [c for i in instruments if i.what == "distance" and i.plumbed for c in _along_sides(scene, i)]
    return _seen(found, sight)


def tie_candidates(scene: Scene, instruments: Sequence[Instrument], sight: Sight | None) -> tuple[Candidate, ...]:
    """The readings that tie the car to the floor's marks."""
    found = [
        Candidate(Reading("distance", (mark.name,), (point,), 0.0, i.u, i.plumbed), i.effort, i)
        for i in instruments
        if i.what == "distance"
        for mark in marks_of(scene.site)
        for point in scene.at_car.reachable
    ]
    found += [c for i in instruments if i.what == "distance" and i.plumbed for c in _along_sides(scene, i)]
    return _seen(found, sight)


def _seen(candidates: Sequence[Candidate], sight: Sight | None) -> tuple[Candidate, ...]:
    """Those that hands can take, with how they run; all of them where nobody looks."""
    if sight is None:
        return tuple(candidates)
    views = sight.views([c.reading for c in candidates])
    return tuple(
        Candidate(c.reading, c.cost, c.instrument, v, c.again)
        for c, v in zip(candidates, views, strict=True)
        if not v.stopped_by
    )


def _of_target(scene: Scene, target: TargetPlace, instrument: Instrument, tied: bool) -> Iterator[Candidate]:
    # The ends of a target without a size are chalk on the floor, where a straight tape finds nothing.
    ends = target.sides if target.size_m is not None or instrument.plumbed else ()
    spots = (target.name, *ends)
    u, cost = instrument.u, instrument.effort
    if instrument.what == "distance":
        marks = (m.name for m in marks_of(scene.site)) if tied else ()
        for start in (*scene.at_car.reachable, FRONT, REAR, *marks):
            for end in spots:
                yield Candidate(Reading("distance", (start,), (end,), 0.0, u, instrument.plumbed), cost, instrument)
        if instrument.plumbed:
            yield from _offsets(STRINGS, (target.name, *target.sides), instrument)
    elif instrument.what == "offset":
        yield from _offsets(_lines(scene, instrument), (target.name, *target.sides), instrument)
    else:
        for reading in _others(scene, target, instrument):
            yield Candidate(reading, cost, instrument)


def _of_ends(instrument: Instrument) -> Iterator[Candidate]:
    """How high the car's ends are, which a straight tape from them hangs on."""
    for end in (FRONT, REAR):
        yield Candidate(Reading("height", (), (end,), 0.0, instrument.u), instrument.effort, instrument)


def _offsets(lines: Sequence[str], ends: Sequence[str], instrument: Instrument) -> Iterator[Candidate]:
    for line in lines:
        for end in ends:
            reading = Reading("offset", LINES[line], (end,), 0.0, instrument.u)
            yield Candidate(reading, instrument.effort, instrument)


def _lines(scene: Scene, instrument: Instrument) -> tuple[str, ...]:
    """The lines that an instrument may read from: strings, and chalked ones that somebody says how well they lie."""
    stated = {line for line, _ in scene.lines}
    return tuple(dict.fromkeys((*(line for line in instrument.lines if line in stated), *STRINGS)))


def _others(scene: Scene, target: TargetPlace, instrument: Instrument) -> Iterator[Reading]:
    if instrument.what == "height":
        if target.tolerance.height_m is None:
            return
        start = WHEELS_START if _levels(scene, instrument) else FLOOR_START
        known = () if scene.network(()).missing([Reading("height", (start,), (target.name,), 0.0, 1.0)]) else (start,)
        yield Reading("height", known, (target.name,), 0.0, instrument.u)
    elif instrument.what == "angle":
        for line in _lines(scene, instrument):
            yield Reading("angle", LINES[line], target.sides, 0.0, instrument.u)
    elif target.tolerance.lean_rad is not None:
        yield Reading("lean", (), (target.name,), 0.0, instrument.u)


def _levels(scene: Scene, instrument: Instrument) -> bool:
    """Whether heights are read against a level line of sight, and so from the ground of the wheels."""
    kept = next((one for one in scene.site.instruments if one.name == instrument.name), None)
    return kept is not None and kept.what == "leveling instrument"


def _along_sides(scene: Scene, instrument: Instrument) -> Iterator[Candidate]:
    """The lengths along the car's sides, from a point at a rear wheel to that at the front wheel."""
    for rear in scene.at_car.reachable:
        if " rear " in rear:
            reading = Reading("distance", (rear,), (rear.replace(" rear ", " front "),), 0.0, instrument.u, True)
            yield Candidate(reading, instrument.effort, instrument)
