"""Random cards as documents, and each of their values changed by itself."""

from __future__ import annotations

import copy
import random
from collections.abc import Iterator
from typing import Any

Card = dict[str, Any]
Path = tuple[str | int, ...]

NEEDS = ("stand", "walk", "clear", "metal-free", "plain")
ANCHORS = ("rear axle", "front axle", "front", "rear", "left", "right")
CALLED = ("quorl", "brenvik", "sutler", "mardock", "phaneuf", "gristow", "tolvane", "wexpole", "kintry", "oulder")


def word(rng: random.Random) -> str:
    """A word that stands in no form."""
    return "".join(rng.choice(CALLED) for _ in range(2)) + str(rng.randrange(1000, 9999))


def length(rng: random.Random, least: float = 1.0, most: float = 3.0) -> float:
    """A length that nothing else is."""
    return round(rng.uniform(least, most), 6)


def random_card(rng: random.Random) -> Card:
    """A sound card with a little of everything, in meters."""
    low = length(rng)
    card: Card = {
        "kind": "procedure",
        "schema": 1,
        "name": "a card",
        "units": "m",
        "sensor": {"kind": "front radar", "side": rng.choice(["left", "right", "each"])},
        "vehicles": [word(rng) for _ in range(rng.randrange(1, 3))],
        "method": "static or drive",
        "source": {"title": word(rng), "edition": word(rng), "transcribed_by": "Ada Marsh"},
        "supports": rng.sample(["floor", "lift down", "lift up"], 2),
        "lift_height": [low, low + 0.123456],
        "wheels_hanging": rng.random() < 0.5,
        "minutes": {"set_up": length(rng), "run": [length(rng), 3.456789], "put_away": length(rng)},
        "people": rng.randrange(11, 40),
        "skills": [word(rng)],
        "equipment": [word(rng)],
        "light": length(rng, 200, 900),
        "floor_level": {"within": length(rng, 0.001, 0.02)},
        "drive": {"speed": length(rng, 5, 9), "road": word(rng), "weather": word(rng), "people": rng.randrange(11, 40)},
        "conditions": [_condition(rng, i) for i in range(rng.randrange(3))],
        "zones": [_zone(rng) for _ in range(rng.randrange(1, 4))],
        "targets": [_target(rng) for _ in range(rng.randrange(3))],
        "variants": [{"name": word(rng), "zones": [_zone(rng)], "targets": [_target(rng)]} for _ in range(2)],
    }
    return card


def _condition(rng: random.Random, number: int) -> Card:
    low = length(rng, 31.0, 35.0)
    return {"what": f"{word(rng)} {number}", "low": f"{low} psi", "high": f"{low + 1.25} psi"}


def _zone(rng: random.Random) -> Card:
    x, y, r = length(rng), length(rng), length(rng, 0.4, 0.9)
    start = round(rng.uniform(-170.0, -20.0), 4)
    shape: Card = rng.choice(
        [
            {"box": [x, y, x + 1.5, y + 0.75]},
            {"circle": [x, y, r]},
            {"sector": [r, r + 2.125, start, start + 60.5]},
            {"outline": [[x, y], [x + 1.25, y], [x + 1.25, y + 1.5], [x, y + 1.375]]},
        ]
    )
    top = {"top": length(rng, 1.0, 2.0), "bottom": length(rng, 0.1, 0.9)}
    return {"name": word(rng), "needs": rng.choice(NEEDS), "anchor": rng.choice(ANCHORS), **shape, **top}


def _target(rng: random.Random) -> Card:
    return {
        "name": word(rng),
        "equipment": word(rng),
        "size": [length(rng), length(rng)],
        "anchor": rng.choice(ANCHORS),
        "at": [length(rng, 2, 6), length(rng, -1, 1), length(rng, 0.5, 1.5)],
        "facing": round(rng.uniform(100.0, 250.0), 4),
        "tolerance": {"along": length(rng, 0.001, 0.02), "turn": round(rng.uniform(0.1, 2.0), 4)},
        "positions": [{"at": [length(rng, 2, 6), 0.25, 0.75], "facing": round(rng.uniform(100.0, 250.0), 4)}],
    }


LEFT_ALONE = (("kind",), ("schema",), ("name",), ("units",), ("source", "transcribed_by"))
SHAPES = ("box", "circle", "sector", "outline")
WHOLE = ("vehicles", "supports", "lift_height", "skills", "equipment", "size", "at", "set_up", "run", *SHAPES)
"""Fields that hold one value, of several numbers or words."""

CHOICES = {
    "side": ("left", "right", "each"),
    "method": ("static", "drive", "static or drive", "static then drive"),
    "needs": NEEDS,
    "anchor": ANCHORS,
}


def leaves(value: object, at: Path = ()) -> Iterator[Path]:
    """Where a card's values stand, but for those that are not read from a source."""
    if at in LEFT_ALONE or at == ("sensor", "kind"):
        return
    if isinstance(value, dict) and not (at and at[-1] in WHOLE):
        for key, inner in value.items():
            yield from leaves(inner, (*at, key))
    elif isinstance(value, list) and not (at and at[-1] in WHOLE):
        for i, inner in enumerate(value):
            yield from leaves(inner, (*at, i))
    else:
        yield at


def changed(card: Card, path: Path, rng: random.Random) -> Card:
    """The card with one value changed a little, and still sound."""
    new = copy.deepcopy(card)
    at: Any = new
    for part in path[:-1]:
        at = at[part]
    at[path[-1]] = _other(path, at[path[-1]], rng)
    return new


def _other(path: Path, value: Any, rng: random.Random) -> Any:
    key = path[-1]
    if key in CHOICES:
        return rng.choice([one for one in CHOICES[str(key)] if one != value and ("drive" in one or key != "method")])
    if key == "supports":
        return value[:1]
    if isinstance(value, bool):
        return not value
    if isinstance(value, str) and value.endswith(" psi"):
        return f"{float(value[:-4]) + rng.choice([-0.25, 0.25])} psi"
    if isinstance(value, str):
        return word(rng)
    if isinstance(value, list) and isinstance(value[0], list):
        return [*value[:-1], [value[-1][0], value[-1][1] + rng.choice([-0.0005, 0.0005])]]
    if isinstance(value, list) and isinstance(value[0], str):
        return [*value, word(rng)]
    if isinstance(value, list):
        i = rng.randrange(len(value)) if key != "lift_height" and key != "run" else 1
        return [*value[:i], value[i] + 0.0005, *value[i + 1 :]]
    return value + 1 if isinstance(value, int) else value + 0.0005


def field_path(card: Card, path: Path) -> tuple[str, ...]:
    """Where a difference in a value is told: items by their names, tables by dots."""
    found: list[str] = []
    at: Any = card
    tables: list[str] = []
    for part in path:
        at = at[part]
        if isinstance(part, int):
            own = at.get("name") or at.get("what") if isinstance(at, dict) else None
            found.append(own or str(part + 1))
        elif isinstance(at, list) and at and isinstance(at[0], dict):
            found.append(part)
        else:
            tables.append("outline" if part in SHAPES else part)
    return (*found, ".".join(tables))


def texts(value: object) -> Iterator[str]:
    """Every value of a card as it would stand in a text, but for what is not read from a source."""
    for path in leaves(value):
        at: Any = value
        for part in path:
            at = at[part]
        yield from _texts(at)


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, list):
        for inner in value:
            yield from _texts(inner)
    elif not isinstance(value, bool):
        yield str(value)
