"""The order of work case by case: stages guessed, work pushed back, facts confirmed. Common practice, no source."""

from __future__ import annotations

import pytest
from attrs import evolve
from needs_makers import book, car, card, order, rule, said

from standtrue.documents import default_rules
from standtrue.model.job import Event, Work
from standtrue.model.rules import Calibrate
from standtrue.model.stages import Stage
from standtrue.model.vehicle import Sensor
from standtrue.needs import find_needs, order_of_work
from standtrue.needs.stage_words import guessed_stage

CAMERA = Sensor("forward camera")
GLASS = rule("windshield replaced", Calibrate("forward camera"))
DEFAULTS = (default_rules(),)


@pytest.mark.parametrize(
    ("name", "stage"),
    [
        ("wheel alignment", "alignment"),
        ("four-wheel alignment", "alignment"),
        ("front and rear alignment", "alignment"),
        ("set toe", "alignment"),
        ("tie rod and set toe", "alignment"),
        ("trunk lid alignment", "mechanical"),
        ("camera alignment", "mechanical"),
        ("fender alignment", "mechanical"),
        ("headlamp alignment", "mechanical"),
        ("straighten the frame", "structure"),
        ("pull the left rail", "structure"),
        ("replace fuel rail", "mechanical"),
        ("window frame", "mechanical"),
        ("set tire pressures", "pressures and ride height"),
        ("refinish the bumper", "body and paint"),
        ("hand over", "hand-over"),
        ("wash the bumper", "mechanical"),
        ("Post-scan", "post-scan"),
    ],
)
def test_the_stage_of_work_is_guessed_from_its_words(name: str, stage: Stage) -> None:
    assert guessed_stage(name) == stage


def test_a_stage_that_is_written_down_counts_and_a_guess_is_told() -> None:
    job = order(work=[Work("trunk lid alignment", (0.0, 0.0), stage="alignment"), Work("set toe", (0.0, 0.0))])
    answer = find_needs(job, car(CAMERA), (), DEFAULTS)
    steps = order_of_work(answer, job)
    assert [step.stage for step in steps] == ["pre-scan", "alignment", "alignment", "post-scan"]
    (told,) = said(*answer.warnings)
    assert told == "The stage of these is a guess from their words: set toe: alignment. Write `stage` to say it."


def test_work_after_the_post_scan_or_a_calibration_is_pushed_back() -> None:
    vehicle = car(CAMERA, Sensor("steering-angle sensor"))
    cards = [card("Cam", "forward camera"), card("Zero", "steering-angle sensor", method="electronic")]
    job = order(
        Event("windshield replaced"),
        Event("battery disconnected"),
        work=[
            Work("refit the trim", (0.0, 0.0), after=("forward camera",)),
            Work("fit the plate", (0.0, 0.0), after=("post-scan",)),
            Work("wash and hand over", (0.0, 0.0), after=("post-scan",)),
        ],
    )
    answer = find_needs(job, vehicle, cards, DEFAULTS)
    names = [step.name for step in order_of_work(answer, job)]
    assert names == [
        "pre-scan", "adhesive cured as its maker says", "Zero", "Cam", "refit the trim", "post-scan", "fit the plate",
        "wash and hand over",
    ]  # fmt: skip
    late = [one for one in said(*answer.warnings) if "comes after the calibration" in one]
    assert [one.split(" (")[0] for one in late] == ["refit the trim", "fit the plate"]


def test_a_calibration_never_comes_after_the_post_scan() -> None:
    cards = [card("Cam", "forward camera", after=("post-scan",))]
    job = order(Event("windshield replaced"))
    answer = find_needs(job, car(CAMERA), cards, book(GLASS))
    assert [step.name for step in order_of_work(answer, job)] == ["pre-scan", "Cam", "post-scan"]
    assert "in a circle" in said(answer.warnings[0])[0]


def test_facts_that_nothing_on_the_order_sees_to_are_confirmed_before_what_needs_them() -> None:
    """One step for each fact; work that sees to it takes its place, and of an alignment nobody ordered it is told."""
    vehicle, cards = car(CAMERA), [card("Cam", "forward camera")]
    job = order(Event("suspension work"), Event("tires replaced"), Event("windshield replaced"))
    answer = find_needs(job, vehicle, cards, DEFAULTS)
    steps = order_of_work(answer, job)
    assert [(step.kind, step.stage) for step in steps[1:-2]] == [
        ("confirm", "cure"), ("confirm", "pressures and ride height"), ("confirm", "alignment"),
    ]  # fmt: skip
    assert steps[-2].name == "Cam"
    told = said(*answer.open_points)
    assert len(told) == 2
    assert any(one.startswith("suspension work: this calls for work that the order does not list") for one in told)
    done = [
        Work("Wheel alignment", (0.0, 0.0)),
        Work("Set tire pressures", (0.0, 0.0)),
        Work("Replace the windshield", (0.0, 0.0), wait_s=(60.0, 60.0), blocks="drive"),
    ]
    whole = evolve(job, work=tuple(done))
    answer = find_needs(whole, vehicle, cards, DEFAULTS)
    assert [step.kind for step in order_of_work(answer, whole)] == ["scan", "work", "work", "work", "need", "scan"]
    assert answer.open_points == ()
