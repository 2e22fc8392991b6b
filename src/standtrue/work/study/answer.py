"""What a study answers: each room as it is, what stops work in it, and the single changes that win work back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from attrs import frozen

from standtrue.model.basis import Basis
from standtrue.model.fits import Fits
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Number, Reason, Ref, because
from standtrue.model.study import Study
from standtrue.model.vehicle import Vehicle
from standtrue.study.tally import Stop, Table, Tally, Task, fits
from standtrue.work.study.rooms import ChangeKind, Room

UNDECIDED_WITHIN_M = 0.002
"""Nearer than this to the limit it may be left undecided whether something fits, metres."""


@frozen(eq=False)
class Change:
    """One change of a room, the work that would then be done, and what it wins back.

    `what` is the change without its amount: two moves of one wall are the same `what`. `moved_m` is how far a wall
    moves outward, where one does.
    """

    what: Reason
    kind: ChangeKind
    room: Room
    table: Table
    tally: Tally
    won: float
    moved_m: float | None = None

    @property
    def reason(self) -> Reason:
        """The change with its amount."""
        if self.moved_m is None:
            return self.what
        return because("wall-moved-outward", wall=self.what["wall"], out=Length(self.moved_m))


@frozen(eq=False)
class StopHelp:
    """What stops work, and the change that wins most of that back; None where no single change wins any."""

    stop: Stop
    change: Change | None
    won: float


@frozen(eq=False)
class RoomAnswer:
    """One room as it is, the changes that help (the most first), and what stops the rest.

    `places` tells for how many orders a year one place serves all cards, or two, and so on; None if not asked.
    """

    room: Room
    table: Table
    tally: Tally
    changes: tuple[Change, ...]
    stops: tuple[StopHelp, ...]
    places: tuple[tuple[int, float], ...] | None = None


@frozen(eq=False)
class StudyAnswer:
    """A study answered. `partial` where it was stopped before its end: `cars` are those that count.

    `vehicles` are all cars of the mix, by name.
    """

    study: Study
    tasks: tuple[Task, ...]
    cars: tuple[str, ...]
    rooms: tuple[RoomAnswer, ...]
    basis: Basis
    cards: tuple[Procedure, ...]
    vehicles: Mapping[str, Vehicle]
    partial: bool = False

    @property
    def falls_short(self) -> bool:
        """Whether some of the work is proven undoable in every room."""
        return all(r.tally.whole.done + r.tally.undecided < r.tally.whole.of * (1 - 1e-9) for r in self.rooms)

    @property
    def undecided(self) -> bool:
        """Whether questions left undecided, or cars that an early stop left out, could change what can be done."""
        return self.partial or any(r.tally.undecided > 0.0 for r in self.rooms)

    @property
    def stopped(self) -> Reason | None:
        """What is missing where it was stopped before its end; None where it was not."""
        return study_stopped(len(self.cars), len(self.vehicles)) if self.partial else None

    @property
    def assumptions(self) -> tuple[Reason, ...]:
        """What the answer takes for granted."""
        return tuple(self._assumptions())

    def _assumptions(self) -> Iterator[Reason]:
        yield because("order-done-if-placed")
        yield because("orders-weighed")
        yield because("placeless-work-done")
        yield because("conditional-counted" if self.study.conditional else "conditional-left-out")
        for room in self.rooms:
            gaps = room.room.site.gaps
            yield because("gaps-kept", room=room.room.ref, body=Length(gaps.body_m), exit=Length(gaps.exit_m))
        if self.study.lift_types:
            yield because("other-lifts-in-place")


def study_stopped(counted: int, cars: int) -> Reason:
    """What is missing of a study that was stopped: so many of the cars count."""
    return because("study-stopped", counted=counted, cars=cars)


def level_notes(cards: Iterable[Procedure]) -> Iterator[Reason]:
    """That cards ask for level floor: a study counts where cars fit, and looks at no survey."""
    asking = tuple(Ref("card", card.key) for card in cards if card.floor_level is not None)
    if asking:
        yield because("study-asks-no-level", cards=asking)


def undecided_notes(rooms: Iterable[RoomAnswer]) -> Iterator[Reason]:
    """Where orders hang on questions left undecided."""
    for room in rooms:
        orders = room.tally.undecided
        if orders > 0.0:
            within = Length(UNDECIDED_WITHIN_M)
            yield because("orders-undecided", room=room.room.ref, orders=Number(orders, 1), within=within)


def chosen_cards(table: Table, task: Task) -> tuple[str, ...] | None:
    """The cards with which a task is finished, () if none needs a place; None if it is not finished."""
    chosen: list[str] = []
    for need in task.needs:
        option = next((o for o in need.options if all(fits(table, task.car, k) is Fits.YES for k in o)), None)
        if option is None:
            return None
        chosen.extend(option)
    return tuple(chosen)


def best_of_each(changes: Iterable[Change]) -> list[Change]:
    """The changes, each wall only once: the least move that wins as much as any."""
    kept: dict[object, Change] = {}
    for change in changes:
        kept.setdefault(change.what, change)
    return list(kept.values())
