"""Sentences of aiming: what stands against a set-up, what to do about it, what readings are called."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.model.reason import Length, Reason, Term
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons import Sentences

_NOT_FIXED: Mapping[str, str] = {
    "sideways": N_("{body} is not fixed: its place sideways"),
    "lengthwise": N_("{body} is not fixed: its place lengthwise"),
    "along a slant": N_("{body} is not fixed: its place along a slant"),
    "height": N_("{body} is not fixed: its height"),
    "turn": N_("{body} is not fixed: its turn, seen from above"),
    "lean": N_("{body} is not fixed: its lean"),
    "unmeasured": N_("{body} is not fixed: nothing was measured"),
}


def _not_fixed(reason: Reason, reader: Reader) -> str:
    way, values = reason["way"], dict(reason.values)
    assert isinstance(way, Term)
    return reader.say(_NOT_FIXED[way.word], body=values["body"])


def _unknown_point(reason: Reason, reader: Reader) -> str:
    points = reason["points"]
    return reader.say_n(
        "{reading}: no point is called {points}",
        "{reading}: no points are called {points:or}",
        len(points) if isinstance(points, tuple) else 1,
        **dict(reason.values),
    )


_MISREAD = {
    True: N_(
        "the height of {point} lies {off:fine} above what the points about it foretell, where such foretellings miss "
        "by about {usual:fine-up}: read it again"
    ),
    False: N_(
        "the height of {point} lies {off:fine} below what the points about it foretell, where such foretellings miss "
        "by about {usual:fine-up}: read it again"
    ),
}
"""By whether it lies above."""


def _misread(reason: Reason, reader: Reader) -> str:
    off = reason["off"]
    assert isinstance(off, Length)
    return reader.say(_MISREAD[off.metres > 0.0], **{**dict(reason.values), "off": Length(abs(off.metres))})


SENTENCES: Sentences = {
    # what the readings do not fix
    "not-fixed": _not_fixed,
    "no-such-point": N_("no such point: {point}"),
    "readings-contradict": N_("the readings contradict each other, or the car stands far from where it was planned"),
    "no-readings": N_("no readings"),
    # a target against its tolerances
    "not-measured": N_("not measured"),
    "no-tolerance-stated": N_("the card states no tolerance"),
    "part-not-measured": N_("{part}: not measured"),
    "part-out-of-tolerance": N_("{part}: out of tolerance"),
    "part-too-near-limit": N_("{part}: too near the limit to tell at this uncertainty"),
    "tolerance": N_("{target}: {part}"),
    # what a reading is called
    "reading-on-floor": N_("distance {start} to {end} on the floor"),
    "reading-straight": N_("distance {start} to {end}"),
    "reading-offset-from-line": N_("offset of {end} from the {line}"),
    "reading-offset": N_("offset of {end} from the line {one} - {two}"),
    "reading-angle-to-line": N_("angle of {target} to the {line}"),
    "reading-angle": N_("angle from {one} - {two} to {three} - {four}"),
    "reading-height": N_("height of {end}"),
    "reading-height-above": N_("height of {end} above {start}"),
    "points-estimated": N_("estimated, not measured at this car: {what}"),
    "offsets-known-to": N_("taken as known to {u:fine-up}: how far out {points} lie"),
    "sizes-known-to": N_("taken as known to {u:fine-up}: {what}"),
    "floor-taken-as-level": N_("no survey says how the floor lies: it is taken as level for heights and leans"),
    "floor-under-taken-as-level": N_(
        "the floor under {targets} was not surveyed: it is taken as level with the wheels"
    ),
    "chalk-of-targets-without-size": N_(
        "{targets}: no size is given; the ends of the chalk line lie {half} from the center"
    ),
    "sensor-place-taken": N_("where the {sensor} sits is taken just as the car's document has it"),
    "bobs-fall-off": N_(
        "the floor slopes under the car: bobs from the targets fall up to {by:up} off where they are laid out on the "
        "plan; the readings allow for it"
    ),
    "size-of-car": N_("{size}, as the car's document has it"),
    "size-offset": N_("how far out {point} lies"),
    "size-high": N_("how high {point} is"),
    "size-found": N_("how well {point} was found"),
    "size-mark": N_("the mark {mark} as chalked"),
    "size-floor": N_("the floor as surveyed"),
    "reading-stated": N_("where the car stands, as stated: {part}"),
    "mark-not-fixed": N_("{mark} is not fixed: give two offsets from the strings, or how well it was chalked"),
    "reading-lean": N_("lean of {end}"),
    # a reading that is questioned
    "reading-height-without-start": N_("{reading}: from where? say from the floor at the target, or from the wheels"),
    "reading-unknown-point": _unknown_point,
    "reading-to-itself": N_("{reading}: it goes from a point to itself"),
    "reading-beyond-a-turn": N_("{reading}: more than a full turn"),
    "reading-not-positive": N_("{reading}: a distance is greater than 0"),
    "reading-longer-than-room": N_("{reading}: longer than the room"),
    "reading-higher-than-room": N_("{reading}: higher than the room"),
    "reading-far-from-plan": N_("{reading}: far from what was planned"),
    "perhaps-other-point": N_("did you mean {points:or}?"),
    "perhaps-other-unit": N_("was it read in {read} and typed as {typed}?"),
    # conditions of a card
    "condition-not-recorded": N_("{what} was not recorded"),
    "condition-other-unit": N_("{what} is asked in {asked} and was recorded in {recorded}"),
    "condition-below": N_("{what} is below {limit} {unit}"),
    "condition-above": N_("{what} is above {limit} {unit}"),
    "condition-too-near-limit": N_("{what} is too close to {limit} {unit} to tell"),
    # alignment
    "alignment-not-measured": N_("{reading} has not been measured"),
    "alignment-out-of-tolerance": N_("{reading} is {value:fine}, limits {low:fine} to {high:fine}: out of tolerance"),
    "alignment-too-near-limit": N_(
        "{reading} is {value:fine}, limits {low:fine} to {high:fine}: too near a limit to tell, known to {u:fine-up}"
    ),
    "alignment-contradicts": N_(
        "{reading} was read as {read:fine}, and {others} make it {made:fine}: they contradict each other"
    ),
    "alignment-combined": N_("these agree and were combined, each weighted by how well it is known: {readings}"),
    "no-alignment-limits": N_("{car} has no alignment limits: get them from the vehicle maker's service information"),
    "calibration-held": N_("the calibration is held: {why}"),
    "thrust-line-assumed": N_("the rear toes are not known: the centerline stands in for the thrust line"),
    "thrust-line-doubted": N_(
        "the readings of the rear toes contradict each other: the centerline stands in for the thrust line"
    ),
    # the plan of readings, and what was read
    "cannot-be-decided": N_("with these instruments these cannot be decided: {tolerances}"),
    "readings-unchecked": N_("some readings are not checked by any other: a misreading in them would not be seen"),
    # where the car stands
    "car-not-tied-to-floor": N_(
        "no reading ties the car to a floor mark: zones and margins are those of the planned stance"
    ),
    "car-does-not-fit-there": N_("the car does not fit where it stands"),
    "car-does-not-fit-as-planned": N_("the car does not fit at its planned stance"),
    "car-fit-unsure": N_("whether the car fits where it stands cannot be told at this uncertainty"),
    # the floor
    "card-asks-no-level": N_("the card {card} asks nothing of the floor's level"),
    "floor-not-surveyed": N_("the card asks for level floor, and no survey of the site says whether it is"),
    "floor-partly-unsurveyed": N_("level floor is asked for, and this was not surveyed: {parts}"),
    "survey-point": N_("{name} (at {x}, {y})"),
    "level-rests-on-doubtful": N_(
        "level rests on heights of the survey {survey} that must be read again first: {points}"
    ),
    "height-looks-misread": _misread,
    "loop-does-not-close": N_(
        "the loop {loop} does not close: off by {off:fine-up}, at most {allowed:fine-down} by its readings; level it "
        "again"
    ),
    "level-taken-straight": N_(
        "some of that floor lies between heights of the survey {survey} that are {apart} apart, far more than the "
        "others: it is taken as straight there"
    ),
    "level-nothing-surveyed": N_("the survey {survey} says nothing of the floor that the card asks to be level"),
    "height-level": N_(
        "level met: by the survey {survey} height differs by {off:fine-up} (known to {u:fine-up}) under what the card "
        "names, at most {within:fine-down}"
    ),
    "height-not-level": N_(
        "level not met: by the survey {survey} height differs by {off:fine-up} (known to {u:fine-up}) under what the "
        "card names, at most {within:fine-down}"
    ),
    "height-perhaps-level": N_(
        "level too close to the limit: by the survey {survey} height differs by {off:fine-up} (known to {u:fine-up}) "
        "under what the card names, at most {within:fine-down}"
    ),
    "slope-level": N_(
        "level met: by the survey {survey} the floor under what the card names slopes by {off:fine-up} (known to "
        "{u:fine-up}), at most {within:fine-down}"
    ),
    "slope-not-level": N_(
        "level not met: by the survey {survey} the floor under what the card names slopes by {off:fine-up} (known to "
        "{u:fine-up}), at most {within:fine-down}"
    ),
    "slope-perhaps-level": N_(
        "level too close to the limit: by the survey {survey} the floor under what the card names slopes by "
        "{off:fine-up} (known to {u:fine-up}), at most {within:fine-down}"
    ),
    "floor-uneven": N_("height differs by more than {within:down} from the largest level part of the floor"),
    "floor-uneven-or-steep": N_(
        "height differs by more than {within:down} from the largest level part of the floor, "
        "or slopes by more than {steepest:fine-down}"
    ),
    "floor-uneven-with-stance": N_("not level within {within:down} with what stands there"),
    "floor-uneven-or-steep-with-stance": N_(
        "not level within {within:down} with what stands there, or slopes by more than {steepest:fine-down}"
    ),
    # loads
    "unknown-car-mass": N_("the car's mass"),
    "unknown-front-share": N_("the front axle's share of the mass"),
    "unknown-lift-capacity": N_("the lift's capacity"),
    "unknown-axle-capacity": N_("the lift's capacity for one axle"),
    "unknown-lift-points": N_("the car's lift points"),
    "unknown-arm-capacity": N_("the capacity of each arm"),
    "load-not-known": N_("not known: {what}"),
    "car-would-tip": N_("the center of mass does not lie between the lift points: the car would tip"),
    # what is asked on the command line
    "leg-or-dbsm": N_("one of --leg and --dbsm is asked"),
    "give-one": N_("give one"),
    "height-without-distance": N_("how much higher the radar is means nothing without its distance"),
    "leg-not-positive": N_("a leg is longer than 0"),
    "measure-it": N_("measure it"),
    "must-lie-between": N_("it must lie between {least} and {most} {unit}"),
    "length-must-lie-between": N_("it must lie between {least} and {most}"),
    "figure-as-in": N_("write it as in {example}"),
    "no-stance": N_("this is no stance"),
    "write-stance": N_("write x, y and heading, as in {example} (bare numbers: meters, degrees)"),
    "stance-not-finite": N_("a stance is finite"),
    "write-finite-numbers": N_("write finite numbers"),
    # a set-up's document
    "card-for-each-side": N_("the card {card} is written for each side: say which"),
    "name-one-of": N_("write {words:or}"),
    "site-lacks-carrier": N_("the site {site} has no {carrier}"),
    "stance-beyond-room": N_("the stance lies beyond the room, at {x}, {y}"),
    "stance-far-beyond-room": N_("the stance lies far beyond the room"),
    "floor-reaches": N_(
        "the floor reaches from {x_from}, {y_from} to {x_to}, {y_to}: look at the figures and their unit"
    ),
}
