"""A script as a user writes it: strict type checking finds what is wrong in it, and nothing else.

Type checking of the tests reads it; nothing runs it. What is wrong is marked: were it not found, the mark would be.
"""

from __future__ import annotations

from typing import Any, assert_type

import numpy as np
from numpy.typing import NDArray

import standtrue
from standtrue.show.answers.cards import CardAnswer
from standtrue.show.answers.drive import DriveAnswer
from standtrue.show.answers.floor import FloorAnswer
from standtrue.show.answers.measured import MeasuredAnswer
from standtrue.show.answers.needs import NeedsAnswer
from standtrue.show.answers.place import PlaceAnswer
from standtrue.show.answers.plan import PlanShape
from standtrue.show.answers.study import StudyShape
from standtrue.show.answers.targets import TargetsAnswer


def verbs(folder: str) -> None:
    shop = assert_type(standtrue.read(folder), standtrue.Shop)
    assert_type(standtrue.needs(shop, job="a"), standtrue.Answer[NeedsAnswer])
    assert_type(standtrue.place(shop, vehicle="b", headings=[90.0]), standtrue.Answer[PlaceAnswer])
    assert_type(standtrue.drive(folder, "door:d", (1.0, "5 ft", 90.0)), standtrue.Answer[DriveAnswer])
    assert_type(standtrue.plan(shop), standtrue.Answer[PlanShape])
    assert_type(standtrue.targets(shop), standtrue.Answer[TargetsAnswer])
    assert_type(standtrue.measure(shop), standtrue.Answer[MeasuredAnswer])
    assert_type(standtrue.floor(shop, at=("1 m", 2, 0)), standtrue.Answer[FloorAnswer])
    assert_type(standtrue.card(shop, older="a", newer="b"), standtrue.Answer[CardAnswer])
    assert_type(standtrue.study(shop), standtrue.Answer[StudyShape])
    answer = standtrue.place(shop)
    assert_type([one.margin_m for one in answer.data.answers], list[float | None])
    assert_type(answer.svg(), str)
    assert_type(answer.to_dict(), dict[str, Any])


def nouns(shop: standtrue.Shop) -> None:
    room = standtrue.Site("bay", box=[0, 0, "20 ft", 31.5], lifts=[{"name": "l", "type": shop.lifts["flush"]}])
    car = standtrue.Vehicle("car", length=4.5, width="72 in", wheelbase=2.7)
    order = standtrue.Job("order", site=room, vehicle=car, events=[{"event": "windshield replaced"}])
    assert_type(standtrue.Shop(room, car, order, shop.cards.values()).sites["bay"], standtrue.Site)
    fitting = standtrue.any_fit(np.array([[3.5, 8.0]]), car, shop.cards.values())
    assert_type(fitting.yes, NDArray[np.bool_])


def wrong(shop: standtrue.Shop) -> None:
    """Each is refused by the checker, too: an ignore that is not needed would be a fault of its own."""
    standtrue.place(shop, vehicle=3)  # type: ignore[arg-type]
    standtrue.place(shop, procedure="card")  # type: ignore[call-arg]
    standtrue.reader(units="feet")  # type: ignore[arg-type]
    standtrue.Site("bay", boxes=[0, 0, 1, 1])  # type: ignore[call-arg]
    standtrue.Vehicle("car", length=4.5)  # type: ignore[call-arg]
    standtrue.plac(shop)  # type: ignore[attr-defined]
