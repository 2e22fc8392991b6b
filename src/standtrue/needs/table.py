"""The default table: what each event calls for on each kind of sensor, and the sentence that says why.

Everything here is common practice, no source: what repairers look for where the vehicle maker's own
information has not been transcribed yet. Doubtful pairs are conditional. `GRID` decides every pair; `REASONS`
holds one sentence for every pair that is not untouched; `default_rules` puts them together.
"""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.model.rules import How, Where

COLUMNS: Mapping[str, str] = {
    "FC": "forward camera",
    "FR": "front radar",
    "FCR": "front corner radar",
    "RCR": "rear corner radar",
    "SV": "surround-view camera",
    "RC": "rear camera",
    "US": "ultrasonic",
    "LI": "lidar",
    "SA": "steering-angle sensor",
    "NV": "night-vision camera",
    "RH": "ride-height sensor",
    "YR": "yaw-rate sensor",
    "DC": "driver camera",
    "OW": "occupant weight sensor",
    "AH": "adaptive headlamp",
}
"""The sensor kinds by the column heads of `GRID`."""

GRID = """
event                         FC FR FCR RCR SV RC US LI SA NV RH YR DC OW AH
windshield replaced           R  C  -   -   -  -  -  C  -  C  -  -  C  -  -
rear glass replaced           -  -  -   -   C  C  -  -  -  -  -  -  -  -  -
front bumper removed          -  R  R   -   C  -  C  C  -  C  -  -  -  -  C
grille removed                -  R  C   -   C  -  C  C  -  C  -  -  -  -  -
radiator removed              -  C  -   -   C  -  -  C  -  C  -  -  -  -  -
radiator support removed      -  R  C   -   C  -  C  C  -  C  -  -  -  -  R
headlamp removed              -  -  C   -   -  -  -  C  -  -  -  -  -  -  R
fender removed                -  -  C   -   C  -  C  -  -  -  -  -  -  -  C
door removed                  -  -  -   -   C  -  -  -  -  -  -  -  -  -  -
door mirror removed           -  -  -   -   R  -  -  -  -  -  -  -  -  -  -
rear bumper removed           -  -  -   R   C  C  C  -  -  -  -  -  -  -  -
bumper repaired over radar    -  R  R   R   -  -  C  -  -  -  -  -  -  -  -
liftgate removed              -  -  -   -   C  R  C  -  -  -  -  -  -  -  -
quarter panel replaced        -  -  -   R   -  C  C  -  -  -  -  -  -  -  -
minor collision               C  C  C   C   C  C  C  C  C  C  C  -  -  C  C
structural collision          R  R  R   R   R  C  C  R  R  C  C  R  C  C  R
wheel alignment               C  C  C   C   -  -  -  C  R  -  -  C  -  -  -
suspension work               C  C  C   C   C  -  -  C  C  -  C  C  -  -  C
ride height changed           R  R  C   C   R  C  C  R  C  C  R  -  -  -  R
tires replaced                C  C  -   -   -  -  -  -  -  -  -  -  -  -  -
tire size changed             R  C  C   C   C  C  -  C  C  C  C  C  -  -  C
steering work                 C  C  -   -   -  -  -  C  R  -  -  C  C  -  C
airbag deployed               C  C  C   C   C  C  C  C  C  C  C  C  C  R  C
seat removed                  -  -  -   -   -  -  -  -  -  -  -  C  -  R  -
battery disconnected          -  -  -   -   C  -  -  -  C  -  C  C  -  C  C
module replaced               R  R  R   R   R  R  R  R  R  R  R  R  R  R  R
sensor disturbed              R  R  R   R   R  R  R  R  R  R  R  R  R  R  R
roof or headliner work        C  -  -   -   -  -  -  C  -  -  -  -  C  -  -
fault stored                  C  C  C   C   C  C  C  C  C  C  C  C  C  C  C
"""
"""Every event against every sensor kind: R required, C conditional, - untouched."""

REASONS: Mapping[str, Mapping[str, str]] = {
    "windshield replaced": {
        "FC": "The forward camera looks through the windshield; new glass changes what it sees.",
        "FR": "On some cars the front radar sits behind the windshield beside the camera; look where this one is.",
        "LI": "Some lidars look through the windshield; if this one does, new glass bends its beam differently.",
        "NV": "Some night-vision cameras sit at the windshield; if this one does, its bracket was disturbed.",
        "DC": "Some driver cameras are fixed to the mirror or the trim that comes off with the windshield.",
    },
    "rear glass replaced": {
        "SV": "On some cars the rear view of the surround system comes from a camera at the rear glass.",
        "RC": "Some rear cameras are fixed to the rear glass or its trim; look whether this one came off.",
    },
    "front bumper removed": {
        "FR": "The front radar looks out through the front bumper; its aim must be proved once the bumper is back on.",
        "FCR": "The front corner radars sit behind the front bumper; they may have moved when it came off.",
        "SV": "The front camera of the surround view is often fixed to the bumper and comes off with it.",
        "US": "The ultrasonic sensors in the front bumper were unplugged; some makers have them learned again.",
        "LI": "On some cars the lidar is fixed behind the front bumper and moves with it.",
        "NV": "On some cars the night-vision camera sits in the front end and was disturbed with the bumper.",
        "AH": "On many cars the headlamps are loosened to free the front bumper; check their aim.",
    },
    "grille removed": {
        "FR": "The front radar sits behind the grille or its emblem; the part that it looks through was off.",
        "FCR": "On some cars the grille comes off together with the bumper corners that cover the corner radars.",
        "SV": "The front camera of the surround view often sits in the grille and came off with it.",
        "US": "On some cars the middle ultrasonic sensors are clipped to the grille.",
        "LI": "On some cars the lidar looks out through the grille.",
        "NV": "The night-vision camera often sits behind the grille; look whether it was moved.",
    },
    "radiator removed": {
        "FR": "On many cars the front radar's bracket stands ahead of the radiator and is moved to get it out.",
        "SV": "The front camera of the surround view may have come off to make room for the radiator.",
        "LI": "A lidar in the front end may have been moved to get the radiator out.",
        "NV": "A night-vision camera in the front end may have been moved to get the radiator out.",
    },
    "radiator support removed": {
        "FR": "On most cars the radiator support carries the front radar's bracket; with it the aim comes off.",
        "FCR": "On some cars the brackets of the front corner radars are bolted to the radiator support.",
        "SV": "The front camera of the surround view comes off with the parts ahead of the radiator support.",
        "US": "The front bumper hangs on the radiator support; its ultrasonic sensors may point elsewhere now.",
        "LI": "A lidar in the front end is carried by the radiator support or by parts bolted to it.",
        "NV": "A night-vision camera in the front end is carried by the radiator support or by parts bolted to it.",
        "AH": "The headlamps are bolted to the radiator support on most cars; their aim is lost when it comes off.",
    },
    "headlamp removed": {
        "FCR": "On some cars the front corner radar sits under or beside the headlamp.",
        "LI": "On some cars a lidar is built in at the headlamp.",
        "AH": "A headlamp that was taken out must be aimed again before it can swivel and dip correctly.",
    },
    "fender removed": {
        "FCR": "On some cars the front corner radar's bracket is bolted to the fender.",
        "SV": "Some side cameras of the surround view are built into the fender.",
        "US": "The outermost ultrasonic sensors sit at the edge of the fender on some cars.",
        "AH": "The headlamp is fixed to the fender on many cars; check its aim.",
    },
    "door removed": {
        "SV": "A front door carries the mirror with the side camera; a door hung anew turns that camera with it.",
    },
    "door mirror removed": {
        "SV": "The side camera of the surround view sits in the door mirror; its picture no longer joins the others.",
    },
    "rear bumper removed": {
        "RCR": "The rear corner radars sit behind the rear bumper; they may have moved when it came off.",
        "SV": "On some cars the rear camera of the surround view is fixed to the rear bumper.",
        "RC": "On some cars the rear camera is fixed to the rear bumper.",
        "US": "The ultrasonic sensors in the rear bumper were unplugged; some makers have them learned again.",
    },
    "bumper repaired over radar": {
        "FR": "The front radar looks through the bumper; filler and extra paint bend or block its beam.",
        "FCR": "The front corner radars look through the bumper; filler and extra paint bend or block their beams.",
        "RCR": "The rear corner radars look through the bumper; filler and extra paint bend or block their beams.",
        "US": "Fresh paint on or round an ultrasonic sensor changes how it rings; test each of them.",
    },
    "liftgate removed": {
        "SV": "On many cars the rear camera of the surround view is fixed to the liftgate.",
        "RC": "The rear camera is fixed to the liftgate; a liftgate hung anew turns the camera with it.",
        "US": "On some cars a sensor that watches the opening liftgate was unplugged with it.",
    },
    "quarter panel replaced": {
        "RCR": "The rear corner radar is fixed to the quarter panel or right beside it; new metal moves its aim.",
        "RC": "Work on the quarter panel can shift the opening that carries the rear camera.",
        "US": "The outermost rear ultrasonic sensors sit at the edge of the quarter panel.",
    },
    "minor collision": {
        "FC": "Even a light blow can shift the forward camera's bracket or the glass that it looks through.",
        "FR": "Even a light blow can bend the front radar's bracket without leaving a mark on the bumper.",
        "FCR": "Even a light blow to a front corner can bend the bracket of the radar behind it.",
        "RCR": "Even a light blow to a rear corner can bend the bracket of the radar behind it.",
        "SV": "A blow can turn one camera of the surround view, and its picture no longer joins the others.",
        "RC": "A blow to the rear can turn the rear camera, and its guide lines no longer show where the car will go.",
        "US": "A blow to the bumper can push an ultrasonic sensor out of its seat.",
        "LI": "Even a light blow can turn the lidar by more than it tolerates.",
        "SA": "A blow to a wheel can shift the steering; look whether it still runs straight at zero.",
        "NV": "A blow to the front can turn the night-vision camera.",
        "RH": "A blow from below or to a wheel can bend the linkage of a ride-height sensor.",
        "OW": "Many makers have the seat's weight sensor checked after every collision.",
        "AH": "A blow near a headlamp can break or bend its mounts; check its aim.",
    },
    "structural collision": {
        "FC": "The forward camera takes the body as its reference; straightened structure changes that reference.",
        "FR": "The front radar is aimed along the car's line of travel; straightened structure changes that line.",
        "FCR": "The front corner radars are aimed from the body; straightened structure changes where they point.",
        "RCR": "The rear corner radars are aimed from the body; straightened structure changes where they point.",
        "SV": "The surround view joins four cameras by where they sit on the body; straightened structure moves them.",
        "RC": "The rear camera's guide lines follow the body; look whether they still show where the car will go.",
        "US": "The ultrasonic sensors are set to the shape of the body; test them once it is straight again.",
        "LI": "The lidar is aimed from the body; straightened structure changes where it points.",
        "SA": "Straightened structure changes the wheel alignment, and with it where the steering is at zero.",
        "NV": "The night-vision camera is aimed from the body; look whether its mount was in the repaired area.",
        "RH": "Straightened structure can change the height that the ride-height sensors were taught as normal.",
        "YR": "The yaw-rate sensor is bolted to the floor; straightened structure can tilt it, so zero it again.",
        "DC": "A hard collision can shift the driver camera on the column or the dash.",
        "OW": "Many makers have the seat's weight sensor checked or set to zero after a hard collision.",
        "AH": "The headlamps are aimed from the body; straightened structure changes where they shine.",
    },
    "wheel alignment": {
        "FC": "The forward camera is set to the car's line of travel; look whether the alignment changed that line.",
        "FR": "The front radar is set to the car's line of travel; look whether the alignment changed that line.",
        "FCR": "The front corner radars refer to the car's line of travel, which the alignment may have changed.",
        "RCR": "The rear corner radars refer to the car's line of travel, which the alignment may have changed.",
        "LI": "The lidar refers to the car's line of travel, which the alignment may have changed.",
        "SA": "Wheel alignment sets the steering straight; the steering-angle sensor must learn that as its zero.",
        "YR": "Many makers zero the yaw-rate sensor together with the steering-angle sensor after an alignment.",
    },
    "suspension work": {
        "FC": "New suspension parts can change how high and how level the forward camera looks at the road.",
        "FR": "New suspension parts can tilt the car, and the front radar's beam with it.",
        "FCR": "New suspension parts can tilt the car, and the front corner radars with it.",
        "RCR": "New suspension parts can tilt the car, and the rear corner radars with it.",
        "SV": "New suspension parts can change the height from which the surround view sees the ground.",
        "LI": "New suspension parts can tilt the car, and the lidar's beam with it.",
        "SA": "Work on the suspension usually shifts the wheel alignment, and with it where the steering is at zero.",
        "RH": "The ride-height sensors are linked to the suspension arms and are often undone to work on them.",
        "YR": "Many makers zero the yaw-rate sensor after work on the suspension.",
        "AH": "The headlamps level themselves by the height of the suspension; check their aim.",
    },
    "ride height changed": {
        "FC": "The forward camera reckons distances from its own height; a different ride height makes them wrong.",
        "FR": "A different ride height tilts the front radar's beam up or down.",
        "FCR": "A different ride height can tilt the front corner radars up or down.",
        "RCR": "A different ride height can tilt the rear corner radars up or down.",
        "SV": "The surround view is joined on the ground; a different ride height pulls the pictures apart.",
        "RC": "The rear camera's guide lines hold for one height above the ground.",
        "US": "Ultrasonic sensors that sit lower can take the ground itself for an obstacle.",
        "LI": "A different ride height tilts the lidar's beam up or down.",
        "SA": "A different ride height changes toe, and with it where the steering is at zero.",
        "NV": "A different ride height tilts the night-vision camera up or down.",
        "RH": "The ride-height sensors must be taught the new height as normal.",
        "AH": "A different ride height tilts the headlamps; they must be aimed again.",
    },
    "tires replaced": {
        "FC": "New tread lifts the car a little; some makers have the forward camera checked when all tires are new.",
        "FR": "New tread lifts the car a little; some makers have the front radar checked when all tires are new.",
    },
    "tire size changed": {
        "FC": "The forward camera reckons distances from its own height, and another tire size changes that height.",
        "FR": "Another tire size can tilt the car, and the front radar's beam with it.",
        "FCR": "Another tire size can tilt the car, and the front corner radars with it.",
        "RCR": "Another tire size can tilt the car, and the rear corner radars with it.",
        "SV": "Another tire size changes the height from which the surround view sees the ground.",
        "RC": "Another tire size changes the height from which the rear camera draws its guide lines.",
        "LI": "Another tire size can tilt the car, and the lidar's beam with it.",
        "SA": "Steering and stability control are coded for the tire size; look whether the maker has them set anew.",
        "NV": "Another tire size can tilt the car, and the night-vision camera with it.",
        "RH": "Another tire size changes the body's height above the road, which no ride-height sensor can feel.",
        "YR": "Stability control compares the yaw rate with the wheel speeds, and another tire size changes those.",
        "AH": "Another tire size can tilt the car, and the headlamps' aim with it.",
    },
    "steering work": {
        "FC": "Lane keeping steers by what the forward camera sees; look whether the maker pairs them again.",
        "FR": "Work on the steering usually shifts toe, and with it the line of travel that the front radar is set to.",
        "LI": "Work on the steering usually shifts toe, and with it the line of travel that the lidar is set to.",
        "SA": "Work on the steering moves its straight-ahead position; the steering-angle sensor must learn it again.",
        "YR": "Many makers zero the yaw-rate sensor together with the steering-angle sensor.",
        "DC": "On many cars the driver camera is fixed to the steering column.",
        "AH": "Headlamps that swivel follow the steering angle; check that they look straight ahead at zero.",
    },
    "airbag deployed": {
        "FC": "A blow that fires an airbag, and the airbag itself, can shift the forward camera or crack its glass.",
        "FR": "A blow that fires an airbag can bend the front radar's bracket.",
        "FCR": "A blow that fires an airbag can bend the brackets of the front corner radars.",
        "RCR": "A blow that fires an airbag can bend the brackets of the rear corner radars.",
        "SV": "A blow that fires an airbag can turn any camera of the surround view.",
        "RC": "A blow that fires an airbag can turn the rear camera.",
        "US": "A blow that fires an airbag can push ultrasonic sensors out of their seats.",
        "LI": "A blow that fires an airbag can turn the lidar by more than it tolerates.",
        "SA": "The steering-angle sensor often shares its place with the driver's airbag coil, which is replaced.",
        "NV": "A blow that fires an airbag can turn the night-vision camera.",
        "RH": "A blow that fires an airbag can bend the linkages of the ride-height sensors.",
        "YR": "On many cars the yaw-rate sensor is part of the airbag control module, which is replaced.",
        "DC": "The driver camera sits by the column or dash that the airbag came out of.",
        "OW": "The weight sensor decides whether the passenger's airbag may fire; it must be set to zero and proved.",
        "AH": "A blow that fires an airbag can bend the mounts of the headlamps; check their aim.",
    },
    "seat removed": {
        "YR": "On some cars the yaw-rate sensor is bolted to the floor under or beside the seat.",
        "OW": "The weight sensor is set to zero with its seat bolted down; a seat that was out must be zeroed again.",
    },
    "battery disconnected": {
        "SV": "Some surround-view systems lose their stored picture settings without the battery.",
        "SA": "Some steering-angle sensors forget their zero when the battery is disconnected.",
        "RH": "Some leveling systems forget the taught ride height when the battery is disconnected.",
        "YR": "Some stability systems ask for the yaw-rate sensor's zero after the battery was disconnected.",
        "OW": "Some makers have the seat's weight sensor checked after the battery was disconnected.",
        "AH": "Some swiveling headlamps must find their end stops again after the battery was disconnected.",
    },
    "roof or headliner work": {
        "FC": "The forward camera's cover and bracket meet the headliner and are often undone for it.",
        "LI": "On some cars the lidar is built into the roof.",
        "DC": "On some cars the driver camera sits in the mirror or the trim of the roof.",
    },
}
"""One sentence for the customer for every pair that `GRID` does not leave untouched, but for the events below."""

TASKS: Mapping[str, str] = {
    "FC": "must learn again exactly where straight ahead is",
    "FR": "must be aimed again along the car's line of travel",
    "FCR": "must be aimed again and shown where it sits on the car",
    "RCR": "must be aimed again so that it watches the right lane",
    "SV": "must be set up again so that its pictures join",
    "RC": "must be set up again so that its guide lines are true",
    "US": "must be learned again and tested at known distances",
    "LI": "must be aimed again, since a small turn is large far ahead",
    "SA": "must learn again where the steering is straight",
    "NV": "must be aimed again so that it shows people where they are",
    "RH": "must be taught the normal height again",
    "YR": "must be set to zero again on level ground",
    "DC": "must learn again where the driver's face is",
    "OW": "must be set to zero again with the seat empty",
    "AH": "must be aimed again and find its end stops",
}
"""What a sensor that was disturbed or replaced must do; completes the sentences of `BY_PART`."""

SAID_AS: Mapping[str, str] = {"ultrasonic": "ultrasonic sensor"}
"""Kinds that a sentence calls by a longer name."""

BY_PART: Mapping[str, str] = {
    "module replaced": "A new {sensor}, or its new module, holds no values of this car: it {task}.",
    "sensor disturbed": "The {sensor} was taken off, moved or unplugged: it {task}.",
    "fault stored": "If the fault concerns the {sensor}, find its cause first, then look whether it {task}.",
}
"""Events that concern the sensor that their `part` names: one rule for each kind of sensor, with that part."""

BY_PLACE: Mapping[str, Mapping[str, tuple[tuple[Where, How], ...]]] = {
    "bumper repaired over radar": {
        "FR": (("front", "required"), ("left", "conditional"), ("right", "conditional")),
        "FCR": (("front", "required"), ("left", "conditional"), ("right", "conditional")),
        "RCR": (("rear", "required"), ("left", "conditional"), ("right", "conditional")),
    },
    "minor collision": {
        "FC": (("front", "conditional"), ("roof", "conditional")),
        "FR": (("front", "conditional"), ("under", "conditional")),
        "FCR": (("front", "conditional"), ("left", "conditional"), ("right", "conditional")),
        "RCR": (("rear", "conditional"), ("left", "conditional"), ("right", "conditional")),
        "SV": (("front", "conditional"), ("rear", "conditional"), ("left", "conditional"), ("right", "conditional")),
        "RC": (("rear", "conditional"),),
        "US": (("front", "conditional"), ("rear", "conditional"), ("left", "conditional"), ("right", "conditional")),
        "LI": (("front", "conditional"), ("roof", "conditional")),
        "SA": (("front", "conditional"), ("left", "conditional"), ("right", "conditional"), ("under", "conditional")),
        "NV": (("front", "conditional"),),
        "RH": (("left", "conditional"), ("right", "conditional"), ("under", "conditional")),
        "AH": (("front", "conditional"), ("left", "conditional"), ("right", "conditional")),
    },
}
"""Events whose place on the car matters: where each kind of sensor is touched. A kind left out is touched anywhere."""

ONE_SIDED: frozenset[str] = frozenset({"FCR", "RCR", "SV", "AH"})
"""Kinds of which a blow to one side touches that side's sensor."""

ALIGNED = "wheel alignment measured and within limits"

BEFORE: Mapping[str, tuple[str, ...]] = {
    "windshield replaced": ("adhesive cured as its maker says",),
    "bumper repaired over radar": ("paint and filler over the radar checked against the vehicle maker's limits",),
    "structural collision": ("structure measured and within limits", ALIGNED),
    "wheel alignment": (ALIGNED,),
    "suspension work": (ALIGNED,),
    "steering work": (ALIGNED,),
    "ride height changed": ("ride height measured and within limits", ALIGNED),
    "tires replaced": ("tire pressures set",),
    "tire size changed": ("tire pressures set", ALIGNED),
    "fault stored": ("cause of the fault repaired",),
}
"""What must come first after an event, for every sensor whose aim depends on it."""

NOT_BEFORE: Mapping[str, frozenset[str]] = {
    ALIGNED: frozenset({"RH", "DC", "OW"}),
    "ride height measured and within limits": frozenset({"DC", "OW"}),
    "structure measured and within limits": frozenset({"DC", "OW"}),
}
"""Sensors that do not wait for it: the ride height is taught before the wheels are aligned, and so on."""
