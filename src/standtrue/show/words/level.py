"""How level the floor under a stance is, in a word or two, and why."""

from __future__ import annotations

from standtrue.model.level import IsLevel, LevelTold
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

UNKNOWN = frozenset({"floor-not-surveyed", "several-surveys", "level-nothing-surveyed"})
"""The reasons for which nothing at all is known of a floor's level."""

_WORDS = {
    IsLevel.MET: N_("level met"),
    IsLevel.NOT_MET: N_("level not met"),
    IsLevel.CANNOT_TELL: N_("level: cannot tell"),
}


def not_surveyed(told: LevelTold) -> bool:
    """Whether nothing is known of the level, as the floor there was not surveyed."""
    return bool(told.because) and told.because[0].code in UNKNOWN


def level_words(told: LevelTold | None, reader: Reader) -> str:
    """Whether level is met, not met, not surveyed or not to be told; "" where the card asks for none."""
    if told is None:
        return ""
    if not_surveyed(told):
        return reader.say("level not surveyed")
    return reader.say(_WORDS[told.level])


def level_word(told: LevelTold | None, reader: Reader) -> str:
    """The same as a table has it, under a head that says level."""
    if told is None:
        return ""
    if not_surveyed(told):
        return reader.say("not surveyed")
    return reader.term(told.level.value)
