"""Doubt: which reading is suspected, what slip would explain it, and what the others say without it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from attrs import frozen

from standtrue.aim.blunders import BlunderTest
from standtrue.aim.explained import Explanation, LeftOut, explanations, leave_each_out, set_right
from standtrue.aim.network import Adjustment, adjust
from standtrue.aim.scene import Scene
from standtrue.aim.slips import Slip

NAMED = 0.95
"""Suspects are named, the likeliest first, until the wrong reading is among them with this probability."""

POSSIBLE = 0.998
"""What is told from the other readings holds in every explanation, but for those that together are rarer than this."""

CLEAR = 0.8
"""Two suspects are enough where it is one of them with this probability."""

EXPLAINED = 0.5
"""A cause is named if it is likelier than every other of its reading together; or the two likeliest are."""

FEWEST = 0.1
"""A second cause is named if it is this likely against the first."""


@frozen
class Suspect:
    """A reading, or those that one slip changed together, and how likely it lies there.

    `size` is how much too large the first was read by the others, in its own unit.
    """

    readings: tuple[int, ...]
    chance: float
    size: float


@frozen
class Cause:
    """A slip that explains the readings: `chance` against every other explanation, of this reading and the others."""

    slip: Slip
    chance: float


@frozen(eq=False)
class Without:
    """The set-up without a suspect. `left` are the readings left out, or set right (`slip`); none where all are taken
    as sound. `found` is None where the others do not fix it."""

    left: tuple[int, ...]
    slip: Slip | None
    chance: float
    found: Adjustment | None


@frozen(eq=False)
class Doubt:
    """What an alarm comes to.

    `suspects` are named until the wrong reading is surely among them, `causes` the slips that would explain it (none
    where no slip does). `results` are the set-up in every explanation that is possible, the likeliest first;
    `explained` says whether any single slip brings the readings together at all. If none does, nothing is told.
    """

    suspects: tuple[Suspect, ...]
    causes: tuple[Cause, ...]
    results: tuple[Without, ...]
    explained: bool

    @property
    def again(self) -> tuple[int, ...]:
        """The readings to take again."""
        return tuple(dict.fromkeys(i for one in self.suspects for i in one.readings))


def doubt_of(scene: Scene, found: Adjustment, test: BlunderTest) -> Doubt:
    """Look for what explains readings of which a test says that they do not go together."""
    without = leave_each_out(found)
    told = explanations(scene, found, without)
    sizes = {out.reading: out.error(found) for out in without}
    wrong = _by_readings(e for e in told if e.readings)
    possible = _until(_by_readings(told), POSSIBLE)
    explained = any(e.ordinary for e in told if e.probability > 1.0 - POSSIBLE and e.readings)
    whole = sum(chance for _, chance in wrong)
    named = _named([(readings, chance / whole) for readings, chance in wrong]) if explained and whole > 0 else []
    suspects = tuple(Suspect(r, chance, sizes.get(r[0], 0.0)) for r, chance in named)
    if not suspects:
        suspects = tuple(Suspect((i,), 1.0 / len(test.suspects), sizes.get(i, 0.0)) for i in test.suspects)
    causes = tuple(c for suspect in suspects for c in _causes(suspect, told)) if explained else ()
    starts = {out.reading: out for out in without}
    results = tuple(_solved(found, readings, chance, told, starts) for readings, chance in possible)
    return Doubt(suspects, causes, results, explained)


Chance = tuple[tuple[int, ...], float]
"""Readings in which the error lies, and how likely."""


def _by_readings(told: Iterable[Explanation]) -> list[Chance]:
    """How likely the error lies in which readings, whatever it is, the likeliest first."""
    chances: dict[tuple[int, ...], float] = {}
    for one in told:
        chances[one.readings] = chances.get(one.readings, 0.0) + one.probability
    return sorted(chances.items(), key=lambda item: -item[1])


def _until(chances: Sequence[Chance], enough: float) -> list[Chance]:
    """The likeliest, until together they are likely enough."""
    kept: list[Chance] = []
    for one in chances:
        if sum(chance for _, chance in kept) >= enough:
            break
        kept.append(one)
    return kept


def _named(chances: Sequence[Chance]) -> list[Chance]:
    """The suspects to name: one that is nearly sure, or two of which one is rather sure, or as many as it takes."""
    named = _until(chances, NAMED)
    return named[:2] if sum(chance for _, chance in named[:2]) >= CLEAR else named


def _causes(suspect: Suspect, told: Sequence[Explanation]) -> tuple[Cause, ...]:
    """The one slip that explains a suspect, or two that do; none where more remain, or no slip is as likely as none."""
    here = [e for e in told if e.readings == suspect.readings]
    slips = [e for e in here if e.slip is not None and e.ordinary][:2]
    if not slips:
        return ()
    alone = [e for e in slips if e.probability >= FEWEST * slips[0].probability]
    if sum(e.probability for e in alone) < EXPLAINED * sum(e.probability for e in here):
        return ()
    return tuple(Cause(e.slip, e.probability) for e in alone if e.slip is not None)


def _solved(
    found: Adjustment,
    readings: tuple[int, ...],
    chance: float,
    told: Sequence[Explanation],
    starts: dict[int, LeftOut],
) -> Without:
    """The set-up without one suspect: left out where it is one reading, set right where a slip changed several."""
    if not readings:
        return Without((), None, chance, found)
    if len(readings) > 1:
        slip = next(e.slip for e in told if e.readings == readings)
        assert slip is not None
        again = adjust(found.network, set_right(found.readings, slip), beforehand=False)
        return Without(readings, slip, chance, again if isinstance(again, Adjustment) else None)
    others = [r for i, r in enumerate(found.readings) if i != readings[0]]
    again = adjust(found.network, others, starts[readings[0]].unknowns, beforehand=False)
    return Without(readings, None, chance, again if isinstance(again, Adjustment) else None)
