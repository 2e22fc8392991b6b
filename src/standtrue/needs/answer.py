"""What the needs engine answers: each need, why, what comes first, which card serves it, and who overruled it."""

from __future__ import annotations

from typing import Literal

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.job import Decision
from standtrue.model.procedure import Method
from standtrue.model.rules import How

NO_CARD = "no card: get the maker's procedure"


@frozen
class Reason:
    """One rule that fired: the event on the order, the rule's sentence, and what the order leaves in doubt.

    `how` is what this rule comes to on this order: a required rule in doubt comes to `conditional`.
    """

    event: str
    because: str
    how: How
    doubts: tuple[str, ...] = ()
    source: str = ""
    rules: str = ""

    @property
    def text(self) -> str:
        """The sentence that a person reads, headed by the event that fired the rule."""
        return " ".join((f"{self.event}: {self.because}", *self.doubts))


@frozen
class Link:
    """One card of a need's chain: its name and key, its method, and what must come first. No card: empty names."""

    name: str = ""
    key: str = ""
    method: Method | None = None
    after: tuple[str, ...] = ()


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
    reasons: tuple[Reason, ...]
    links: tuple[Link, ...] = (Link(),)
    alternatives: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
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
    def remedy(self) -> str | None:
        """What to do where no card covers the need."""
        return None if self.card else NO_CARD

    @property
    def because(self) -> tuple[str, ...]:
        """Every rule that fired, with its event; whether to look if it is fitted; whether a card is missing."""
        fitted = () if self.option is None else (f"look whether it is fitted ({self.option})",)
        return (*(reason.text for reason in self.reasons), *fitted, *(() if self.card else (NO_CARD,)))

    @property
    def title(self) -> str:
        """The sensor in plain words: `front radar`, `left rear corner radar`."""
        return sensor_title(self.sensor, self.side)


@frozen
class NotFitted:
    """A sensor that the job says this car does not have, and the reasons that would have called for it."""

    sensor: str
    side: Side | None
    because: tuple[str, ...] = ()


@frozen
class NeedsAnswer:
    """The needs of one job in the order of work, those a person dropped last."""

    job: str
    vehicle: str
    needs: tuple[Need, ...]
    not_fitted: tuple[NotFitted, ...] = ()
    warnings: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    demonstration: bool = False


StepKind = Literal["scan", "work", "need"]


@frozen
class WorkStep:
    """One step of the order of work, in plain words.

    `name` is the job's own operation, or the card's key, or empty; a `need` step carries its sensor and side.
    """

    order: int
    stage: str
    kind: StepKind
    what: str
    name: str = ""
    sensor: str | None = None
    side: Side | None = None


def sensor_title(sensor: str, side: Side | None) -> str:
    """A sensor in plain words, with its side where it has one."""
    return sensor if side is None else f"{side} {sensor}"


def needs_to_json(answer: NeedsAnswer) -> list[dict[str, object]]:
    """The `needs` list of the JSON answer (documents reference, Answers), with the engine's own fields added."""
    return [_need_to_json(need) for need in answer.needs]


def _need_to_json(need: Need) -> dict[str, object]:
    decision = need.overruled
    return {
        "procedure": need.procedure,
        "sensor": need.sensor,
        "side": need.side,
        "how": need.how,
        "because": list(need.because),
        "before": list(need.before),
        "card": need.card,
        "overruled": None
        if decision is None
        else {"verdict": decision.verdict, "because": decision.because, "by": decision.by},
        "alternatives": list(need.alternatives),
        "chain": list(need.chain),
        "order": need.order,
        "remedy": need.remedy,
    }
