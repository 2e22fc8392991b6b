"""A card as it is being written: each blank of its sentences is a value of its document, written as the source says it.

What cannot be read, or is not there yet, stays in the draft and is told as its document's fault: nothing typed is lost.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from typing import Any

from standtrue.documents import load_text
from standtrue.documents.procedure import ProcedureForm, to_procedures
from standtrue.model.procedure import Procedure
from standtrue.store.documents import Version
from standtrue.work.card.kept import Keeper
from standtrue.work.card.life import CardsAnswer
from standtrue.work.card.second import compare_readings
from standtrue.work.drafts.draft import Draft, done_now, draft_change, draft_within, keep, let_go, no_such
from standtrue.work.exchange.saving import checked, save_in
from standtrue.work.keep.answers import Said
from standtrue.work.keep.versions import Saved
from standtrue.work.served import Served

KIND, READING = "procedure", "reading"
"""A draft of a card, and one of a second reading of it."""

WORDS = frozenset({"vehicles", "skills", "equipment", "after", "supports", "over"})
"""Fields that are lists of words."""

TEXTS = frozenset(
    {"name", "what", "unit", "road", "weather", "title", "edition", "transcribed_by", "kind", "side", "method", "needs",
     "anchor", "line", "says", "code", "status", "read_on", "transcribed_on", "units"}
)  # fmt: skip
"""Fields that are one text."""

SHORT: Mapping[str, str] = {"minutes": "run", "sensor": "kind", "floor_level": "within"}
"""Tables of which the main field may stand alone, and that field."""

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

Path = tuple[str | int, ...]
Content = Mapping[str, Any]
Changing = Callable[[Content], dict[str, Any]]
"""From what a draft says to the fields that change."""


def path_of(said: str) -> Path:
    """A path as the blanks name it, such as `zones.0.box.2`; one that begins with `-` is of a length that is told to
    the right, where the document has it to the left."""
    return tuple(int(part) if part.isdigit() else part for part in said.lstrip("-").split("."))


def filled(content: Content, typed: Mapping[str, str]) -> dict[str, Any]:
    """The fields of the document that change once these blanks are filled (None: no longer there)."""
    now: Any = json.loads(json.dumps(dict(content), default=str))
    for said, text in typed.items():
        path = path_of(said)
        value = value_of(path, _turned(text) if said.startswith("-") else text)
        now = _put(now, path, value)
    return {key: now.get(key) for key in {str(path_of(said)[0]) for said in typed}}


def value_of(path: Path, text: str) -> Any:
    """What a text means at a blank: words, a text, a number in the card's own unit, or a quantity with its unit.

    None for an empty text: nothing is said there.
    """
    said = " ".join(text.split())
    named = next(str(part) for part in reversed(path) if isinstance(part, str))
    if not said:
        return None
    if named in WORDS and not (named == "equipment" and path[0] == "targets"):
        return [word.strip() for word in said.split(",") if word.strip()]
    if named in TEXTS or named == "equipment":
        return said
    if said in ("yes", "no"):
        return said == "yes"
    try:
        number = float(said.replace(",", "."))
    except ValueError:
        return said
    return int(number) if number == int(number) else number


def _turned(text: str) -> str:
    said = text.strip()
    if not said or said in ("0", "-0"):
        return said
    return said[1:].strip() if said.startswith("-") else f"-{said}"


def _put(there: Any, path: Path, value: Any) -> Any:
    """A value put where a path leads; a list keeps its places, a table loses a field that is nothing."""
    if not path:
        return value
    key, rest = path[0], path[1:]
    if isinstance(key, int):
        items = list(there) if isinstance(there, list) else ["" if there is None else there] * max(2, key + 1)
        items += [""] * (key + 1 - len(items))
        items[key] = _put(items[key], rest, value)
        if items[key] is None:
            items[key] = ""
        return None if all(item == "" for item in items) and not rest else items
    table = dict(there) if isinstance(there, Mapping) else {}
    inner = table.get(key)
    if rest and isinstance(rest[0], str) and key in SHORT and inner is not None and not isinstance(inner, Mapping):
        inner = {SHORT[key]: inner}
    found = _put(inner, rest, value)
    if found is None or found == {}:
        table.pop(key, None)
    else:
        table[key] = found
    return table


def added(content: Content, where: str) -> dict[str, Any]:
    """One more zone, target, condition or cause. Raises UnansweredError for anything else."""
    if where not in NEW:
        raise no_such(where)
    return {where: [*content.get(where, ()), dict(NEW[where])]}


def without(content: Content, where: str, number: int) -> dict[str, Any]:
    """Without one of them. Raises UnansweredError where there is none."""
    items = list(content.get(where, ()))
    if where not in NEW or not 0 <= number < len(items):
        raise no_such(where)
    del items[number]
    return {where: items or None}


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


def change_card(
    served: Served, draft_of: tuple[str, str], change: Changing, what: str, who: str, now: datetime
) -> Draft:
    """Change a draft. Raises UnansweredError where there is none, or the change names what is not there."""
    read, (kind, name) = served.read(), draft_of
    with served.store.writing() as connection:
        draft = draft_within(connection, read, kind, name)
        if draft is None:
            raise no_such(name)
        draft = draft.with_step(done_now(draft, change(draft.content), what, name, who, now))
        keep(connection, draft)
    return draft


def step_card(served: Served, kind: str, name: str, step: Callable[[Draft], Draft]) -> Draft:
    """Undo or redo. Raises UnansweredError where there is no draft."""
    read = served.read()
    with served.store.writing() as connection:
        draft = draft_within(connection, read, kind, name)
        if draft is None:
            raise no_such(name)
        keep(connection, step(draft))
    return draft


def begin(served: Served, draft: Draft, name: str = "") -> None:
    """Keep a draft that is new; one of that name that is there already stays as it is."""
    with served.store.writing() as connection:
        if draft_within(connection, served.read(), draft.kind, name or draft.name) is None:
            keep(connection, draft if not name else Draft(draft.kind, name, 0, draft.content))


def keep_card(served: Served, name: str, by: str, said: Callable[[Saved], Said]) -> Version:
    """Save a card as it is written. Raises UnansweredError for its faults, StaleError if it was saved meanwhile."""
    read = served.read()
    with served.store.writing() as connection:
        draft = draft_within(connection, read, KIND, name)
        if draft is None:
            raise no_such(name)
        version = save_in(connection, checked(read, draft_change(read, draft)), by, said)
        let_go(connection, KIND, name)
    return version


def unwanted(served: Served, kind: str, name: str) -> None:
    """Let a draft go."""
    with served.store.writing() as connection:
        let_go(connection, kind, name)


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
