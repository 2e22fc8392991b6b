"""Jobs at the car for tests: a way to drive in, one calibration, and out; people with a PIN; readings as planned."""

from __future__ import annotations

import json
import math
import uuid
from pathlib import Path
from typing import Any

from record_makers import ORDER, write_shop

from standtrue.model.basics import Place
from standtrue.show.answers.car_kept import writing
from standtrue.web.state import State
from standtrue.work.accounts.people import add_person
from standtrue.work.accounts.pins import set_pin
from standtrue.work.car.fold import AtCar
from standtrue.work.car.keeping import at_car, hand_over
from standtrue.work.car.steps import CarStep, Handed, Leg
from web_fixtures import NOW, new_state

JOBS = ("RO-4711", "RO-4712", "RO-4713", "RO-4714")
CARD = "forward camera wide board"
PIN = "4071"

HERE = Place(9.888147, 3.51509, math.pi)


def _leg(gear: str, start: float, end: float, number: int) -> Leg:
    way = tuple(Place(start + (end - start) * k / 6, 3.51509, math.pi) for k in range(7))
    return Leg(gear, abs(end - start), 0.0 if number == 1 else 0.12, number > 1, way)


LEGS = (_leg("forward", 14.5, 9.2, 1), _leg("reverse", 9.2, 9.888147, 2))


def steps(number: int = 1) -> tuple[CarStep, ...]:
    """Driven in, calibrated, scanned."""
    return (
        CarStep(f"{number}.1", 1, "enter", team=("technician A",), place=HERE, legs=LEGS, span_s=(30.0, 60.0)),
        CarStep(f"{number}.2", 2, "calibration", ("card", CARD), CARD, ("technician A",), HERE),
        CarStep(f"{number}.3", 3, "scan", ("term", "post-scan"), "post-scan", ("technician A",), HERE),
    )


def write_orders(folder: Path) -> None:
    """A shop with several orders of the same kind: a windshield, one card, an alignment that was read."""
    write_shop(folder, ORDER)
    setup = (folder / "setup.toml").read_text(encoding="utf-8")
    for number in JOBS[1:]:
        text = ORDER.replace('name = "corrow windshield"', f'name = "{number}"').replace("RO-4711", number)
        (folder / f"order-{number}.toml").write_text(text, encoding="utf-8")
        own = setup.replace('job = "corrow windshield"', f'job = "{number}"')
        own = own.replace('name = "corrow camera, moved"', f'name = "{number} alignment"')
        (folder / f"setup-{number}.toml").write_text(own, encoding="utf-8")


def open_orders(folder: Path) -> State:
    """The shop served, every order handed over, two people with a PIN."""
    state = new_state(folder)
    shop = state.served.shop()
    for name in ("technician A", "technician B"):
        add_person(state.served.store, name, "technician", NOW, "owner A")
        set_pin(state.served.store, name, PIN, NOW, "owner A")
    for job in shop.written.jobs.values():
        if job.order_number in JOBS:
            handed = Handed(1, "owner A", "2026-03-02T19:00:00.000Z", steps())
            hand_over(state.served.place, shop, job.name, handed, shop.written.marks, writing(job.name, True))
    return state


def told_of(state: State, number: str) -> AtCar:
    """Where an order stands."""
    job = next(one for one in state.served.shop().written.jobs.values() if one.order_number == number)
    found = at_car(state.served.store, job.name, writing(job.name, True))
    assert found is not None
    return found


def typed(item: dict[str, Any], off_mm: float = 0.0) -> str:
    """What stands on the tape where everything stands as planned, `off_mm` more of a length."""
    if item["unit"] == "deg":
        return f"{item['planned'] / item['factor']:.2f}"
    if item["unit"] == "in":
        return f"{item['planned'] / item['factor']:.2f}"
    return f"{item['planned'] / item['factor'] + off_mm:.0f}"


def entries_of(page: str, who: str = "technician A") -> list[dict[str, Any]]:
    """Every reading that a page still asks for, as its browser would keep it: what stands on the tape as planned."""
    return [
        {
            "key": uuid.uuid4().hex,
            "by": who,
            "step": "1.2",
            **{key: item[key] for key in ("what", "name", "part")},
            "typed": f"{typed(item)} {item['unit']}",
            "sign": item["sides"][0][1] if item["sides"] else item["sign"],
        }
        for item in items_of(page, "read")
        if item["kept"] is None
    ]


def items_of(html: str, which: str) -> list[dict[str, Any]]:
    """The list of a number pad in a page."""
    section = html[html.index(f'id="st-{which}"') :]
    told = section[section.index('class="items">') + len('class="items">') :]
    found: list[dict[str, Any]] = json.loads(told[: told.index("</script>")])["items"]
    return found
