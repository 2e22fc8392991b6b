"""How the words on an order, a card or a rule are compared: without case, spelling variants or plurals."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher
from functools import cache
from typing import Literal

from standtrue.model.basics import Side
from standtrue.model.rules import EVENTS, OTHER_EVENTS
from standtrue.model.sensor_kinds import OTHER_WORDS, SENSOR_KINDS
from standtrue.model.trade_words import WORDS, american
from standtrue.model.vehicle import Vehicle

Words = tuple[str, ...]
Fit = Literal["sure", "unsaid", "vague", "no"]
"""How well an event meets a rule's condition: `unsaid` and `vague` make a need conditional, never drop it."""


_POSSESSIVE = re.compile(r"['’]s?\b")


def _plain(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", _POSSESSIVE.sub("", text.casefold()))


_SENSOR_PHRASES: tuple[tuple[Words, Words], ...] = tuple(
    (tuple(_plain(other)), tuple(_plain(kind))) for other, kind in OTHER_WORDS.items()
)

_DONE = ("removed", "replaced", "repaired", "fitted", "work", "painted", "disturbed", "changed")
"""Words of events that say what was done, not to what."""

_NEAR = 0.8
"""Words as alike as this may be meant for each other; an event is near that has such a word, but for what was done."""

_YEARS = re.compile(r"\b(\d{4})\s*[-–]\s*(\d{4})\b")


def tidy(text: str) -> str:
    """A name without case and without stray spaces."""
    return " ".join(text.casefold().split())


@cache
def words(text: str) -> Words:
    """The words of a text in lower case and US spelling, singular, with the trade's synonyms replaced."""
    found = [WORDS.get(w, w) for w in (_singular(w) for w in _plain(american(text)))]
    for phrase, meaning in _SENSOR_PHRASES:
        at = 0
        while (at := _find(phrase, found, at)) >= 0:
            found[at : at + len(phrase)] = meaning
            at += len(meaning)
    return tuple(found)


def same(one: str, other: str) -> bool:
    """Whether two texts say the same words."""
    return words(one) == words(other)


def contains(text: Words, part: Words) -> bool:
    """Whether `part` stands in `text` word after word."""
    return bool(part) and _find(part, text, 0) >= 0


def event_called(text: str) -> str:
    """An event by the name that the program knows it by; one that it does not know in US spelling, lower case."""
    said = words(text)
    if said in _KNOWN_EVENTS:
        return _KNOWN_EVENTS[said]
    return american(text.replace("_", " "))


def nearest_events(text: str, known: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """The known events nearest to an unknown one: those that share the most words, spelling aside, if any does."""
    said = words(text)

    def shared(event: str) -> float:
        return sum(max(_alike(mine, word) for mine in said) for word in words(event)) if said else 0.0

    near = {event: shared(event) for event in known}
    likely = [event for event, share in near.items() if share >= _NEAR]
    return tuple(sorted(likely, key=lambda event: (-near[event], len(words(event)), event))[:most])


def _alike(one: str, other: str) -> float:
    """1 for the same word, less for one that is spelled nearly so, 0 for another. What was done weighs half."""
    alike = SequenceMatcher(None, one, other).ratio()
    return 0.0 if alike < _NEAR else alike if other not in _DONE else 0.5 * alike


def side_named(text: str) -> Side | None:
    """`left` or `right`, where a text names one of them and not the other."""
    found = words(text)
    if ("left" in found) == ("right" in found):
        return None
    return "left" if "left" in found else "right"


def without_sides(text: str) -> Words:
    """The words of a text other than `left` and `right`."""
    return tuple(w for w in words(text) if w not in ("left", "right"))


@cache
def kinds_named(text: str) -> tuple[str, ...]:
    """The sensor kinds that a text names, the longest reading first: a front corner radar is no front radar."""
    found, kinds, at = words(text), list[str](), 0
    while at < len(found):
        fitting = [kind for kind in SENSOR_KINDS if found[at : at + len(words(kind))] == words(kind)]
        best = max(fitting, key=lambda kind: len(words(kind)), default=None)
        if best is not None and best not in kinds:
            kinds.append(best)
        at += len(words(best)) if best is not None else 1
    return tuple(kinds)


def sensor_called(text: str) -> str | None:
    """The one sensor kind that a text names and nothing else but a side; None where it says anything more or less."""
    return next((kind for kind in kinds_named(text) if words(kind) == without_sides(text)), None)


def part_fit(rule_part: str | None, event_part: str | None) -> Fit:
    """How well the part on an order meets the part that a rule asks for.

    Sensor kinds are compared as kinds. Other parts fit where the rule's words stand in the order's; where one only
    hints at the other (`radar` for `front radar`), the fit is vague.
    """
    if rule_part is None:
        return "sure"
    said = without_sides(event_part or "")
    if not said:
        return "unsaid"
    asked, kinds = words(rule_part), kinds_named(event_part or "")
    if kinds and kinds_named(rule_part) and words(kinds_named(rule_part)[0]) == asked:
        return "sure" if kinds_named(rule_part)[0] in kinds else "no"
    if contains(words(event_part or ""), asked):
        return "sure"
    return "vague" if set(said) <= set(asked) or set(asked) <= set(said) else "no"


def vehicle_rank(entries: Sequence[str], vehicle: Vehicle) -> int | None:
    """How closely a `vehicles` list names a car: 0 its name, 1 its maker, model, trim and year words, 2 `*`, None not.

    A year, or a range of years such as `2018-2021`, must meet the car's own `years`; a car whose years nobody
    wrote down meets none.
    """
    ranks = [rank for entry in entries if (rank := _entry_rank(entry, vehicle)) is not None]
    return min(ranks, default=None)


def _entry_rank(entry: str, vehicle: Vehicle) -> int | None:
    if tidy(entry) == "*":
        return 2
    if tidy(entry) == tidy(vehicle.name):
        return 0
    spans = [(int(low), int(high)) for low, high in _YEARS.findall(entry)]
    own = {*words(vehicle.maker), *words(vehicle.model), *words(vehicle.trim)}
    rest = words(_YEARS.sub(" ", entry))
    spans += [(int(w), int(w)) for w in rest if w not in own and re.fullmatch(r"\d{4}", w)]
    plain = [w for w in rest if w in own or not re.fullmatch(r"\d{4}", w)]
    if not (plain or spans) or any(w not in own for w in plain):
        return None
    if any(vehicle.years is None or vehicle.years[1] < low or high < vehicle.years[0] for low, high in spans):
        return None
    return 1


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _find(part: Sequence[str], text: Sequence[str], start: int) -> int:
    for at in range(start, len(text) - len(part) + 1):
        if tuple(text[at : at + len(part)]) == tuple(part):
            return at
    return -1


_KNOWN_EVENTS = {words(event): event for event in EVENTS} | {words(o): event for o, event in OTHER_EVENTS.items()}
