"""A card as it is being written: each blank of its sentences is a value of its document, written as the source says it.

A second reading is written the same way, into a draft of its own.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from standtrue.documents import load_text
from standtrue.documents.procedure import ProcedureForm, to_procedures
from standtrue.model.procedure import Procedure
from standtrue.work.card.kept import Keeper
from standtrue.work.card.life import CardsAnswer
from standtrue.work.card.second import compare_readings
from standtrue.work.drafts.blanks import Content
from standtrue.work.drafts.draft import Draft, no_such
from standtrue.work.drafts.drafting import unwanted
from standtrue.work.served import Served

KIND, READING = "procedure", "reading"
"""A draft of a card, and one of a second reading of it."""

NEW: Mapping[str, Mapping[str, Any]] = {
    "zones": {"name": "", "needs": "", "anchor": "", "box": ["", "", "", ""], "top": ""},
    "targets": {"name": "", "anchor": "", "at": ["", "", ""], "facing": ""},
    "conditions": {"what": ""},
    "causes": {"says": ""},
}
"""What can be added, with every blank that must be filled, empty: nothing is proposed that the source should say."""

WAYS: Mapping[str, tuple[str, ...]] = {
    "box": ("", "", "", ""),
    "circle": ("", "", ""),
    "sector": ("", "", "", ""),
}
"""The ways to give a zone's outline besides its corners, with their blanks."""


def another_way(content: Content, number: int, way: str) -> dict[str, Any]:
    """A zone's outline given another way, its blanks empty. Raises UnansweredError where there is no such zone."""
    zones = list(content.get("zones", ()))
    if not 0 <= number < len(zones):
        raise no_such("zones")
    kept = {key: value for key, value in zones[number].items() if key not in (*WAYS, "outline")}
    if way == "corner":  # one more corner
        corners = zones[number].get("outline") or [["", ""]] * 2
        zones[number] = {**kept, "outline": [*corners, ["", ""]]}
    elif way in WAYS:
        zones[number] = {**kept, way: list(WAYS[way])}
    else:
        raise no_such(way)
    return {"zones": zones}


# Drafts


def new_card(name: str, title: str, units: str, who: str) -> Draft:
    """The draft of a card that nobody has written yet."""
    source = {"title": title, "transcribed_by": who, "status": "draft"}
    head = {"kind": KIND, "schema": 1, "name": name, "units": units}
    return Draft(KIND, name, 0, {**head, "sensor": "", "method": "", "source": source})


def new_reading(card: str, units: str) -> Draft:
    """The draft of a second reading: nothing in it but the card's name."""
    head = {"kind": KIND, "schema": 1, "name": card, "units": units}
    return Draft(READING, "", 0, {**head, "sensor": "", "method": "", "source": {"title": ""}})


def compare(served: Served, keeper: Keeper, card: str, draft: Draft, by: str, on: date) -> CardsAnswer:
    """A second reading compared with the card; all alike, the card is verified and the reading is let go."""
    document = load_text(json.dumps(dict(draft.content), ensure_ascii=False, default=str), "reading.json")
    answer = compare_readings(keeper, served.shop(), card, document, by, on)
    if not answer.differences:
        unwanted(served, READING, draft.name)
    return answer


# What can be drawn already


def drawable(draft: Draft) -> Procedure | None:
    """The card with only those zones and targets that are whole; None where it says too little to be drawn."""
    content: dict[str, Any] = {key: draft.content[key] for key in ("units",) if key in draft.content}
    content |= {"kind": KIND, "schema": 1, "name": "a card", "method": "static", "source": {"title": "a source"}}
    content["sensor"] = draft.content.get("sensor") or "forward camera"
    parts = [(where, item) for where in ("zones", "targets") for item in draft.content.get(where, ())]
    for where, item in parts:
        tried = {**content, where: [*content.get(where, ()), item]}
        if not _faults(tried):
            content = tried
    form = load_text(json.dumps(content, default=str), "card.json").form
    return to_procedures(form)[0] if isinstance(form, ProcedureForm) else None


def _faults(content: Content) -> Iterable[Any]:
    return load_text(json.dumps(dict(content), default=str), "card.json").faults
