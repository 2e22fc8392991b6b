"""What a study answers: each room as it is, what stops work in it, and the single changes that win work back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from attrs import frozen

from standtrue.model.basis import Basis
from standtrue.model.fits import Fits
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Length, Number, Reason, Ref, Term, because
from standtrue.model.study import Study
from standtrue.model.vehicle import Vehicle
from standtrue.study.tally import Stop, Table, Tally, Task, fits
from standtrue.work.study.able import ShopShare
from standtrue.work.study.rooms import ChangeKind, Room

UNDECIDED_WITHIN_M = 0.002
"""Nearer than this to the limit it may be left undecided whether something fits, metres."""


TAKES: Mapping[ChangeKind, str] = {
    "movable": "takes-minutes",
    "cover": "takes-closing",
    "lift": "takes-lift",
    "wall": "takes-building",
    "fixed": "takes-building",
}


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

    @property
    def takes(self) -> Reason:
        """What it takes."""
        return because(TAKES[self.kind])

    @property
    def cautions(self) -> tuple[Reason, ...]:
        """Who must be asked before."""
        asked = {"wall": "ask-engineer-first", "fixed": "ask-engineer-first", "lift": "ask-supplier-first"}
        return (because(asked[self.kind]),) if self.kind in asked else ()


@frozen(eq=False)
class StopHelp:
    """What stops work, and the change that wins most of that back; None where no single change wins any.

    `why` is why it does not fit, support by support, for `car`: of those that it stops the one with most work.
    """

    stop: Stop
    change: Change | None
    won: float
    car: str = ""
    why: tuple[Reason, ...] = ()


@frozen
class Band:
    """From which share to which, of one, as `fields` are estimated of `cars` cars."""

    low: float
    high: float
    fields: tuple[Term, ...]
    cars: int


@frozen(eq=False)
class RoomAnswer:
    """One room as it is, the changes that help (the most first), and what stops the rest.

    `places` tells for how many orders a year one place serves all cards, or two, and so on; None if not asked.
    `tally` is what the room holds, `band` how far that may be off as dimensions are estimated; `shop` what of it the
    shop can do, None if that was not asked.
    """

    room: Room
    table: Table
    tally: Tally
    changes: tuple[Change, ...]
    stops: tuple[StopHelp, ...]
    places: tuple[tuple[int, float], ...] | None = None
    band: Band | None = None
    shop: ShopShare | None = None

    @property
    def counted(self) -> Tally:
        """What the shop can do; what the room holds where that was not asked, or cannot be told."""
        return self.tally if self.shop is None or self.shop.told is None else self.shop.told.tally


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
        """Whether some of the work is known not to be done in any room: by the shop, where that was asked."""
        told = [room.counted for room in self.rooms]
        return all(t.whole.done + t.undecided < t.whole.of * (1 - 1e-9) for t in told)

    @property
    def undecided(self) -> bool:
        """Whether questions left undecided, or cars that an early stop left out, could change what can be done."""
        cannot_tell = any(r.shop is not None and r.shop.told is None for r in self.rooms)
        return self.partial or cannot_tell or any(r.counted.undecided > 0.0 for r in self.rooms)

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
            yield from _of_room(room)
        if self.study.lift_types:
            yield because("other-lifts-in-place")


def _of_room(room: RoomAnswer) -> Iterator[Reason]:
    """What the range of one room and what the shop can do in it rest on."""
    if room.band is not None:
        yield because("band-of-estimates", room=room.room.ref, fields=room.band.fields)
    shop = room.shop
    if shop is None:
        yield because("driving-not-looked-at", room=room.room.ref)
    elif shop.told is not None:
        yield because("ways-counted", room=room.room.ref, searched=shop.searched, taken_over=shop.taken_over)


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
