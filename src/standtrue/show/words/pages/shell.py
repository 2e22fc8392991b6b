"""What stands around every page: the running head, the demonstration's band, the title block."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

SHEETS: Mapping[str, str] = {
    "today": N_("Today"),
    "floor": N_("Floor"),
    "cards": N_("Cards"),
    "room": N_("Room"),
    "records": N_("Records"),
}
"""The sheets of the running head, in its order."""

ROLES: Mapping[str, str] = {
    "owner": N_("owner"),
    "planner": N_("planner"),
    "technician": N_("technician"),
    "reader": N_("reader"),
}


@frozen
class Shell:
    """The words around a page. `other_units` and `other_languages` are what may be chosen instead: value and name."""

    skip: str
    no_shop: str
    pages: str
    sheets: Mapping[str, str]
    demonstration: str
    demonstration_label: str
    who: str
    sheet: str
    length: str
    units: str
    other_units: tuple[tuple[str, str], ...]
    language: str
    own_language: str
    other_languages: tuple[tuple[str, str], ...]
    how_to: str
    settings: str
    offline: str


def shell_words(reader: Reader, name: str, role: str) -> Shell:
    """They, for whoever reads; `name` "" where nobody signed in."""
    units = {"metric": reader.say("meters"), "us": reader.say("feet and inches")}
    languages = {"en": "English", "es": "Español"}
    return Shell(
        no_shop=reader.say("My shop"),
        skip=reader.say("To the answer"),
        pages=reader.say("Pages"),
        sheets={key: reader.say(sheet) for key, sheet in SHEETS.items()},
        demonstration=reader.say("Demonstration: invented data. Do not work on a real car by this page."),
        demonstration_label=reader.say("Demonstration"),
        who=reader.say("{name}, {role}", name=name, role=reader.say(ROLES[role]))
        if name
        else reader.say("nobody signed in"),
        sheet=reader.say("Sheet"),
        length=reader.say("Length in"),
        units=units[reader.units],
        other_units=tuple((key, word) for key, word in units.items() if key != reader.units),
        language=reader.say("Language"),
        own_language=languages[reader.language],
        other_languages=tuple((key, word) for key, word in languages.items() if key != reader.language),
        how_to=reader.say("How to use this page"),
        settings=reader.say("People and settings"),
        offline=reader.say("No network: what you type is kept here and sent once when it returns."),
    )
