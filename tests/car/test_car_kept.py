"""What is kept of the work at a car is read back as it was, and kept once however often it is sent."""

from __future__ import annotations

from pathlib import Path

import pytest
from attrs import evolve
from record_makers import ORDER, import_said, write_shop

from standtrue.model.basics import Place, UnansweredError
from standtrue.model.job import Done
from standtrue.show.answers.car import handed_again, happened_again, of_handed, of_happened
from standtrue.show.answers.car_kept import writing
from standtrue.work.ask import open_shop
from standtrue.work.car.happened import Happened
from standtrue.work.car.keeping import at_car, hand_over, keep
from standtrue.work.car.planning import from_here
from standtrue.work.car.steps import CarStep, Handed, Leg
from standtrue.work.served import serve_folder
from standtrue.work.where import IN_FOLDER

STEPS = (
    CarStep(
        "1.1",
        1,
        "enter",
        place=Place(9.888, 3.515, 3.141593),
        legs=(Leg("reverse", 4.25, -0.125, True, (Place(1.0, 2.0, 0.0), Place(2.0, 2.5, 0.5))),),
        nearest=("obstacle", "rolling bench", 0.17),
        span_s=(60.0, 90.0),
    ),
    CarStep("1.2", 2, "scan", ("term", "pre-scan"), "pre-scan", ("technician A",), Place(9.888, 3.515, 3.141593)),
)
HANDED = Handed(1, "owner A", "2026-03-02T19:40:00.000Z", STEPS, (Done("work", "2026-03-02T11:00:00", "A"),))
SAID = Happened("key", "2026-03-02T20:00:00.000Z", "A", "d", "1.1", "tool", "not finished", codes=("C1A67",))
JOB = "corrow windshield"


def test_an_order_of_work_is_read_back() -> None:
    back = handed_again(of_handed("job", HANDED, demonstration=True))
    assert of_handed("job", back, demonstration=True) == of_handed("job", HANDED, demonstration=True)
    assert back.steps[1].operation == "pre-scan"
    assert back.steps[0].legs[0].way[1].x_m == pytest.approx(2.0)


def test_what_happened_is_read_back() -> None:
    assert happened_again(of_happened("job", SAID, demonstration=False)) == SAID


def test_it_is_kept_once_and_planned_on_from(tmp_path: Path) -> None:
    write_shop(tmp_path, ORDER)
    served = serve_folder(tmp_path, IN_FOLDER, "A", import_said)
    shop, told = served.shop(), writing(JOB, demonstration=True)
    assert at_car(served.store, JOB, told) is None
    hand_over(served.place, shop, JOB, HANDED, (), told)
    came = evolve(SAID, what="done", name="", key="one")
    assert keep(served.place, shop, JOB, [came, SAID], told) == 2
    assert keep(served.place, shop, JOB, [SAID, came, came], told) == 0
    with pytest.raises(UnansweredError):
        keep(served.place, shop, JOB, [evolve(SAID, text="something else")], told)
    found = at_car(served.store, JOB, told)
    assert found is not None
    assert (found.current is not None, found.steps[0].over, len(found.steps[0].attempts)) == (True, True, 1)
    job = from_here(open_shop(tmp_path).jobs[JOB], found)
    assert [one.what for one in job.done] == ["work"]
    assert job.stands is not None
    assert job.stands.place.x_m == pytest.approx(9.888)
    served.close()
