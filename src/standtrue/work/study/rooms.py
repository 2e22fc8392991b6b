"""The rooms of a study, and every single change of a room that is tried."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, get_args

from attrs import evolve, frozen

from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.model.site import Bay, Site
from standtrue.model.study import Study
from standtrue.place.change.changes import Subject, subjects, taken_away, wall_moved
from standtrue.work.ask import pick

ChangeKind = Literal["movable", "cover", "lift", "wall", "fixed"]
"""What is changed, the cheapest first: rolled away, closed, another lift, a wall moved, a fixed thing taken away."""

CHANGE_KINDS: tuple[ChangeKind, ...] = get_args(ChangeKind)

WALLS_OUT_M = (0.25, 0.5, 1.0, 2.0)
"""How far outward each wall is tried."""

WALL_STEP_M = 0.005
"""The least move that wins as much is found to this."""


@frozen(eq=False)
class Room:
    """A site, or one bay of it: `SITE` or `SITE/BAY`, as studies write it."""

    name: str
    site: Site
    bay: Bay | None = None

    @property
    def ref(self) -> Ref:
        """What is meant where it is named."""
        return Ref("room", self.name)

    @property
    def grounds(self) -> Grounds:
        """Its grounds, made anew."""
        return Grounds(self.site, self.bay)


@frozen(eq=False)
class Candidate:
    """A change to be tried, of which kind, and the room changed; `wall` is what moves, and `moved_m` how far.

    `may_lose`: it may also lose work; any other change only ever gives room.
    """

    what: Reason
    kind: ChangeKind
    room: Room
    wall: Subject | None = None
    moved_m: float | None = None

    @property
    def may_lose(self) -> bool:
        return self.kind == "lift"


def rooms_of(folder: Shop, study: Study) -> Iterator[Room]:
    """The rooms that a study names. Raises UnansweredError for a bay that is not there."""
    for name in study.sites:
        site = folder.sites[name]
        bays = [b.partition("/")[2] for b in study.bays if b.partition("/")[0] == name]
        if not bays:
            yield Room(name, site)
        for bay in bays:
            yield Room(f"{name}/{bay}", site, pick("bay", bay, {b.name: b for b in site.bays}, "bays"))


def candidates(room: Room, lifts: Sequence[Lift]) -> Iterator[Candidate]:
    """Every single change that is tried. A wall comes once, at the farthest that it is moved."""
    site = room.site
    for subject in subjects(site):
        if subject.kind == "wall":
            moves = (wall_out(room, subject, out) for out in reversed(WALLS_OUT_M))
            yield from [found for found in moves if found is not None][:1]
        elif subject.kind != "void":
            yield Candidate(_what(subject), _kind(subject), evolve(room, site=taken_away(site, subject)))
    for number, placed in enumerate(site.lifts):
        for lift in lifts:
            if lift is not placed.lift:
                others = (*site.lifts[:number], evolve(placed, lift=lift), *site.lifts[number + 1 :])
                what = because("lift-of-other-type", lift=Ref("lift", placed.name), type=Ref("lift type", lift.name))
                yield Candidate(what, "lift", evolve(room, site=evolve(site, lifts=others)))


def wall_out(room: Room, wall: Subject, out_m: float) -> Candidate | None:
    """The room with one wall moved outward; None where its outline would cross itself."""
    grown = wall_moved(room.site, wall, out_m)
    if grown is None:
        return None
    return Candidate(because("wall-outward", wall=wall.thing), "wall", evolve(room, site=grown), wall, out_m)


def _kind(subject: Subject) -> ChangeKind:
    return "movable" if subject.movable else "cover" if subject.kind in ("cover", "covers") else "fixed"


def _what(subject: Subject) -> Reason:
    if subject.kind == "cover":
        return because("close-cover", cover=subject.thing)
    if subject.kind == "covers":
        return because("close-all-covers", void=Ref("void", subject.void))
    return because("move-out-of-room" if subject.movable else "take-away", thing=subject.thing)
