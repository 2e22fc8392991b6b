"""A card that somebody at a car says is wrong: its document says so from then on, and it serves for nothing until a
second person has read it again."""

from __future__ import annotations

from datetime import datetime, tzinfo

from sqlalchemy import Connection

from standtrue.documents import load_text
from standtrue.documents.rewriting import NotChangedError, with_fields
from standtrue.documents.writing import to_toml
from standtrue.store.documents import Draft, Version, latest_versions
from standtrue.work.car.happened import Happened
from standtrue.work.car.steps import CarStep


def questions_card(one: Happened) -> bool:
    """Whether what happened says that the card of its step is wrong."""
    return one.what == "stopped" and one.name == "card wrong"


def questioned(
    connection: Connection, step: CarStep, one: Happened, order: str, zone: tzinfo | None = None
) -> Draft | None:
    """The card of a step with what is said against it, as a further version; None where the step has no card, or the
    shop no document of it any more. `zone` is the shop's own, by which the day is told."""
    there = _document(connection, step)
    if there is None or there.content is None:
        return None
    content = load_text(there.content, there.path).content
    on = datetime.fromisoformat(one.at.replace("Z", "+00:00")).astimezone(zone).date()
    said = {key: value for key, value in (("says", one.text), ("by", one.by), ("order", order)) if value}
    every = [*content.get("source", {}).get("questioned", ()), {**said, "on": on}]
    try:
        now = with_fields(there.content, there.path, [(("source", "questioned"), every)])
    except NotChangedError:  # it cannot be changed field by field: its comments are worth less than a wrong card
        now = to_toml({**content, "source": {**content["source"], "questioned": every}}).encode()
    mark = load_text(now, there.path).mark
    assert mark is not None  # it had one, and nothing but its life was changed
    return Draft(there.document, there.version, there.kind, there.name, there.path, now, mark.digest)


def _document(connection: Connection, step: CarStep) -> Version | None:
    """The document of a step's card; written for each side, both are one."""
    key = step.called[1] if step.called[0] in ("card", "drive") else ""
    found = {v.name: v for v in latest_versions(connection) if v.kind == "procedure"}
    return found.get(key) or found.get(key.rpartition("/")[0])
