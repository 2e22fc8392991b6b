"""The needs engine case by case. Trade facts are common practice, no source."""

from __future__ import annotations

import needs_makers as make
import pytest
from needs_makers import book, car, card, firsts, hows, need_of, order, rule, said

from standtrue.documents import default_rules
from standtrue.model.basics import Side
from standtrue.model.job import Decision, Event, FittedSensor, Work
from standtrue.model.reason import Text
from standtrue.model.rules import Calibrate, Where
from standtrue.model.vehicle import Sensor
from standtrue.needs import NO_CARD, find_needs, order_of_work
from standtrue.show.answers.needs import of_each_need

CAMERA = Sensor("forward camera")
RADAR = Sensor("front radar")
LEFT, RIGHT = Sensor("rear corner radar", "left"), Sensor("rear corner radar", "right")
GLASS = rule("windshield replaced", Calibrate("forward camera"), because="The camera looks through the glass.")
DEFAULTS = (default_rules(),)


def test_a_rule_fires_whatever_the_spelling_and_says_why() -> None:
    answer = find_needs(order(Event("Windscreen  replaced")), car(CAMERA, RADAR), (), book(GLASS))
    assert hows(answer) == {("forward camera", None): "required"}
    because = need_of(answer, "forward camera").because
    assert said(*because) == (
        "Windscreen  replaced: The camera looks through the glass.",
        "no card: get the maker's procedure",
    )
    assert because[1] == NO_CARD


@pytest.mark.parametrize(
    ("rule_where", "event_where", "how"),
    [
        (None, "rear", "required"),
        ("front", "front", "required"),
        ("front", None, "conditional"),
        ("front", "rear", None),
    ],
)
def test_where(rule_where: Where | None, event_where: Where | None, how: str | None) -> None:
    rules = book(rule("minor collision", Calibrate("front radar"), where=rule_where))
    answer = find_needs(order(Event("minor collision", event_where)), car(RADAR), (), rules)
    assert hows(answer).get(("front radar", None)) == how
    assert bool(answer.open_questions) == (how is None)


@pytest.mark.parametrize(
    ("rule_part", "event_part", "how"),
    [
        (None, "anything", "required"),
        ("front radar", "Front Radars", "required"),
        ("front radar", None, "conditional"),
        ("front radar", "radar", "conditional"),
        ("front radar", "front corner radar", None),
        ("rear corner radar", "left blind-spot radar", "required"),
        ("ultrasonic", "parking sensors, rear", "required"),
        ("lower trim", "the lower trim on the left", "required"),
        ("lower trim", "body computer", "conditional"),
        ("lower trim", "front radar", "conditional"),
    ],
)
def test_part(rule_part: str | None, event_part: str | None, how: str | None) -> None:
    rules = book(rule("sensor disturbed", Calibrate("front radar"), part=rule_part))
    answer = find_needs(order(Event("sensor disturbed", part=event_part)), car(RADAR), (), rules)
    assert hows(answer).get(("front radar", None)) == how


def test_a_part_that_one_rule_knows_does_not_fire_the_rules_for_other_parts() -> None:
    rules = book(
        rule("sensor disturbed", Calibrate("front radar"), part="lower trim"),
        rule("sensor disturbed", Calibrate("forward camera"), part="upper trim"),
    )
    answer = find_needs(order(Event("sensor disturbed", part="upper trim")), car(RADAR, CAMERA), (), rules)
    assert hows(answer) == {("forward camera", None): "required"}


def test_a_part_that_hints_at_a_sensor_makes_it_conditional_beside_rules_that_fire_surely() -> None:
    rules = book(
        rule("sensor disturbed", Calibrate("front radar"), part="front radar"),
        rule("sensor disturbed", Calibrate("lidar"), part="lidar"),
        rule("sensor disturbed", Calibrate("forward camera")),
    )
    vehicle = car(RADAR, CAMERA, Sensor("lidar"))
    answer = find_needs(order(Event("sensor disturbed", part="radar")), vehicle, (), rules)
    assert hows(answer) == {("forward camera", None): "required", ("front radar", None): "conditional"}


@pytest.mark.parametrize(
    ("entry", "fits"),
    [
        ("*", True),
        ("heron  WAGON", True),
        ("Northlake", True),
        ("Northlake Heron 2020", True),
        ("Northlake Heron 2015-2019", True),
        ("Northlake Heron 2024", False),
        ("Northlake Otter", False),
        ("2021", True),
        ("", False),
    ],
)
def test_vehicles(entry: str, fits: bool) -> None:
    rules = book(rule("windshield replaced", Calibrate("forward camera"), vehicles=(entry,)))
    answer = find_needs(order(Event("windshield replaced")), car(CAMERA), (), rules)
    assert hows(answer) == {("forward camera", None): "required" if fits else "conditional"}
    assert bool(answer.open_questions) == (not fits)


@pytest.mark.parametrize(
    ("where", "called", "left", "right"),
    [
        (None, None, "required", "required"),
        ("left", None, "required", "conditional"),
        ("right", None, "conditional", "required"),
        (None, "left", "required", None),
        ("left", "left", "required", None),
        ("right", "left", "conditional", None),
    ],
)
def test_sides(where: Where | None, called: Side | None, left: str | None, right: str | None) -> None:
    rules = book(rule("quarter panel replaced", Calibrate("rear corner radar", called)))
    answer = find_needs(order(Event("quarter panel replaced", where)), car(LEFT, RIGHT), (), rules)
    found = hows(answer)
    assert found.get(("rear corner radar", "left")) == left
    assert found.get(("rear corner radar", "right")) == right


def test_a_rule_written_for_one_side_decides_for_the_other_side_itself() -> None:
    rules = book(rule("door mirror removed", Calibrate("rear corner radar", "right"), where="left"))
    answer = find_needs(order(Event("door mirror removed", "left")), car(LEFT, RIGHT), (), rules)
    assert hows(answer) == {("rear corner radar", "right"): "required"}


def test_required_beats_conditional_and_every_reason_stays() -> None:
    rules = book(
        rule("windshield replaced", Calibrate("forward camera"), how="conditional", because="Look."),
        GLASS,
        rule("wheel alignment", Calibrate("forward camera"), how="conditional", because="The line changed."),
    )
    answer = find_needs(order(Event("windshield replaced"), Event("wheel alignment")), car(CAMERA), (), rules)
    need = need_of(answer, "forward camera")
    assert need.how == "required"
    assert [cause.because for cause in need.causes] == [
        Text("Look."),
        Text("The camera looks through the glass."),
        Text("The line changed."),
    ]


def test_options_and_the_jobs_own_lists() -> None:
    vehicle = car(Sensor("forward camera", option="lane pack"), RADAR)
    rules = book(
        GLASS, rule("windshield replaced", Calibrate("lidar")), rule("grille removed", Calibrate("front radar"))
    )
    glass = Event("windshield replaced")
    unseen = need_of(find_needs(order(glass), vehicle, (), rules), "forward camera")
    assert unseen.how == "conditional"
    assert "look whether it is fitted (lane pack)" in said(*unseen.because)
    seen = find_needs(order(glass, fitted=[FittedSensor("forward camera"), FittedSensor("lidar")]), vehicle, (), rules)
    assert hows(seen) == {("forward camera", None): "required", ("lidar", None): "required"}
    absent = find_needs(order(glass, not_fitted=[FittedSensor("forward camera")]), vehicle, (), rules)
    assert not absent.needs
    assert not absent.warnings
    assert said(*absent.not_fitted[0].because) == ("windshield replaced: The camera looks through the glass.",)
    denied = find_needs(order(Event("grille removed"), not_fitted=[FittedSensor("front radar")]), vehicle, (), rules)
    assert not denied.needs
    assert "without an option" in said(denied.warnings[0])[0]


def test_a_car_without_listed_sensors_gives_a_warning_and_events_without_rules_are_asked_about() -> None:
    answer = find_needs(order(Event("hit by a tree"), Event("grille removed")), car(), (), book(GLASS))
    assert [warning.split(":")[0] for warning in said(*answer.warnings)] == ["The vehicle document lists no sensors"]
    questions = [question.reason for question in answer.open_questions]
    assert [reason.code for reason in questions] == ["event-unknown", "event-unknown"]
    assert all("lists no sensor that it may have touched" in text for text in said(*questions))
    assert answer.look_first


def test_the_closest_card_is_chosen_and_the_others_are_alternatives() -> None:
    cards = [
        card("Any car", "forward camera"),
        card("This maker", "forward camera", vehicles=("Northlake",)),
        card("This car", "forward camera", vehicles=("Heron wagon",)),
        card("Other car", "forward camera", vehicles=("Otter",)),
    ]
    need = need_of(find_needs(order(Event("windshield replaced")), car(CAMERA), cards, book(GLASS)), "forward camera")
    assert need.procedure == "This car"
    assert need.alternatives == ("This maker", "Any car")


def test_a_card_for_the_side_goes_before_one_for_either_side() -> None:
    cards = [card("All corners", "rear corner radar"), card("Left corner", "rear corner radar", "left")]
    rules = book(rule("rear bumper removed", Calibrate("rear corner radar")))
    answer = find_needs(order(Event("rear bumper removed")), car(LEFT, RIGHT), cards, rules)
    assert [need.procedure for need in answer.needs] == ["Left corner/left", "All corners"]
    assert [need.alternatives for need in answer.needs] == [("All corners",), ()]


def test_cards_chain_through_after() -> None:
    cards = [
        card("Drive it", "forward camera", method="drive", after=("Aim it", "fill the tank")),
        card("Aim it", "forward camera"),
    ]
    job = order(Event("windshield replaced"))
    answer = find_needs(job, car(CAMERA), cards, book(GLASS))
    need = need_of(answer, "forward camera")
    assert (need.chain, need.procedure, need.alternatives) == (("Aim it", "Drive it"), "Drive it", ())
    assert firsts(need)[:2] == ("Aim it", "fill the tank")
    names = [step.name for step in order_of_work(answer, job)]
    assert names.index("Aim it") < names.index("Drive it")


def test_cards_in_a_circle_are_alternatives_with_a_warning() -> None:
    cards = [card("A", "forward camera", after=("B",)), card("B", "forward camera", after=("A",))]
    answer = find_needs(order(Event("windshield replaced")), car(CAMERA), cards, book(GLASS))
    assert need_of(answer, "forward camera").alternatives == ("B",)
    assert "in a circle" in said(answer.warnings[0])[0]


def test_each_side_gets_its_own_card_and_a_sensor_without_sides_gets_both() -> None:
    cards = [card("Aim", "rear corner radar", "left"), card("Aim", "rear corner radar", "right")]
    job, rules = order(Event("rear bumper removed")), book(rule("rear bumper removed", Calibrate("rear corner radar")))
    sided = find_needs(job, car(LEFT, RIGHT), cards, rules)
    assert [need.procedure for need in sided.needs] == ["Aim/left", "Aim/right"]
    (both,) = find_needs(job, car(Sensor("rear corner radar")), cards, rules).needs
    assert both.chain == ("Aim/left", "Aim/right")
    half = find_needs(job, car(Sensor("rear corner radar")), cards[:1], rules)
    assert "Only the left rear corner radar has a card" in said(half.warnings[0])[0]


def decision(named: str, verdict: str = "drop", because: str = "The glass stayed in.", by: str = "Robin") -> Decision:
    return Decision(named, "keep" if verdict == "keep" else "drop", Text(because), by)


def test_a_dropped_need_stays_in_the_list_but_has_no_step() -> None:
    job = order(Event("windshield replaced"), decisions=[decision("forward camera")])
    answer = find_needs(job, car(CAMERA), [card("Cam", "forward camera")], book(GLASS))
    (made,) = (need.to_json() for need in of_each_need(answer.needs))
    assert made["overruled"] == {
        "verdict": "drop",
        "because": "The glass stayed in.",
        "by": "Robin",
        "on": None,
        "because_es": "",
    }
    assert made["how"] == "required"
    assert [step.kind for step in order_of_work(answer, job)] == ["scan", "scan"]


def test_decisions_by_key_by_name_and_by_the_sensors_words() -> None:
    cards = [card("Aim", "rear corner radar", "left"), card("Aim", "rear corner radar", "right")]
    rules = book(rule("rear bumper removed", Calibrate("rear corner radar")))
    for named, dropped in (("aim/LEFT", ["left"]), ("Aim", ["left", "right"]), ("Rear corner radar, right", ["right"])):
        job = order(Event("rear bumper removed"), decisions=[decision(named)])
        answer = find_needs(job, car(LEFT, RIGHT), cards, rules)
        assert [need.side for need in answer.needs if need.dropped] == dropped
        assert not answer.warnings


def test_keep_adds_a_need_or_chooses_a_card() -> None:
    cards = [card("A", "forward camera"), card("B", "forward camera"), card("R", "front radar")]
    job = order(
        Event("windshield replaced"),
        decisions=[decision("R", "keep", "The customer asks for it."), decision("B", "keep", "Our frame suits it.")],
    )
    answer = find_needs(job, car(CAMERA, RADAR), cards, book(GLASS))
    assert need_of(answer, "forward camera").procedure == "B"
    radar = need_of(answer, "front radar")
    assert (radar.how, said(*radar.because)) == ("required", ("decision of Robin: The customer asks for it.",))
    assert not answer.warnings


def test_idle_decisions_give_warnings() -> None:
    cards = [card("A", "forward camera"), card("B", "forward camera")]
    job = order(
        Event("windshield replaced"),
        decisions=[
            decision("no such card"),
            decision("front radar"),
            decision("B"),
            decision("A", because=" "),
            decision("lidar", "keep"),
        ],
    )
    answer = find_needs(job, car(CAMERA, RADAR), cards, book(GLASS))
    assert len(answer.warnings) == 5
    assert need_of(answer, "forward camera").overruled is None
    assert need_of(answer, "lidar").how == "required"


def test_the_last_of_two_contrary_decisions_stands() -> None:
    job = order(
        Event("windshield replaced"), decisions=[decision("forward camera"), decision("forward camera", "keep")]
    )
    answer = find_needs(job, car(CAMERA), (), book(GLASS))
    assert not answer.needs[0].dropped
    assert "contradict" in said(answer.warnings[0])[0]


def test_the_order_of_work_follows_common_practice() -> None:
    vehicle = car(CAMERA, RADAR, Sensor("steering-angle sensor"), Sensor("ride-height sensor"))
    cards = [
        card("Camera drive", "forward camera", method="drive"),
        card("Radar", "front radar"),
        card("Zero", "steering-angle sensor", method="electronic"),
    ]
    job = order(
        Event("structural collision"),
        Event("windshield replaced"),
        work=[
            Work("Wheel alignment", (0.0, 0.0)),
            Work("Fit the glass", (0.0, 0.0)),
            Work("Set tire pressures", (0.0, 0.0)),
            Work("Straighten the frame", (0.0, 0.0)),
        ],
    )
    answer = find_needs(job, vehicle, cards, DEFAULTS)
    assert [step.name or step.sensor for step in order_of_work(answer, job)] == [
        "pre-scan",
        "Straighten the frame",
        "structure measured and within limits",
        "Fit the glass",
        "adhesive cured as its maker says",
        "Set tire pressures",
        "ride-height sensor",
        "Wheel alignment",
        "Zero",
        "Radar",
        "Camera drive",
        "post-scan",
    ]
    assert firsts(need_of(answer, "front radar")) == (
        "structure measured and within limits",
        "wheel alignment measured and within limits",
        "adhesive cured as its maker says",
        "Straighten the frame",
        "Set tire pressures",
        "ride-height sensor",
        "Zero",
    )


def test_needs_of_one_stage_do_not_wait_for_each_other_and_seats_wait_for_nothing() -> None:
    vehicle = car(Sensor("steering-angle sensor"), Sensor("yaw-rate sensor"), Sensor("occupant weight sensor"))
    job = order(Event("structural collision"), Event("battery disconnected"))
    answer = find_needs(job, vehicle, (), DEFAULTS)
    assert firsts(need_of(answer, "yaw-rate sensor")) == (
        "structure measured and within limits",
        "wheel alignment measured and within limits",
        "Repair and measure the structure",
    )
    assert firsts(need_of(answer, "occupant weight sensor")) == ()


def test_what_names_something_is_pushed_back_and_the_named_never_pulled_forward() -> None:
    vehicle, cards = car(RADAR), [card("Radar", "front radar")]
    job = order(
        Event("grille removed"),
        work=[Work("Fit the emblem", (0.0, 0.0), after=("Radar",)), Work("Wheel alignment", (0.0, 0.0))],
    )
    answer = find_needs(job, vehicle, cards, DEFAULTS)
    names = [step.name for step in order_of_work(answer, job)]
    assert names == ["pre-scan", "Wheel alignment", "Radar", "Fit the emblem", "post-scan"]
    assert firsts(need_of(answer, "front radar")) == ("Wheel alignment",)


def test_events_imply_steps_that_the_job_does_not_list_and_own_scans_count() -> None:
    job = order(Event("wheel alignment"), work=[Work("Pre-scan with the tablet", (0.0, 0.0))])
    steps = order_of_work(find_needs(job, car(CAMERA), (), DEFAULTS), job)
    assert list(said(*(step.what for step in steps))) == [
        "Pre-scan with the tablet",
        "Confirm that it is done: Wheel alignment. The order lists no such work",
        "Look whether the forward camera must be calibrated; if so, by the maker's procedure: there is no card",
        "Post-scan: read every control unit last",
    ]


def test_circles_in_the_work_give_a_warning_and_an_order_all_the_same() -> None:
    job = order(work=[Work("A", (0.0, 0.0), after=("B",)), Work("B", (0.0, 0.0), after=("A",))])
    answer = find_needs(job, car(CAMERA), (), DEFAULTS)
    assert "in a circle" in said(answer.warnings[0])[0]
    assert [step.name for step in order_of_work(answer, job)] == ["pre-scan", "A", "B", "post-scan"]


def test_demonstration_is_passed_on() -> None:
    cards = [card("Cam", "forward camera", demonstration=True)]
    job = order(Event("windshield replaced"))
    assert find_needs(job, car(CAMERA), cards, book(GLASS)).demonstration
    assert not find_needs(job, car(CAMERA), (), book(GLASS)).demonstration


def test_json_has_the_fields_of_the_contract() -> None:
    answer = find_needs(make.order(Event("windshield replaced")), car(CAMERA), (), book(GLASS))
    (made,) = (need.to_json() for need in of_each_need(answer.needs))
    event = {"code": "event", "values": {"event": "windshield replaced"}, "terms": ["event"]}
    no_card = {"code": "no-card", "values": {}}
    assert made == {
        "procedure": None,
        "sensor": "forward camera",
        "side": None,
        "how": "required",
        "because": [
            "windshield replaced: The camera looks through the glass.",
            "no card: get the maker's procedure",
        ],
        "because_coded": [
            {
                "code": "called-for",
                "values": {"event": event, "because": "The camera looks through the glass.", "doubts": []},
            },
            no_card,
        ],
        "before": [],
        "card": False,
        "overruled": None,
        "alternatives": [],
        "chain": [],
        "order": 2,
        "remedy": "no card: get the maker's procedure",
        "remedy_coded": no_card,
    }
