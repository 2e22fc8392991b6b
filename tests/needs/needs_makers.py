"""Small invented cars, cards and orders for the tests of the needs engine."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st

from standtrue.model.basics import Side
from standtrue.model.job import Decision, Event, FittedSensor, Job, Work
from standtrue.model.procedure import Method, Procedure, Source
from standtrue.model.reason import Reason, Text
from standtrue.model.rules import Calibrate, How, Rule, Rules, Where
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.needs import Need, NeedsAnswer
from standtrue.show.words.reader import ENGLISH

SIDES: tuple[Side | None, ...] = (None, "left", "right")


def car(
    *sensors: Sensor, maker: str = "Northlake", model: str = "Heron", years: tuple[int, int] = (2019, 2023)
) -> Vehicle:
    """An invented car."""
    return Vehicle(
        name="Heron wagon",
        length_m=4.6,
        width_m=1.82,
        width_over_mirrors_m=2.05,
        height_m=1.5,
        wheelbase_m=2.7,
        front_overhang_m=0.9,
        track_front_m=1.55,
        track_rear_m=1.55,
        tire_width_m=0.205,
        tire_diameter_m=0.64,
        ground_clearance_m=0.15,
        maker=maker,
        model=model,
        years=years,
        sensors=sensors,
    )


def card(
    name: str,
    sensor: str,
    side: Side | None = None,
    method: Method = "static",
    after: tuple[str, ...] = (),
    vehicles: tuple[str, ...] = ("*",),
    demonstration: bool = False,
) -> Procedure:
    """An invented card."""
    return Procedure(
        name, sensor, method, Source("Workshop notes"), side, vehicles, after=after, demonstration=demonstration
    )


def rule(
    event: str,
    *calibrate: Calibrate,
    how: How = "required",
    where: Where | None = None,
    part: str | None = None,
    vehicles: tuple[str, ...] = ("*",),
    before: tuple[str, ...] = (),
    because: str = "It was touched.",
) -> Rule:
    """A rule of a shop's own."""
    return Rule(event, calibrate, how, Text(because), where, part, vehicles, before)


def book(*rules: Rule) -> tuple[Rules, ...]:
    """One rules document."""
    return (Rules("shop rules", rules),)


def order(
    *events: Event,
    work: Sequence[Work] = (),
    decisions: Sequence[Decision] = (),
    fitted: Sequence[FittedSensor] = (),
    not_fitted: Sequence[FittedSensor] = (),
) -> Job:
    """A job with these events."""
    return Job(
        name="R-1",
        site="shop",
        vehicle="Heron wagon",
        events=events,
        work=tuple(work),
        decisions=tuple(decisions),
        fitted=tuple(fitted),
        not_fitted=tuple(not_fitted),
    )


def hows(answer: NeedsAnswer) -> dict[tuple[str, Side | None], How]:
    """What the answer comes to for each sensor."""
    return {(need.sensor, need.side): need.how for need in answer.needs}


def need_of(answer: NeedsAnswer, sensor: str, side: Side | None = None) -> Need:
    """The one need for a sensor."""
    (found,) = (need for need in answer.needs if (need.sensor, need.side) == (sensor, side))
    return found


# A small world for random jobs: few words, so that rules, events, sensors and cards meet often.
KINDS = ("forward camera", "front radar", "front corner radar", "rear corner radar", "steering-angle sensor")
EVENT_WORDS = ("windshield replaced", "front bumper removed", "wheel alignment", "module replaced", "unheard-of event")
PARTS = (None, "front radar", "radar", "front corner radar", "left bracket", "bracket", "body computer", "left")
WHERES: tuple[Where | None, ...] = (None, "front", "left", "right")
LISTS = (("*",), ("Heron wagon",), ("Northlake 2020",), ("Northlake 2025",), ("Otter",))

sides = st.sampled_from(SIDES)
kinds = st.sampled_from(KINDS)
calibrations = st.builds(Calibrate, kinds, sides)
some_rules = st.builds(
    Rule,
    event=st.sampled_from(EVENT_WORDS[:4]),
    calibrate=st.lists(calibrations, min_size=1, max_size=2).map(tuple),
    how=st.sampled_from(("required", "conditional")),
    because=st.sampled_from((Text("One reason."), Text("Another reason.", "Otra razón."))),
    where=st.sampled_from(WHERES),
    part=st.sampled_from((None, "front radar", "front corner radar", "bracket", "left bracket")),
    vehicles=st.sampled_from(LISTS),
    before=st.sampled_from(((), ("wheel alignment",), ("glue cured",))),
)
rule_books = st.lists(some_rules, max_size=8).map(lambda rules: book(*rules))
some_events = st.builds(
    Event, event=st.sampled_from(EVENT_WORDS), where=st.sampled_from(WHERES), part=st.sampled_from(PARTS)
)
cars = st.lists(
    st.builds(Sensor, kind=kinds, side=sides, option=st.sampled_from((None, None, "view pack"))), max_size=6
).map(lambda sensors: car(*sensors))
listed = st.lists(st.builds(FittedSensor, kinds, sides), max_size=2).map(tuple)
decisions = st.builds(
    Decision,
    procedure=st.sampled_from(("Card A", "Card B/left", "Card C", "left rear corner radar", "front radar", "nonsense")),
    verdict=st.sampled_from(("keep", "drop")),
    because=st.sampled_from((Text("Checked by hand."), Text("Checked by hand.", "Revisado a mano."), Text(""))),
    by=st.just("Robin"),
)
some_work = st.builds(
    Work,
    name=st.sampled_from(("Fit glass", "Wheel alignment", "Straighten frame", "Set tire pressures", "Paint")),
    minutes_s=st.just((60.0, 60.0)),
    after=st.lists(st.sampled_from(("Fit glass", "Wheel alignment", "Card A", "front radar")), max_size=1).map(tuple),
)
decks = st.lists(
    st.builds(
        card,
        name=st.sampled_from(("Card A", "Card B", "Card C", "Card D")),
        sensor=kinds,
        side=sides,
        method=st.sampled_from(("static", "drive", "static then drive", "electronic")),
        after=st.lists(st.sampled_from(("Card A", "Card B", "Wheel alignment", "pre-scan")), max_size=2).map(tuple),
        vehicles=st.sampled_from(LISTS),
    ),
    max_size=5,
    unique_by=lambda made: made.key,
)
jobs = st.builds(
    lambda events, fitted, not_fitted, decided, work: order(
        *events, fitted=fitted, not_fitted=not_fitted, decisions=decided, work=work
    ),
    st.lists(some_events, max_size=4),
    listed,
    listed,
    st.lists(decisions, max_size=2),
    st.lists(some_work, max_size=3, unique_by=lambda work: work.name),
)


def said(*reasons: Reason) -> tuple[str, ...]:
    """Reasons as JSON says them."""
    return tuple(ENGLISH.reason(reason) for reason in reasons)


def firsts(need: Need) -> tuple[str, ...]:
    """What comes before a need, as JSON says it."""
    return tuple(ENGLISH.write(first) for first in need.before)
