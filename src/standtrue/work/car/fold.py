"""What the entries of a job at the car come to: where each step stands, by whom, and what has to be read again.

A pure fold: the same entries come to the same, in whatever order they arrive and however often they are sent. What
counts is when a thing was typed, not when it came.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal

from attrs import evolve, field, frozen

from standtrue.model.job import Done
from standtrue.work.car.happened import Happened, What
from standtrue.work.car.steps import CarStep, Handed


@frozen
class Attempt:
    """A calibration that did not finish: what the tool said, its codes, when and by whom; how many readings stood."""

    said: Happened
    readings: int


@frozen
class AtStep:
    """Where a step stands. `holder` and `asker` are the device that has it, and one that asks for it, each with a name.

    `readings` and `conditions` are those that count, by their names; `aside` is what was read and counts no more.
    `look`: somebody must say first whether anything moved. `waits` is what it waits for, where it did not finish;
    `waits_since` says so. `taken_back`: something of it was told and counts no more.
    """

    step: CarStep
    holder: tuple[str, str] | None = None
    asker: tuple[str, str] | None = None
    legs: int = 0
    conditions: Mapping[str, Happened] = field(factory=dict)
    stands: bool = False
    readings: Mapping[str, Happened] = field(factory=dict)
    aside: tuple[Happened, ...] = ()
    look: bool = False
    verdict: Happened | None = None
    tool: Happened | None = None
    attempts: tuple[Attempt, ...] = ()
    waits: Literal["", "choice", "send out", "wait"] = ""
    waits_since: Happened | None = None
    photo: Happened | None = None
    signed: Happened | None = None
    done: Happened | None = None
    stopped: Happened | None = None
    last: Happened | None = None
    taken_back: bool = False

    @property
    def told(self) -> Done | None:
        """That its operation is done, if it is."""
        said = self.signed or self.done
        return None if said is None or not self.step.operation else Done(self.step.operation, said.at, said.by)

    @property
    def over(self) -> bool:
        """Whether the step is done, and signed where somebody signs."""
        return self.done is not None or self.signed is not None

    def has(self, device: str) -> bool:
        """Whether a device may go on with the step: it has it, or nobody does."""
        return self.holder is None or self.holder[0] == device

    def unread(self, names: Iterable[str]) -> tuple[str, ...]:
        """Which of these readings are to be taken, for the first time or again."""
        return tuple(name for name in names if name not in self.readings)


@frozen
class AtCar:
    """A job at the car: the order of work in hand, where each of its steps stands, and what is done of the job.

    `earlier` are the steps of the orders of work before it: what was signed there may be taken back, and what waited
    there may have come.
    """

    handed: Handed
    steps: tuple[AtStep, ...]
    earlier: tuple[AtStep, ...] = ()

    @property
    def current(self) -> AtStep | None:
        """The step in hand: the first that is not over; None where all are."""
        return next((one for one in self.steps if not one.over), None)

    @property
    def done(self) -> tuple[Done, ...]:
        """What is done of the job, as an order of work is planned from: what was signed and taken back is not."""
        own = [done for one in self.steps if (done := one.told) is not None]
        later = [done for one in self.earlier if (done := one.told) is not None and done.at > self.handed.at]
        not_so = {one.step.operation for one in self.earlier if one.taken_back and not one.over}
        before = (one for one in self.handed.done if one.what not in not_so)
        return (*before, *later, *own)

    @property
    def waits(self) -> tuple[AtStep, ...]:
        """The steps, of this order of work and of those before it, that were sent out or wait for a part."""
        done = {one.what for one in self.done}
        every = {one.step.operation: one for one in (*self.earlier, *self.steps)}
        return tuple(
            one for name, one in every.items() if one.waits in ("send out", "wait") and name and name not in done
        )

    @property
    def stands(self) -> CarStep | None:
        """The step after which the car stood as it stands now; None: outside, or nobody knows."""
        moved = [one.step for one in self.steps if one.over]
        return moved[-1] if moved and moved[-1].place is not None else None

    def at(self, key: str) -> AtStep | None:
        """One step by its key."""
        return next((one for one in (*self.steps, *self.earlier) if one.step.key == key), None)


def folded(handed: Sequence[Handed], happened: Iterable[Happened]) -> AtCar | None:
    """What a job's entries come to; None where nothing was handed over."""
    if not handed:
        return None
    last = max(handed, key=lambda one: one.number)
    counted = counting(happened)
    by_step: dict[str, list[Happened]] = {}
    for one in counted:
        by_step.setdefault(one.step, []).append(one)
    before = (step for one in sorted(handed, key=lambda h: h.number) if one is not last for step in one.steps)
    steps = (tuple(_folded(step, by_step.get(step.key, ())) for step in every) for every in (last.steps, before))
    return AtCar(last, *steps)


def counting(happened: Iterable[Happened]) -> tuple[Happened, ...]:
    """What counts, each once, in the order in which it was typed: not what was taken back."""
    once = {one.key: one for one in sorted(happened, key=_typed, reverse=True)}
    gone = {one.undoes for one in once.values() if one.what == "taken back"}
    return tuple(sorted((one for one in once.values() if one.key not in gone), key=_typed))


def _typed(one: Happened) -> tuple[str, str]:
    return one.at, one.key


def _folded(step: CarStep, happened: Iterable[Happened]) -> AtStep:
    at = AtStep(step)
    for one in happened:
        at = evolve(_AFTER[one.what](at, one), last=one)
        if at.holder is None and one.what not in _NO_HOLDER:
            at = evolve(at, holder=(one.device, one.by))
    return at


_NO_HOLDER: frozenset[What] = frozenset({"asked", "kept", "stopped", "taken back"})
"""What can be told of a step by a device that does not have it."""


def _same(at: AtStep, one: Happened) -> AtStep:
    del one
    return at


def _leg(at: AtStep, one: Happened) -> AtStep:
    return evolve(at, legs=max(at.legs, int(one.value or 0)))


def _condition(at: AtStep, one: Happened) -> AtStep:
    return evolve(at, conditions={**at.conditions, one.name: one}, verdict=None)


def _stands(at: AtStep, one: Happened) -> AtStep:
    del one
    return evolve(at, stands=True)


def _reading(at: AtStep, one: Happened) -> AtStep:
    before = at.readings.get(one.name)
    aside = at.aside if before is None else (*at.aside, before)
    return evolve(at, readings={**at.readings, one.name: one}, aside=aside, verdict=None, tool=None)


def _moved(at: AtStep, one: Happened) -> AtStep:
    """A car that moved takes every reading with it, a target those that place it. Whoever says so goes on with it."""
    if at.stopped is not None or at.look:
        at = evolve(at, stopped=None, look=False, holder=(one.device, one.by))
    if one.name == "nothing":
        return at
    gone = [r for r in at.readings.values() if one.name == "car" or r.part]
    kept = {name: r for name, r in at.readings.items() if r not in gone}
    return evolve(at, readings=kept, aside=(*at.aside, *gone), verdict=None, tool=None)


def _verdict(at: AtStep, one: Happened) -> AtStep:
    return evolve(at, verdict=one)


def _tool(at: AtStep, one: Happened) -> AtStep:
    """What the tool said. Where it did not finish, the set-up is read again: what stood may have been touched."""
    if one.name == "finished":
        return evolve(at, tool=one)
    tried = evolve(at, attempts=(*at.attempts, Attempt(one, len(at.readings))), waits="choice", photo=None)
    return _moved(tried, evolve(one, name="target"))


def _next(at: AtStep, one: Happened) -> AtStep:
    if one.name == "send out":
        return evolve(at, waits="send out", waits_since=one)
    if one.name == "wait":
        return evolve(at, waits="wait", waits_since=one)
    return evolve(at, waits="", look=True)


def _photo(at: AtStep, one: Happened) -> AtStep:
    return evolve(at, photo=one)


def _signed(at: AtStep, one: Happened) -> AtStep:
    return evolve(at, signed=one)


def _done(at: AtStep, one: Happened) -> AtStep:
    """Done, where nobody signs: a calibration is, unless it was sent out and came back."""
    return at if at.step.card and at.waits != "send out" else evolve(at, done=one)


def _stopped(at: AtStep, one: Happened) -> AtStep:
    """Whoever stops since it is another car puts aside what was read: it belongs to another order."""
    stopped = evolve(at, stopped=one, asker=None)
    return _aside(stopped) if one.name == "other car" else stopped


def _aside(at: AtStep) -> AtStep:
    every = (*at.aside, *at.conditions.values(), *at.readings.values())
    return evolve(at, readings={}, conditions={}, aside=every, stands=False, verdict=None, tool=None, photo=None)


def _back(at: AtStep, one: Happened) -> AtStep:
    """Somebody comes back, or takes the step over: first it is asked whether anything moved."""
    return evolve(at, stopped=None, asker=None, holder=(one.device, one.by), look=_asks(at))


def _asks(at: AtStep) -> bool:
    return bool(at.readings) or at.stands or at.look


def _asked(at: AtStep, one: Happened) -> AtStep:
    return at if at.holder is None else evolve(at, asker=(one.device, one.by))


def _given(at: AtStep, one: Happened) -> AtStep:
    return evolve(at, asker=None, holder=(one.to, one.name), look=_asks(at))


def _kept(at: AtStep, one: Happened) -> AtStep:
    del one
    return evolve(at, asker=None)


def _taken_back(at: AtStep, one: Happened) -> AtStep:
    """What is taken back counts no more; somebody looks what moved since."""
    del one
    return evolve(at, look=_asks(at), taken_back=True)


_AFTER: Mapping[What, Callable[[AtStep, Happened], AtStep]] = {
    "begun": _same,
    "leg": _leg,
    "condition": _condition,
    "stands": _stands,
    "reading": _reading,
    "moved": _moved,
    "verdict": _verdict,
    "tool": _tool,
    "next": _next,
    "photo": _photo,
    "signed": _signed,
    "done": _done,
    "stopped": _stopped,
    "back": _back,
    "asked": _asked,
    "given": _given,
    "kept": _kept,
    "taken": _back,
    "taken back": _taken_back,
}
