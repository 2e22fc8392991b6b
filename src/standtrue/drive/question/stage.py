"""A move with some doors open: the ground and the packed world that a search is made in."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from attrs import evolve, frozen

from standtrue.drive.kernels.joins import Ask
from standtrue.drive.question.answer import End, Mode, Obstruction
from standtrue.drive.question.ends import free_of, poses_of, too_near
from standtrue.drive.world.doors import Apron, with_aprons, with_floor_all_round
from standtrue.drive.world.ground import packed_for
from standtrue.drive.world.packed import Packed, Pose
from standtrue.model.cover_loads import weak_floors
from standtrue.model.ground import Ground, Grounds, LiftSetting, Unfloor
from standtrue.model.site import Bay, Site
from standtrue.model.vehicle import Vehicle


@frozen(eq=False)
class Move:
    """What is asked of `drive`."""

    site: Site
    vehicle: Vehicle
    start: End
    goal: End
    mode: Mode
    ask: Ask
    bay: Bay | None = None
    in_use: frozenset[str] = frozenset()
    quick: bool = False
    hopeless: Callable[[], bool] | None = None

    @property
    def at_ends(self) -> tuple[str, ...]:
        """The doors at the ends: they stand open."""
        return tuple(d.name for d in self.site.doors if d.name in (self.start.door, self.goal.door))

    @cached_property
    def choices(self) -> tuple[tuple[Unfloor, ...], ...]:
        """Every choice of wheels to keep off covers that do not carry them all."""
        return weak_floors(self.site, self.vehicle)

    def weak(self, spared: int) -> tuple[Unfloor, ...]:
        """The covers that wheels must keep off: the wheels that do so in every choice, or those of one."""
        choices = self.choices
        if spared:
            return choices[spared - 1]
        return tuple(
            evolve(area, over=tuple(wheel for wheel in area.over if all(wheel in other.over for other in same)))
            for area, *same in zip(*choices, strict=True)
        )

    def given_up(self) -> bool:
        """Whether to look no further."""
        return self.hopeless is not None and self.hopeless()


@frozen
class Opened:
    """Doors that stand open: those `hung` with what hangs inside them, the `bare` ones as if nothing did."""

    hung: tuple[str, ...] = ()
    bare: tuple[str, ...] = ()


@frozen(eq=False)
class Stage:
    """Ground and world of a move. `aprons` is what of the floor is assumed, `ones` and `twos` the ends' free poses.

    `refused` says what is too near at an end that has none.
    """

    ground: Ground
    packed: Packed
    aprons: tuple[Apron, ...]
    ones: tuple[Pose, ...]
    twos: tuple[Pose, ...]
    refused: tuple[Obstruction, ...]


def staged(move: Move, opened: Opened, *, all_round: bool = False, framed: bool = True, spared: int = 0) -> Stage:
    """The stage with these doors open; with `all_round`, floor all round the shop stands for any that is assumed.

    Unless `framed`, what is too wide for a door is not kept from its line. `spared`: which of the choices of wheels
    that must keep off weak covers (see `weak_floors`); 0: only those wheels that no choice lets onto them.
    """
    doors = (*opened.hung, *opened.bare)
    site, aprons = with_aprons(move.site, move.vehicle, move.at_ends)
    aprons = tuple(a for a in aprons if a.door in doors)
    if all_round:
        site = with_floor_all_round(site, aprons)
    bare = tuple(evolve(d, track=None) if d.name in opened.bare else d for d in site.doors)
    ground = ground_with(evolve(site, doors=bare), move.start, move.goal, doors, move.bay, move.in_use)
    own = tuple(dict.fromkeys(end.carrier.lift for end in (move.start, move.goal) if end.carrier.lift is not None))
    packed = packed_for(move.vehicle, ground, own, weak=move.weak(spared), framed=framed)
    ones, twos = (poses_of(move.site, move.vehicle, end) for end in (move.start, move.goal))
    free_ones, free_twos = free_of(packed, ones), free_of(packed, twos)
    refused = [
        *(() if free_ones else too_near(packed, "start", ones)),
        *(() if free_twos else too_near(packed, "goal", twos)),
    ]
    return Stage(ground, packed, aprons, tuple(free_ones), tuple(free_twos), tuple(refused))


def ground_between(
    site: Site,
    vehicle: Vehicle,
    start: End,
    goal: End,
    doors: tuple[str, ...],
    *,
    bay: Bay | None = None,
    in_use: frozenset[str] = frozenset(),
) -> Ground:
    """The ground of a move between two ends: the lifts at the ends as they say, all others at rest, `doors` open."""
    ends = [name for name in (start.door, goal.door) if name is not None]
    return ground_with(with_aprons(site, vehicle, ends)[0], start, goal, doors, bay, in_use)


def ground_with(
    site: Site,
    start: End,
    goal: End,
    doors: tuple[str, ...],
    bay: Bay | None = None,
    in_use: frozenset[str] = frozenset(),
) -> Ground:
    """The same, of a site whose doors have their aprons."""
    carriers = [end.carrier for end in (start, goal)]
    settings = {c.lift: LiftSetting(c.state, c.height_m) for c in carriers if c.lift is not None}
    return Grounds(site, bay).resolve(settings, doors, in_use)
