"""What a foreman changes in a repair order: each change as a new version of its document, comments kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Literal

from standtrue.documents import load_text
from standtrue.documents.rewriting import with_fields, with_tables, without, without_or_same
from standtrue.model.job import Event, FittedSensor

Change = Callable[[bytes, str], bytes]
"""A document's bytes and the name of its file, to its bytes with the change made. Raises NotChangedError."""

Verdict = Literal["keep", "drop"]


def decide(what: Mapping[str, str], verdict: Verdict, because: str, by: str, on: str) -> Change:
    """Overrule what the rules say of a card or sensor (`procedure`), or of an `event`, in place of one before."""
    decision = {**what, "verdict": verdict, "because": because, "by": by, "on": on}

    def change(source: bytes, file: str) -> bytes:
        number = _decided(_content(source, file), what)
        if number is not None:
            source = without(source, file, ("decisions", number))
        return with_tables(source, file, "decisions", [decision], more=True)

    return change


def take_back(what: Mapping[str, str]) -> Change:
    """Without a decision: what the rules say holds again. What was decided stays in the versions before."""

    def change(source: bytes, file: str) -> bytes:
        number = _decided(_content(source, file), what)
        return source if number is None else without(source, file, ("decisions", number))

    return change


def _decided(content: Mapping[str, Any], what: Mapping[str, str]) -> int | None:
    decisions = content.get("decisions", ())
    return next((n for n, one in enumerate(decisions) if all(one.get(k) == v for k, v in what.items())), None)


def add_event(event: Event) -> Change:
    """One more thing that was done to the car."""
    return lambda source, file: with_tables(source, file, "events", [_event(event)], more=True)


def change_event(number: int, event: Event) -> Change:
    """What was done to the car, told otherwise; `number` counts from 0."""

    def change(source: bytes, file: str) -> bytes:
        was = _content(source, file)["events"][number]
        now = _event(event)
        note = was.get("note")
        if isinstance(note, dict) and event.note.en in note.values():
            now["note"] = note  # told in two languages, of which this reader saw one
        gone = [key for key in ("where", "part", "note") if key in was and key not in now]
        for key in gone:
            source = without(source, file, ("events", number, key))
        return with_fields(source, file, [(("events", number, key), v) for key, v in now.items() if was.get(key) != v])

    return change


def remove_event(number: int) -> Change:
    """Without what was not done after all."""
    return lambda source, file: without(source, file, ("events", number))


def _event(event: Event) -> dict[str, object]:
    told = {"event": event.event, "where": event.where, "part": event.part, "note": event.note.en or event.note.es}
    return {key: value for key, value in {**told, "at": event.at}.items() if value}


def look(sensor: FittedSensor, *, fitted: bool) -> Change:
    """Say that somebody looked: the car has the sensor, or has not."""
    wanted, other = ("fitted", "not_fitted") if fitted else ("not_fitted", "fitted")

    def change(source: bytes, file: str) -> bytes:
        content = _content(source, file)
        car = content.get("vehicle")
        for path, lists in (((), content), (("vehicle",), car if isinstance(car, dict) else {})):
            left = [one for one in lists.get(other, ()) if _sensor(one) != sensor]
            if len(left) < len(lists.get(other, ())):
                source = with_fields(source, file, [((*path, other), left)])
        at, there = ((), content) if wanted in content or not isinstance(car, dict) else (("vehicle",), car)
        own: object = sensor.kind if sensor.side is None else {"kind": sensor.kind, "side": sensor.side}
        return with_fields(source, file, [((*at, wanted), [*there.get(wanted, ()), own])])

    return change


def _sensor(said: object) -> FittedSensor:
    if isinstance(said, dict):
        return FittedSensor(str(said.get("kind", "")), said.get("side"))
    return FittedSensor(str(said))


def put_aside(because: str) -> Change:
    """Put the order aside, and why: nothing of it is planned, and nobody waits for it."""
    return lambda source, file: with_fields(source, file, [(("put_aside",), because)])


def take_up(source: bytes, file: str) -> bytes:
    """Take an order up again."""
    return without_or_same(source, file, ("put_aside",))


def car_left(at: str) -> Change:
    """Its car went away; "" takes that back: it is here again."""
    return tell({"left": at})


def tell(fields: Mapping[str, object]) -> Change:
    """Set plain fields of the order, such as when it is promised; those that are empty are taken out."""

    def change(source: bytes, file: str) -> bytes:
        for key in (key for key, value in fields.items() if not value):
            source = without_or_same(source, file, (key,))
        return with_fields(source, file, [((key,), value) for key, value in fields.items() if value])

    return change


def all_of(changes: Sequence[Change]) -> Change:
    """Several changes as one."""

    def change(source: bytes, file: str) -> bytes:
        for one in changes:
            source = one(source, file)
        return source

    return change


def _content(source: bytes, file: str) -> dict[str, Any]:
    return load_text(source, file).content
