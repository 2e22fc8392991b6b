"""What rules a move out before any search."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, End, Mode, Obstruction
from standtrue.model.reason import Length, Ref, because
from standtrue.model.site import Site
from standtrue.model.stance import lift_state
from standtrue.model.vehicle import Vehicle


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
        swept=(),
        cell_m=0.0,
        nodes=0,
        proven=True,
        obstructions=obstructions,
        warnings=(),
    )


def refusals(site: Site, vehicle: Vehicle, start: End, goal: End, mode: Mode) -> Iterator[Obstruction]:
    """What rules a move out: the car's height, its turning circle, the lifts at its ends."""
    if site.clear_height_m is not None and vehicle.height_m > site.clear_height_m:
        over = vehicle.height_m - site.clear_height_m
        yield Obstruction(Ref("ceiling"), over, because("way-under-ceiling", over=Length(over)))
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
