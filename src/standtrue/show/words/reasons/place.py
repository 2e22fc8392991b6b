"""What is said of places: what was assumed, not looked at or seen, and how level the floor is."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from standtrue.model.reason import Angle, Number
from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from collections.abc import Callable

    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences


def slope_number(slope: object) -> Number:
    """A slope in degrees to a hundredth: a tenth is too coarse for a floor."""
    assert isinstance(slope, Angle)
    return Number(math.degrees(slope.radians), 2)


def _sloping(sentence: str) -> Callable[[Reason, Reader], str]:
    def said(reason: Reason, reader: Reader) -> str:
        return reader.say(sentence, **{**dict(reason.values), "slope": slope_number(reason["slope"])})

    return said


_NO_LEVEL_FLOOR: dict[tuple[bool, bool], str] = {
    (True, False): N_("no place was found where the floor is level within {within:down}, by the survey {survey}"),
    (False, True): N_("no place was found where the floor slopes by {slope:down}° at most, by the survey {survey}"),
    (True, True): N_(
        "no place was found where the floor is level within {within:down} and slopes by {slope:down}° at most, by the "
        "survey {survey}"
    ),
}
"""By whether a card asks for heights within so much, and for a slope of so much at most."""


def _no_level_floor(reason: Reason, reader: Reader) -> str:
    values = dict(reason.values)
    sentence = _NO_LEVEL_FLOOR["within" in values, "slope" in values]
    if "slope" in values:
        values["slope"] = slope_number(values["slope"])
    return reader.say(sentence, **values)


SENTENCES: Sentences = {
    "fitting-so-far": N_("{count} of {of} looked at fit"),
    "no-level-floor": _no_level_floor,
    "place-of-card": N_("{card} ({support})"),
    "card-needs-no-place": N_("{card}: {method}: it needs no place in the shop"),
    "card-allows-only": N_("{card}: the card allows only: {supports}"),
    "vehicle-estimated": N_("vehicle {vehicle}: estimated, not measured: {fields}"),
    "shared-not-proven": N_("shared places: it is not proven that no fewer places serve all procedures"),
    "places-left-out": N_("stopped early; not answered: {places}"),
    "shared-left-out": N_("stopped early: shared places were not looked for"),
    "remedies-limited": N_(
        "a search for remedies reached its limit: a least amount may not be the least, or a pair be missing"
    ),
    "remedies-left-out": N_("what would make room was not asked: left out on wish"),
    "remedies-cut-short": N_(
        "{card} ({support}): what would make room was looked for as long as one answer may take; not asked, or not how "
        "much of it: {things}"
    ),
    "remedies-cut": N_(
        "{card} ({support}): what would make room was looked for as long as one answer may take: a least amount may "
        "not be the least, or a pair be missing"
    ),
    "several-surveys": N_("the folder holds {surveys} surveys of {site}: level floor was not looked at"),
    "survey-too-small": N_(
        "the points of the survey {survey} make no floor: they are too few, lie in one line, or two are at one place"
    ),
    "survey-three-points": N_("survey three points or more that are not in one line"),
    "level-of-card": N_("{card} ({support}): {why}"),
    "kept-to-surveyed-floor": N_(
        "{card} ({support}): the roomiest stance of all lies partly on floor that the survey {survey} does not reach; "
        "this one is kept to the floor that was surveyed"
    ),
    "kept-to-level-surveyed-floor": N_(
        "{card} ({support}): the roomiest stance of all lies partly on floor that the survey {survey} does not reach; "
        "this one stands on floor that is level enough by it"
    ),
    "kept-to-level-floor": _sloping(
        N_(
            "{card} ({support}): the roomiest stance of all would stand on floor that differs by {difference:up} and "
            "slopes by {slope:up}°; this one stands on floor that is level enough by the survey {survey}"
        )
    ),
}
