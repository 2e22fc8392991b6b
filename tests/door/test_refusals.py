"""What the Python door refuses: wrong words with the nearest ones, every fault together, and nothing loaded early."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from typing import Any

import pytest
from door_shops import CARD, LOW, ROOM, small_shop

import standtrue

door: Any = standtrue
"""As it is without type checking, which would find most of this first: see `as_a_user`."""

WRONG: dict[str, tuple[Callable[[], object], tuple[str, ...]]] = {
    "a keyword": (lambda: door.place(small_shop(), vehicel="low car"), ("vehicel", "Did you mean vehicle?")),
    "two keywords": (lambda: door.needs(small_shop(), jobb="a", sit="b"), ("jobb", "sit", "2 faults")),
    "a name": (lambda: door.place(small_shop(), vehicle="low cr"), ("low cr", "Did you mean low car?")),
    "no name of several": (lambda: door.place(small_shop()), ("vehicle: there are 2", "long car or low car")),
    "a card": (lambda: door.place(small_shop(), vehicle=LOW, procedures="camra board"), ("camera board?",)),
    "a class": (lambda: door.any_fit(ROOM, LOW, CARD, support="flor"), ("support:", "floor")),
    "a type": (lambda: door.place(small_shop(), vehicle=3), ("vehicle: a number stands where a name",)),
    "a flag": (lambda: door.plan(small_shop(), alternatives="no"), ("text stands where true or false",)),
    "no shop": (lambda: door.needs(7), ("shop: a number stands where a shop",)),
    "too many": (lambda: door.needs(small_shop(), "order"), ("at most 1", "job")),
    "too few": (lambda: door.drive(small_shop(), "door:a"), ("drive needs goal",)),
    "a folder": (lambda: door.read("/nowhere/at all"), ("no such file", "1 fault")),
    "a unit": (lambda: door.Site("room", box=[0, 0, "3 ftt", 4]), ("Site('room')", "ftt", "Did you mean ft?")),
    "a unit of another kind": (lambda: LOW.but(length="4 kg"), ("kg", "mass")),
    "a field": (lambda: door.Site("room", boxx=[0, 0, 1, 1]), ("boxx", "Did you mean box?")),
    "two fields": (
        lambda: door.Vehicle("v", length=-4, width="wide", wheelbase=2),
        ("length", "width", "2 faults"),
    ),
    "a value": (lambda: door.Site("room", box={1, 2}), ("box: a value of another kind",)),
    "a reference": (lambda: door.Shop(door.Mix("m", vehicles=[{"name": "x", "share": 1}])), ("vehicle",)),
    "a document": (lambda: door.Shop("room"), ("text stands where a document",)),
    "names twice": (lambda: door.Shop(ROOM, ROOM.but(wall_metal=False)), ("name-repeated",)),
    "rooms": (lambda: door.any_fit([[1, 2, 3]], LOW, CARD), ("rooms:", "its width and its length")),
    "no rooms": (lambda: door.any_fit([], LOW, CARD), ("rooms",)),
    "cars": (lambda: door.any_fit(ROOM, ["low car"], CARD), ("cars[0]: text stands",)),
    "a stance": (lambda: door.drive(small_shop(), (1, 2), "door:a"), ("start:", "a stance or the name of a door")),
    "a stance of nothing": (
        lambda: door.drive(small_shop(), (1, None, 0), "door:a"),
        ("start:", "a stance or the name"),
    ),
    "a field with a hyphen": (lambda: door.Site("room", **{"wall-metal": True}), ("wall-metal: no such field",)),
    "units": (lambda: door.reader(units="feet"), ("units takes no feet", "us")),
    "language": (lambda: door.reader(language="en-US"), ("language takes no en-US", "There are: en and es")),
    "a picture": (lambda: door.study(small_shop(), places=False).svg(), ("no such picture",)),
    "an answer as yes or no": (lambda: bool(door.any_fit(ROOM, LOW, CARD)), ("neither yes nor no",)),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_is_told_with_how_to_mend_it(name: str) -> None:
    asked, words = WRONG[name]
    with pytest.raises(standtrue.Refused) as refused:
        asked()
    told = str(refused.value)
    assert all(word in told for word in words), told
    assert refused.value.faults
    assert all(fault.code for fault in refused.value.faults)


@pytest.mark.parametrize(("wrong", "right"), [("plce", "place"), ("anyfit", "any_fit"), ("site", "Site")])
def test_a_name_that_is_not_there_is_told_with_the_nearest(wrong: str, right: str) -> None:
    with pytest.raises(AttributeError, match=f"Did you mean {right}"):
        getattr(standtrue, wrong)


def test_all_that_is_offered_is_there_documented_and_typed() -> None:
    for name in standtrue.__all__:
        offered = getattr(standtrue, name)
        assert offered.__doc__, name
        assert name in dir(standtrue)
    assert len(standtrue.__all__) < 30


LAZY = """
import sys
before = set(sys.modules)
import standtrue
new = {name.partition(".")[0] for name in set(sys.modules) - before}
assert not new & {"numpy", "numba", "pydantic", "shapely", "rich", "typer", "attrs", "babel", "typst"}, new
assert [name for name in sys.modules if name.startswith("standtrue")] == ["standtrue"]
dir(standtrue), standtrue.__doc__
assert [name for name in sys.modules if name.startswith("standtrue.")] == []
import standtrue.place.engine, standtrue.needs, standtrue.study.tally, standtrue.drive
assert callable(standtrue.place) and callable(standtrue.needs) and callable(standtrue.study)
assert standtrue.place.__module__ == "standtrue.door.verbs"
from standtrue.place import engine
assert engine.any_fit.__module__ == "standtrue.place.engine"
"""


def test_nothing_is_loaded_before_it_is_named() -> None:
    subprocess.run([sys.executable, "-c", LAZY], check=True, env={"PYTHONPATH": ":".join(sys.path), "PATH": ""})
