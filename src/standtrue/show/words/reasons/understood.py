"""What was understood of each document, part by part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from standtrue.model.reason import Number
from standtrue.show.words.aim import SQUARE_FOOT_M2, area_words
from standtrue.show.words.catalog import N_
from standtrue.show.words.days import day_words, moment_words

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences

COUNTS: Mapping[str, tuple[str, str]] = {
    "lifts": (N_("{n} lift"), N_("{n} lifts")),
    "doors": (N_("{n} door"), N_("{n} doors")),
    "bays": (N_("{n} bay"), N_("{n} bays")),
    "pits": (N_("{n} pit"), N_("{n} pits")),
    "obstacles": (N_("{n} obstacle"), N_("{n} obstacles")),
    "equipment": (N_("{n} piece of equipment"), N_("{n} pieces of equipment")),
    "people": (N_("{n} person"), N_("{n} people")),
    "states": (N_("{n} state"), N_("{n} states")),
    "locks": (N_("{n} locking height"), N_("{n} locking heights")),
    "sensors": (N_("{n} sensor"), N_("{n} sensors")),
    "estimated": (N_("{n} size estimated"), N_("{n} sizes estimated")),
    "zones": (N_("{n} zone"), N_("{n} zones")),
    "variants": (N_("{n} variant"), N_("{n} variants")),
    "rules": (N_("{n} rule"), N_("{n} rules")),
    "events": (N_("{n} event"), N_("{n} events")),
    "works": (N_("{n} piece of work to do"), N_("{n} pieces of work to do")),
    "done": (N_("{n} thing done"), N_("{n} things done")),
    "decisions": (N_("{n} decision"), N_("{n} decisions")),
    "cars": (N_("{n} kind of car"), N_("{n} kinds of cars")),
    "kinds-of-work": (N_("{n} kind of work"), N_("{n} kinds of work")),
    "points": (N_("{n} point"), N_("{n} points")),
    "lines": (N_("{n} line"), N_("{n} lines")),
    "loops": (N_("{n} loop"), N_("{n} loops")),
    "readings": (N_("{n} reading"), N_("{n} readings")),
    "alignment": (N_("{n} wheel reading"), N_("{n} wheel readings")),
    "conditions": (N_("{n} condition"), N_("{n} conditions")),
}
"""One of a thing, and several."""


def _counted(name: str) -> Callable[[Reason, Reader], str]:
    def sentence(reason: Reason, reader: Reader) -> str:
        count = reason["count"]
        assert isinstance(count, int)
        one, several = COUNTS[name]
        return reader.say(one if count == 1 else several, n=count)

    return sentence


def _plain(name: str) -> Callable[[Reason, Reader], str]:
    """The value of this name, and no more."""
    return lambda reason, reader: reader.write(reason[name])


def _area(reason: Reason, reader: Reader) -> str:
    area = reason["area"]
    assert isinstance(area, Number)
    if reader.units == "us":
        return reader.say("{area} sq ft", area=f"{area.value / SQUARE_FOOT_M2:,.0f}")
    return area_words(area.value, reader)


def _card_for(reason: Reason, reader: Reader) -> str:
    sensor = reader.write(reason["sensor"])
    return sensor if reason["sides"] is None else reader.say("{sensor}, both sides", sensor=sensor)


def _targets(reason: Reason, reader: Reader) -> str:
    count, values = reason["count"], dict(reason.values)
    assert isinstance(count, int)
    return reader.say_n(
        "{n} target, {distance} from: {anchor}",
        "{n} targets, the nearest {distance} from: {anchor}",
        count,
        distance=values["distance"],
        anchor=values["anchor"],
    )


def _moment(sentence: str) -> Callable[[Reason, Reader], str]:
    def said(reason: Reason, reader: Reader) -> str:
        when = str(reason["when"])
        found = datetime.fromisoformat(when)
        words = moment_words(found, reader, dated=True) if "T" in when else day_words(found, reader, dated=True)
        return reader.say(sentence, when=words)

    return said


SENTENCES: Sentences = {
    **{f"counted-{name}": _counted(name) for name in COUNTS},
    "measures": lambda reason, reader: f"{reader.write(reason['long'])} x {reader.write(reason['wide'])}",
    "floor-area": _area,
    "clear-height-of": N_("{height} clear"),
    "lift-for-wheels": N_("carries cars by their wheels"),
    "lift-for-bodies": N_("carries cars by their bodies"),
    "lifts-to": N_("up to {height}"),
    "carries-mass": N_("at most {mass}"),
    "car-long": N_("{length} long"),
    "car-wide": N_("{width} wide with mirrors"),
    "car-wheelbase": N_("wheelbase {wheelbase}"),
    "car-mass": _plain("mass"),
    "card-for": _card_for,
    "card-method": _plain("method"),
    "card-targets": _targets,
    "card-supports": N_("on: {supports:or}"),
    "job-car": _plain("vehicle"),
    "job-events": _plain("events"),
    "job-arrives": _moment(N_("comes {when}")),
    "job-promised": _moment(N_("promised {when}")),
    "mix-most": N_("most of them {vehicle}, {share}"),
    "study-sites": _plain("sites"),
    "study-mix": N_("car mix {mix}"),
    "study-orders": N_("{orders} orders a year"),
    "survey-site": _plain("site"),
    "survey-fall": N_("falls {fall:fine} over {over}"),
    "survey-on": N_("of {date}"),
    "setup-of": _plain("procedure"),
    "setup-job": _plain("job"),
}
