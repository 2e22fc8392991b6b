"""What there is to say of a doubt: which reading, by how much, and what would explain it, as values."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.aim.doubt import Cause, Doubt, Suspect
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.titles import title_of
from standtrue.model.reason import Angle, Length, Reason, because


def told_of(setup: SetupAnswer) -> tuple[Reason, ...]:
    """The suspects and what would explain them; nothing where there is no alarm."""
    doubt = setup.doubt
    return () if doubt is None else (_suspects(setup, doubt), *_explained(setup, doubt))


def numbered(setup: SetupAnswer, index: int) -> Reason:
    """A reading by its number in the document and what it is called."""
    title = title_of(setup.tested[index], setup.scene)
    if not setup.numbers[index]:
        return title
    return because("numbered-reading", number=setup.numbers[index], reading=title)


def cause_of(setup: SetupAnswer, cause: Cause) -> Reason:
    """A slip that would explain a suspect, with the numbers of its readings."""
    numbers = tuple(setup.numbers[i] for i in cause.slip.readings)
    return because("cause-of", numbers=numbers, why=cause.slip.why)


def _suspects(setup: SetupAnswer, doubt: Doubt) -> Reason:
    if len(doubt.suspects) > 1:
        several = tuple(_sized(setup, suspect) for suspect in doubt.suspects)
        return because("one-of-readings-does-not-go", readings=several)
    (suspect,) = doubt.suspects
    if len(suspect.readings) > 1:
        return because("readings-do-not-go", readings=tuple(numbered(setup, i) for i in suspect.readings))
    return because("reading-does-not-go", reading=_sized(setup, suspect))


def _sized(setup: SetupAnswer, suspect: Suspect) -> Reason:
    """A suspect with how much too large or too small it was read; several together without."""
    if len(suspect.readings) > 1:
        return because("readings-together", readings=tuple(numbered(setup, i) for i in suspect.readings))
    reading = numbered(setup, suspect.readings[0])
    if suspect.size == 0.0:
        return reading
    by = (Angle if setup.tested[suspect.readings[0]].is_angle else Length)(abs(suspect.size))
    return because("reading-too-large" if suspect.size > 0.0 else "reading-too-small", reading=reading, by=by)


def _explained(setup: SetupAnswer, doubt: Doubt) -> Iterator[Reason]:
    if not doubt.explained:
        yield because("no-slip-explains")
    yield from (cause_of(setup, cause) for cause in doubt.causes)
