"""What carries a car, as a value: the floor, or a lift in one state with its decks at one height."""

from __future__ import annotations

from attrs import frozen

from standtrue.model.basics import Place, SupportClass
from standtrue.model.lift import Lift, LiftState, PlacedLift
from standtrue.model.site import Site


@frozen(order=True)
class Carrier:
    """What carries a car. `lift` is None for the floor; `state` and `height_m` (of its decks, metres) are a lift's."""

    lift: str | None = None
    state: str = ""
    height_m: float = 0.0

    @property
    def is_floor(self) -> bool:
        return self.lift is None


FLOOR = Carrier()


@frozen
class Stance:
    """A place and what carries the car there."""

    place: Place
    carrier: Carrier = FLOOR


def lift_at_rest(placed: PlacedLift) -> Carrier:
    """A lift in its rest state, its decks as low as that goes."""
    return Carrier(placed.name, placed.lift.rest.name, placed.lift.rest.deck_height_m[0])


def support_class(carrier: Carrier, site: Site) -> SupportClass:
    """The support class of a carrier. A lift that carries the body counts as floor at rest.

    Raises KeyError if the site has no such lift, or the lift no such state.
    """
    if carrier.lift is None:
        return "floor"
    lift, state = lift_state(carrier, site)
    return class_of_state(lift, state)


def class_of_state(lift: Lift, state: LiftState) -> SupportClass:
    """The support class of a car on this lift in this state of it."""
    if lift.carries == "body" and state is lift.rest:
        return "floor"
    return "lift down" if state.drive_on else "lift up"


def lift_state(carrier: Carrier, site: Site) -> tuple[Lift, LiftState]:
    """The lift of a carrier and its state. Raises KeyError if the site has no such lift, or the lift no such state."""
    for placed in site.lifts:
        if placed.name == carrier.lift:
            for state in placed.lift.states:
                if state.name == carrier.state:
                    return placed.lift, state
    raise KeyError(written(carrier))


def read_carrier(text: str, site: Site, height_m: float | None = None) -> Carrier:
    """The carrier that `floor` or `LIFT/STATE` means; without `height_m` at the least height of the state.

    Names may hold a slash themselves. Raises KeyError if the site has no such lift, or the lift no such state.
    """
    if text == "floor":
        return FLOOR
    for placed in site.lifts:
        for state in placed.lift.states:
            if text == f"{placed.name}/{state.name}":
                return Carrier(placed.name, state.name, state.deck_height_m[0] if height_m is None else height_m)
    raise KeyError(text)


def written(carrier: Carrier) -> str:
    """A carrier as documents and JSON write it: `floor` or `LIFT/STATE`."""
    return "floor" if carrier.lift is None else f"{carrier.lift}/{carrier.state}"
