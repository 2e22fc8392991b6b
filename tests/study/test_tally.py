"""A year's work weighed: every figure here is counted by hand."""

from __future__ import annotations

from standtrue.model.fits import Fits
from standtrue.model.reason import Ref
from standtrue.study.tally import CardFit, Share, Task, TaskNeed, tally, won_back

YES: CardFit = (("floor", Fits.YES),)
NO: CardFit = (("floor", Fits.NO), ("lift up", Fits.NO))
TASKS = (
    Task("glass", "a", 30.0, (TaskNeed(Ref("card", "camera"), (("camera",),)),)),
    Task("glass", "b", 10.0, (TaskNeed(Ref("card", "camera"), (("camera",),)),)),
    Task(
        "front",
        "a",
        20.0,
        (TaskNeed(Ref("card", "camera"), (("camera",),)), TaskNeed(Ref("card", "radar"), (("radar",), ("other",)))),
    ),
    Task("rear", "b", 5.0, (TaskNeed(Ref("sensor", "rear radar"), ()),)),
)
TABLE = {("a", "camera"): YES, ("b", "camera"): NO, ("a", "radar"): NO, ("a", "other"): NO}


def test_an_order_is_done_if_each_of_its_needs_is() -> None:
    told = tally(TASKS, TABLE)
    assert told.whole == Share("all", 30.0, 65.0)
    assert told.by_order == (Share("glass", 30.0, 40.0), Share("front", 0.0, 20.0), Share("rear", 0.0, 5.0))
    assert told.by_car == (Share("a", 30.0, 50.0), Share("b", 0.0, 15.0))
    assert {c.card: c.any_support for c in told.by_card}["camera"] == Share("camera", 50.0, 60.0)


def test_what_stops_the_rest_comes_with_the_work_it_stops() -> None:
    stops = {s.what.name: s for s in tally(TASKS, TABLE).stops}
    assert [(s.what.name, s.lost, s.alone) for s in tally(TASKS, TABLE).stops] == [
        ("radar", 20.0, 20.0),
        ("camera", 10.0, 10.0),
        ("rear radar", 5.0, 5.0),
    ]
    assert stops["rear radar"].no_card
    assert stops["camera"].cars == ("b",)


def test_one_option_of_a_need_will_do() -> None:
    after = {**TABLE, ("a", "other"): YES}
    assert tally(TASKS, after).whole.done == 50.0
    assert won_back(TASKS, TABLE, after) == 20.0
    camera = next(s for s in tally(TASKS, TABLE).stops if s.what.name == "camera")
    assert won_back(TASKS, TABLE, after, camera) == 0.0


def test_what_is_undecided_counts_as_not_done_and_is_told() -> None:
    table = {**TABLE, ("b", "camera"): (("floor", Fits.UNDECIDED),)}
    told = tally(TASKS, table)
    assert told.whole.done == 30.0
    assert told.undecided == 10.0
