"""The first line of what may be done: one of three sentences and no others."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from standtrue.show.words.catalog import N_
from standtrue.show.words.place import carried
from standtrue.show.words.reader import Reader
from standtrue.work.aim.gate import Gate, Hold, May

STATUSES: Mapping[str, str] = {
    "demonstration": N_("invented for demonstration"),
    "transcribed": N_("transcribed, not verified"),
    "verified": N_("verified"),
}
"""How far a card is to be trusted, as it is named beside a yes."""


def gate_line(gate: Gate, reader: Reader) -> str:
    """What may be done, whole: whether to calibrate, what stands against it, and what to mend or read first."""
    if gate.verdict is May.YES:
        status = reader.say(STATUSES[gate.status])
        where = carried(gate.stance, reader)
        sentence = N_("May be calibrated by this card ({status}), as the car stands now {where}.")
        first = reader.say(sentence, status=status, where=where)
    else:
        first = held_line(gate.ordered, reader)
    return " ".join((first, *_beside(gate, reader)))


def held_line(holds: Sequence[Hold], reader: Reader) -> str:
    """What stands against it, at least one thing: no where one is known to, else that it cannot be told yet."""
    if any(hold.sure for hold in holds):
        return reader.say("Do not calibrate yet: {whys}.", whys=_joined(reader.reason(hold.what) for hold in holds))
    return reader.say("Cannot tell yet: {whys}.", whys=_joined(hold_words(hold, reader) for hold in holds))


def hold_words(hold: Hold, reader: Reader) -> str:
    """What stands against it, and what mends or settles that."""
    if hold.do is None:
        return reader.reason(hold.what)
    return reader.say("{what}, {do}", what=hold.what, do=hold.do)


def _beside(gate: Gate, reader: Reader) -> tuple[str, ...]:
    """What is said behind the verdict: the targets in tolerance where it is no yes, and what a yes must tell."""
    said = []
    if gate.kept and gate.verdict is May.NO:
        said.append(
            reader.say_n(
                "The {targets} is in tolerance.", "In tolerance: {targets}.", len(gate.kept), targets=gate.kept
            )
        )
    if gate.told:
        said.append(reader.say("Told with it: {told}.", told=_joined(map(reader.reason, gate.told))))
    return tuple(said)


def _joined(clauses: Iterable[str]) -> str:
    """Clauses of one sentence, each perhaps a list with commas of its own."""
    return "; ".join(clauses)
