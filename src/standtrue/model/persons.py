"""Whether two names are one person's, as people write them."""

from __future__ import annotations

import unicodedata


def same_person(one: str, other: str) -> bool:
    """Whether two names may be one person's: case, accents, dots, the order of the words mean nothing, nor whether a
    word is written out or as its initial. Who shares all of that with somebody else must write more of the name."""
    mine, yours = _words(one), _words(other)
    if not mine or not yours:
        return mine == yours
    return "".join(mine) == "".join(yours) or _matched(mine, yours) or _matched(yours, mine)


def _words(name: str) -> list[str]:
    """The words of a name in letters and digits alone, sorted."""
    plain = unicodedata.normalize("NFKD", name).casefold()
    kept = (c if c.isalnum() else "" if unicodedata.category(c) in ("Mn", "Cf") or c in "'’`" else " " for c in plain)
    return sorted("".join(kept).split())


def _matched(fewer: list[str], more: list[str]) -> bool:
    """Whether each word of one name is one of the other's, or an initial of it, and the other has no more."""
    if len(fewer) != len(more):
        return False
    left = list(more)
    for word in sorted(fewer, key=len, reverse=True):
        found = next((w for w in left if w == word), None) or next((w for w in left if _short_for(word, w)), None)
        if found is None:
            return False
        left.remove(found)
    return True


def _short_for(word: str, other: str) -> bool:
    """Whether one is the other's initial."""
    return min(len(word), len(other)) == 1 and word[0] == other[0]
