"""How long readings take: what each instrument of the site takes for one, or a stated figure.

A card's own minutes of setting up are taken to hold the laying out, as its maker describes it. The readings that prove
where the targets stand come on top of them: they are this program's, and no card knows of them.
"""

from __future__ import annotations

from standtrue.aim.telling_apart import MOST
from standtrue.model.basics import Range
from standtrue.model.procedure import Procedure, Tolerance
from standtrue.model.reason import Duration, Reason, because
from standtrue.model.setup import MEASURES, Instrument
from standtrue.model.site import Site

READING_S = 60.0
"""What one reading takes, two people at it, where the site does not say. Common practice, no source."""

MINUTES_NOTE = because("reading-time-assumed", each=Duration(READING_S))


def reading_s(site: Site, instrument: Instrument) -> float:
    """What one reading with this instrument takes, seconds: as the site says, or as is assumed."""
    kept = next((one for one in site.instruments if one.name == instrument.name), None)
    return READING_S if kept is None else kept.minutes * 60.0


def proof_s(site: Site, card: Procedure) -> Range:
    """How long the readings take that prove where a card's targets stand, seconds; nothing without tolerances.

    At least what decides each tolerance, twice where every reading is checked; at most six readings a target and, once,
    six that tie the car to the floor.
    """
    every = site.readings.checked == "every"
    stands = [t.tolerance for t in card.targets for _ in dict.fromkeys((t.at, *(p.at for p in t.positions)))]
    least = [n for t in stands if (n := _least(t, every)) > 0]
    if not least:
        return 0.0, 0.0
    tie = MOST if card.rests_on_place else 0
    each = [one.minutes * 60.0 for one in site.instruments if one.what in MEASURES] or [READING_S]
    return sum(least) * min(each), (sum(max(n, MOST) for n in least) + tie) * max(each)


def proof_notes(site: Site, card: Procedure) -> tuple[Reason, ...]:
    """That the time of a reading was assumed, where it counts."""
    timed = any(one.what in MEASURES for one in site.instruments)
    return () if timed or proof_s(site, card)[1] == 0.0 else (MINUTES_NOTE,)


def _least(tolerance: Tolerance, every: bool) -> int:
    """How many readings decide a target's tolerances: one each, and what checks them."""
    floor = sum(x is not None for x in (tolerance.along_m, tolerance.across_m, tolerance.turn_rad))
    alone = sum(x is not None for x in (tolerance.height_m, tolerance.lean_rad))
    return floor + alone + ((1 if floor else 0) + alone if every else 0)
