"""What an owner asks of a room: which cars come for which work, in which sites or bays, with which lifts."""

from __future__ import annotations

from attrs import frozen

from standtrue.model.job import Event


@frozen
class RepairOrder:
    """One kind of repair order: what is done to the car, or the cards that it calls for, and how many come a year."""

    name: str
    per_year: float
    events: tuple[Event, ...] = ()
    procedures: tuple[str, ...] = ()


@frozen
class Study:
    """`bays` are `SITE/BAY`; a site that has none of its bays named is asked whole. `lift_types` are to be tried.

    `conditional`: whether what an order calls for only on some cars, or only if something is found, counts too.
    """

    name: str
    sites: tuple[str, ...]
    mix: str
    work: tuple[RepairOrder, ...]
    bays: tuple[str, ...] = ()
    lift_types: tuple[str, ...] = ()
    conditional: bool = True
    demonstration: bool = False
