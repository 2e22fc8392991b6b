"""What rules a move out before any search."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, End, Mode, Obstruction
from standtrue.drive.world.doors import too_narrow
from standtrue.model.reason import Length, Ref, because
from standtrue.model.site import Site
from standtrue.model.stance import lift_state
from standtrue.model.vehicle import Vehicle
from standtrue.plane.shapes import polygon


def refusal(mode: Mode, obstructions: tuple[Obstruction, ...]) -> Answer:
    """An answer that says that no search can find a way."""
    return Answer(
        mode=mode,
        outcome=Outcome.EXHAUSTED,
        start=None,
        goal=None,
        legs=(),
        shunts=0,
        length_m=0.0,
        seconds=(0.0, 0.0),
        nearest=None,
        doors_open=(),
        sweep=None,
        cell_m=0.0,
        nodes=0,
        proven=True,
        obstructions=obstructions,
        warnings=(),
    )


def refusals(site: Site, vehicle: Vehicle, start: End, goal: End, mode: Mode) -> Iterator[Obstruction]:
    """What rules a move out: the car's height, doors, its turning circle, the lifts at its ends."""
    if site.clear_height_m is not None and vehicle.height_m > site.clear_height_m:
        over = vehicle.height_m - site.clear_height_m
        yield Obstruction(Ref("ceiling"), over, because("way-under-ceiling", over=Length(over)))
    yield from _doors_too_small(site, vehicle, start, goal)
    if mode != "skates" and vehicle.least_radius_m is None:
        yield Obstruction(Ref("turning circle"), None, because("way-without-turning-circle"))
    one, two = start.carrier, goal.carrier
    if one.lift is not None and one.lift == two.lift and one != two:
        lift = Ref("lift", one.lift)
        yield Obstruction(lift, None, because("way-between-lift-states", lift=lift))
    for carrier in (one, two):
        if carrier.lift is None:
            continue
        held, state = lift_state(carrier, site)
        grounded = held.carries == "body" and carrier.height_m <= 0.0
        if not state.drive_on and not grounded:
            lift = Ref("lift", carrier.lift)
            yield Obstruction(lift, None, because("way-onto-raised-lift", lift=lift, state=carrier.state))


def _doors_too_small(site: Site, vehicle: Vehicle, start: End, goal: End) -> Iterator[Obstruction]:
    """Doors at the ends that the whole car does not get through."""
    doors = [d for d in site.doors if d.name in (start.door, goal.door)]
    for door in doors:
        over = vehicle.height_m - door.height_m
        if over > 0.0:
            lintel = Ref("lintel", of=door.name)
            yield Obstruction(lintel, over, because("way-under-lintel", thing=lintel, over=Length(over)))
    shut_out = not doors and _parted(site, vehicle, start, goal)
    yield from narrow_doors(site, vehicle, [d.name for d in (site.doors if shut_out else doors)])


def _parted(site: Site, vehicle: Vehicle, start: End, goal: End) -> bool:
    """Whether one of two places is outside and the other inside, and every door between is too narrow for the car."""
    if start.place is None or goal.place is None or any(too_narrow(site, vehicle, d) is None for d in site.doors):
        return False
    inside = polygon(site.outline)
    one, two = (inside.contains(shapely.Point(p.x_m, p.y_m)) for p in (start.place, goal.place))
    return bool(one != two)


def narrow_doors(site: Site, vehicle: Vehicle, names: Sequence[str]) -> Iterator[Obstruction]:
    """Those of the doors named that are too narrow for the whole car."""
    for door in site.doors:
        narrow = too_narrow(site, vehicle, door) if door.name in names else None
        if narrow is not None:
            frame, short, gap = Ref("door frame", of=door.name), Length(narrow.lacking_m), Length(site.gaps.body_m)
            why = because("way-door-too-narrow", door=Ref("door", door.name), part=narrow.part, short=short, gap=gap)
            yield Obstruction(frame, narrow.lacking_m, why)
