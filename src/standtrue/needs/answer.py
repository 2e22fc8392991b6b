"""What the needs engine answers: each need, why, what comes first, which card serves it, and who overruled it."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.job import Decision, Event
from standtrue.model.procedure import Method
from standtrue.model.reason import Reason, Ref, Term, Text, because
from standtrue.model.rules import How
from standtrue.model.stages import Stage

NO_CARD = because("no-card")

First = Term | Ref | str
"""What comes first: a word of the trade, a sensor, or a card or an operation by its own name."""


@frozen
class Cause:
    """One rule that fired: the event on the order, the rule's sentence, and what the order leaves in doubt.

    `how` is what this rule comes to on this order: a required rule in doubt comes to `conditional`. `because` is a
    person's own words where a decision stands in a rule's place, and a reason of the program's where no rule knows the
    event; `settled` is the decision that such an event calls for nothing.
    """

    event: Reason
    because: Text | Reason
    how: How
    doubts: tuple[Reason, ...] = ()
    source: str = ""
    rules: str = ""
    settled: Decision | None = None

    @property
    def reason(self) -> Reason:
        """Why, as a value: the event that fired the rule, the rule's text, and the doubts."""
        return because("called-for", event=self.event, because=self.because, doubts=self.doubts)


@frozen
class Link:
    """One card of a need's chain: its name and key, its method, and what must come first. No card: empty names.

    `rules` are those of `after` that a rule puts first.
    """

    name: str = ""
    key: str = ""
    method: Method | None = None
    after: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()


@frozen
class Need:
    """One fitted sensor that the order's events touch.

    `links` are the cards to run one after another; the last is `procedure`, the card that finishes the calibration.
    `alternatives` are cards that would serve instead. `before` is everything that must come first. `order` is the
    position of its first step in the order of work, counted from 1, and 0 for a need that a person dropped.
    `option` says on which cars the sensor is fitted, where nobody has looked yet.
    """

    sensor: str
    side: Side | None
    how: How
    causes: tuple[Cause, ...]
    links: tuple[Link, ...] = (Link(),)
    alternatives: tuple[str, ...] = ()
    before: tuple[First, ...] = ()
    option: str | None = None
    overruled: Decision | None = None
    order: int = 0

    @property
    def procedure(self) -> str | None:
        """The key of the chosen card, or None where no card covers the need."""
        return self.links[-1].key or None

    @property
    def chain(self) -> tuple[str, ...]:
        """The keys of the cards to run, in order; it ends with `procedure`."""
        return tuple(link.key for link in self.links if link.key)

    @property
    def card(self) -> bool:
        """Whether a card of this shop covers the need."""
        return self.procedure is not None

    @property
    def dropped(self) -> bool:
        """Whether a person decided against it; it stays in the list all the same."""
        return self.overruled is not None and self.overruled.verdict == "drop"

    @property
    def remedy(self) -> Reason | None:
        """What to do where no card covers the need."""
        return None if self.card else NO_CARD

    @property
    def because(self) -> tuple[Reason, ...]:
        """Every rule that fired, with its event; whether to look if it is fitted; whether a card is missing."""
        fitted = () if self.option is None else (because("look-whether-fitted", option=self.option),)
        return (*(cause.reason for cause in self.causes), *fitted, *(() if self.card else (NO_CARD,)))

    @property
    def title(self) -> str:
        """The sensor as documents name it: `front radar`, `left rear corner radar`. Readers are shown `ref`."""
        return sensor_title(self.sensor, self.side)

    @property
    def ref(self) -> Ref:
        """The sensor, to be shown."""
        return sensor_ref(self.sensor, self.side)


@frozen
class NotFitted:
    """A sensor that the job says this car does not have, and the reasons that would have called for it."""

    sensor: str
    side: Side | None
    because: tuple[Reason, ...] = ()


@frozen
class OpenQuestion:
    """An event that fires no rule: what the order says, the nearest events that are known, the sensors to look at.

    `of` is the event itself. `spoken`: the rules know such an event, but not at this place, of this part or on this
    car. `decided`: a person's decision on it, with which it is open no more.
    """

    event: Reason
    of: Event
    nearest: tuple[Term | str, ...]
    spoken: bool
    sensors: tuple[Ref, ...] = ()
    decided: Decision | None = None

    @property
    def reason(self) -> Reason:
        """The question as a value."""
        code = "event-outside-rules" if self.spoken else "event-unknown"
        return because(code, event=self.event, nearest=self.nearest, sensors=self.sensors)


@frozen
class NeedsAnswer:
    """The needs of one job in the order of work, those a person dropped last.

    `unknown` are the events that no rule knows, decided or not. Every later answer tells `open_questions` and
    `dropped`: what nobody has decided yet, and which required calibrations a person decided against.
    `open_points`: work that the events call for and that nobody ordered, to be told first; also among the warnings.
    """

    job: str
    vehicle: str
    needs: tuple[Need, ...]
    not_fitted: tuple[NotFitted, ...] = ()
    warnings: tuple[Reason, ...] = ()
    rules: tuple[str, ...] = ()
    demonstration: bool = False
    unknown: tuple[OpenQuestion, ...] = ()
    open_points: tuple[Reason, ...] = ()

    @property
    def open_questions(self) -> tuple[OpenQuestion, ...]:
        """Events that no rule knows and nobody has decided yet."""
        return tuple(question for question in self.unknown if question.decided is None)

    @property
    def dropped(self) -> tuple[Need, ...]:
        """The required calibrations that a person decided against."""
        return tuple(need for need in self.needs if need.dropped and need.how == "required")

    @property
    def lacks_card(self) -> bool:
        """Whether a calibration that is required has no card."""
        return any(need.how == "required" and not need.dropped and not need.card for need in self.needs)

    @property
    def look_first(self) -> bool:
        """Whether somebody must look at the car before it is known what is required."""
        look = any(need.how == "conditional" and not need.dropped for need in self.needs)
        return look or bool(self.open_questions)


StepKind = Literal["scan", "work", "confirm", "need"]


@frozen
class WorkStep:
    """One step of the order of work. `confirm`: a fact that must hold is looked at and written down.

    `name` is the job's own operation, or the card's key, or empty; a `need` step carries its sensor and side.
    """

    order: int
    stage: Stage
    kind: StepKind
    what: Reason
    name: str = ""
    sensor: str | None = None
    side: Side | None = None


def sensor_title(sensor: str, side: Side | None) -> str:
    """A sensor as documents name it, with its side where it has one."""
    return sensor if side is None else f"{side} {sensor}"


def sensor_ref(sensor: str, side: Side | None) -> Ref:
    """A sensor as a value: its kind, and its side as the state."""
    return Ref("sensor", sensor, state=side or "")
