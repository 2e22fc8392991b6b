"""The cautions in words: general ones. The makers of the car, the lift and the equipment, and local codes, govern."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from standtrue.model.cautions import Fact
from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "overload": N_("Do not raise this car on this lift: its mass is above what the lift or one axle of it may carry."),
    "unknown-load": N_("Find out the car's mass and the lift's capacity, for each axle too, before you raise it."),
    "raised-lift": N_(
        "Follow the lift maker's instructions. Keep everyone out from under the car until it rests on "
        "engaged locks, and stay within the lift's capacity."
    ),
    "open-pit": N_(
        "A pit is open: guard its edge, keep people and wheels away from it, and close it when you have finished."
    ),
    "moving-car": N_(
        "Clear people from the car's way and have someone guide the driver. Set the parking brake and chock "
        "the wheels once it stands."
    ),
    "pushed-car": N_(
        "With its drive off a car may lack brake and steering assistance: keep a person at the brake where "
        "one works, keep chocks at hand, and move slowly on level floor only."
    ),
    "radar-emitter": N_(
        "The radar transmits while it is on: keep the distance that its maker states, and keep other people "
        "and moving metal out of its view."
    ),
    "laser-emitter": N_(
        "The lidar emits laser light: do not look into it from close by or through optics, and follow the "
        "laser instructions of its maker and your local code."
    ),
    "high-voltage": N_(
        "This car has a high-voltage system: only trained people may work near orange cables and the "
        "battery, by the vehicle maker's instructions. Lift only at the points that spare the battery."
    ),
    "open-door": N_(
        "A door must stand open: watch for sun on targets and lenses, rain, wind that moves targets, and traffic."
    ),
    "road-test": N_(
        "Drive only with a licensed driver, a car fit and legal for the road, on a road and in weather that "
        "suit; obey traffic law before any drive procedure, and let a second person watch the tool."
    ),
    "unusable-card": N_(
        "A card used here is a draft, is said to be wrong, or is superseded by a newer edition: do not calibrate a car "
        "by it. It may serve to look ahead."
    ),
    "unverified-card": N_(
        "A card used here was not verified by a second person: compare it with the vehicle maker's current "
        "procedure before you rely on it."
    ),
    "demonstration-data": N_("This answer uses invented demonstration data: do not work on a real car by it."),
    "maker-governs": N_(
        "The vehicle maker's current service information and local codes govern. This program reports what "
        "was measured and planned; it does not declare a vehicle safe."
    ),
}

CALLED_WHEN: Mapping[Fact, str] = {
    Fact.RAISED: N_("the car is raised on a lift"),
    Fact.OPEN_PIT: N_("a pit is open"),
    Fact.CAR_MOVES: N_("the car is driven in the shop"),
    Fact.CAR_PUSHED: N_("the car is pushed or rolled on skates"),
    Fact.RADAR: N_("a radar is switched on"),
    Fact.LIDAR: N_("a lidar is switched on"),
    Fact.HIGH_VOLTAGE: N_("the car has a high-voltage system"),
    Fact.OPEN_DOOR: N_("a door must stand open"),
    Fact.ROAD_TEST: N_("the car is driven on the road"),
    Fact.UNVERIFIED_CARD: N_("a card was not verified by a second person"),
    Fact.UNUSABLE_CARD: N_("a card is a draft, is said to be wrong, or is superseded by a newer edition"),
    Fact.DEMONSTRATION: N_("demonstration data was used"),
    Fact.OVERLOAD: N_("the car is heavier than the lift or an axle of it may carry"),
    Fact.UNKNOWN_MASS: N_("the car's mass or the lift's capacity is not known"),
}
"""What each fact says of an answer, for the table of all cautions."""
