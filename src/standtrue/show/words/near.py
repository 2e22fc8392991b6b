"""The words at a car: short names of points, what each numbered tape is taken from and to, what a near view says."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from standtrue.aim.bodies import Reading
from standtrue.aim.layout import DATUM
from standtrue.aim.planning import Planned
from standtrue.aim.points import FRONT, REAR
from standtrue.model.reason import Angle, Length, Ref, Term
from standtrue.model.setup import FLOOR_START, LINES, STRINGS, WHEELS_START
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

CORNERS: Mapping[str, str] = {
    "front left": N_("FL"),
    "front right": N_("FR"),
    "rear left": N_("RL"),
    "rear right": N_("RR"),
}
"""Short for the four corners of the car: its own left and right."""

_KINDS: Mapping[str, str] = {
    "wheel": N_("{corners}: under the middles of the wheels (a wheel's center, plumbed down)."),
    "hub": N_("{corners}: on the floor below a bob from the hub's face, {out} outside the tire's middle."),
    "sidewall": N_("{corners}: the tire's outer sidewall squared down to the floor, halved."),
    "clamp": N_("{corners}: on the floor below the end of the wheel clamp, {out} outside the tire's middle."),
    "bar": N_("{corners}: on the floor below the ends of the bar across the axle."),
}
"""How a kind of point on the car is found."""

_OWN_ENDS: Mapping[str, str] = {
    "": N_("middle"),
    "left": N_("L"),
    "right": N_("R"),
    "top": N_("top"),
    "bottom": N_("bottom"),
}
"""The same under a heading that names the target."""

_ENDS: Mapping[str, str] = {
    "left": N_("{target}, L"),
    "right": N_("{target}, R"),
    "top": N_("{target}, top"),
    "bottom": N_("{target}, bottom"),
}
"""The ends of a target; left and right as one looks at the printed side."""

SIDES = (N_("L"), N_("R"))
"""What is written at a target's ends, and stands in a blank to circle."""


_SHORT: Mapping[str, str] = {FRONT: N_("nose"), REAR: N_("tail")}


def corner_of(point: str) -> tuple[str, str] | None:
    """A point on the car as its kind and its corner; None for what is none."""
    kind, _, corner = point.partition(" ")
    return (kind, corner) if kind in _KINDS and corner in CORNERS else None


def car_point(point: str, kinds: int, reader: Reader) -> str:
    """A point on the car, short; with its kind where points of several kinds are used."""
    found = corner_of(point)
    if found is None:
        return reader.term(_SHORT.get(point, point))
    kind, corner = found
    short = reader.say(CORNERS[corner])
    return short if kinds < 2 else reader.say("{corner} {kind}", corner=short, kind=reader.term(kind))


def point_words(point: str, targets: Sequence[str], kinds: int, reader: Reader, whose: str = "") -> str:
    """A point by its short name: of a target, of the car, or a mark by its own. `whose`: the target just named."""
    for target in targets:
        own = point.removeprefix(target).strip()
        if target == whose and point.startswith(target) and own in _OWN_ENDS:
            return reader.say(_OWN_ENDS[own])
        if point == target:
            return reader.say("middle of {target}", target=Ref("target", target))
        end = point.removeprefix(f"{target} ")
        if end != point and end in _ENDS:
            return reader.say(_ENDS[end], target=Ref("target", target))
    return reader.say("datum") if point == DATUM else car_point(point, kinds, reader)


def how_found(kinds: Mapping[str, float], corners: Sequence[str], reader: Reader) -> list[str]:
    """How the points on the car are found. `kinds` says how far outside the tire's middle each kind lies, metres."""
    named = ", ".join(reader.say(CORNERS[c]) for c in corners)
    return [reader.say(_KINDS[kind], corners=named, out=Length(out)) for kind, out in kinds.items()]


def reading_words(reading: Reading, targets: Sequence[str], kinds: int, reader: Reader, whose: str = "") -> str:
    """What a reading is taken from and to, under a heading that names the target `whose`."""

    def name(point: str) -> str:
        return point_words(point, targets, kinds, reader, whose)

    start, end = [name(p) for p in reading.start], [name(p) for p in reading.end]
    if reading.what == "distance":
        form = N_("{start} to {end}") if reading.plumbed else N_("{start} straight to {end}")
        return reader.say(form, start=start[0], end=end[0])
    if reading.what == "offset":
        line = _line(reading)
        if line is not None:
            return reader.say("{end} off {line}", end=end[0], line=line)
        return reader.say("{end} off the line {one} to {two}", end=end[0], one=start[0], two=start[1])
    if reading.what == "angle":
        line = _line(reading)
        if line is not None:
            return reader.say("turn of {end} against the {line}", end=end[0], line=line)
        return reader.say("angle of {one} to {two} against {three} to {four}", one=start[0], two=start[1], three=end[0],
                          four=end[1])  # fmt: skip
    if reading.what == "lean":
        return reader.say("lean") if whose else reader.say("lean of {end}", end=end[0])
    if start and reading.start[0] not in HEIGHTS:
        return reader.say("height of {end} above {start}", end=end[0], start=start[0])
    return reader.say("height of {end}", end=end[0])


def heights_words(readings: Iterable[Reading], reader: Reader) -> list[str]:
    """Where heights start, which is told once."""
    starts = dict.fromkeys(r.start[0] if r.start else "" for r in readings if r.what == "height")
    return [reader.say(HEIGHTS[start]) for start in starts if start in HEIGHTS]


HEIGHTS: Mapping[str, str] = {
    "": N_("Heights are taped from the shop floor."),
    FLOOR_START: N_("Heights are taped from the floor right below."),
    WHEELS_START: N_("Heights are leveled from the ground at the wheels."),
}
"""By where a height starts."""


def planned_words(planned: Planned, targets: Sequence[str], kinds: int, reader: Reader, whose: str = "") -> str:
    """A reading of the plan, with what must be told of its way."""
    view = planned.candidate.view
    said = [reading_words(planned.reading, targets, kinds, reader, whose)]
    if planned.candidate.again:
        said.append(reader.say("again"))
    if view is not None and view.under_car:
        said.append(reader.say("under the car"))
    return ", ".join(said)


def _line(reading: Reading) -> Term | None:
    return next((Term(line) for line, points in LINES.items() if points == reading.start), None)


def planned_figure(reading: Reading, value: float, reader: Reader) -> str:
    """What a reading would say as planned, with its side where that is sure."""
    if reading.is_angle:
        return reader.write(Angle(abs(value)), "fine")
    figure = reader.write(Length(abs(value)))
    if not signed(reading) or abs(value) < ASIDE_M:
        return figure
    return reader.say("{figure} {side}", figure=figure, side=reader.say(SIDES[0] if value > 0.0 else SIDES[1]))


ASIDE_M = 0.1
"""What lies farther than this from a line is on one side of it for everybody."""


def to_circle(planned: Planned) -> bool:
    """Whether the side of a reading is open, and has to be circled."""
    return signed(planned.reading) and (planned.reading.is_angle or abs(planned.value) < ASIDE_M)


def signed(reading: Reading) -> bool:
    """Whether it matters to which side a reading goes: of a string, a tape reads to one side only."""
    if reading.what == "offset":
        return not any(reading.start == LINES[string] for string in STRINGS)
    return reading.what in ("angle", "lean")


def drawn_how(reader: Reader) -> str:
    """How a near view is turned."""
    return reader.say("Nose up: left here is the car's left.")


def face_words(reader: Reader) -> str:
    """What the letters at a target's ends mean."""
    return reader.say("L, R at a target: its left and right as you look at its printed side.")


def ends_untold(length: Length, reader: Reader) -> str:
    """How long the chalk line of a target is whose size is not told."""
    return reader.say("The card tells no size: L and R end a line, {length} from its middle.", length=length)


def key_words(reader: Reader) -> str:
    return reader.say("where in the shop")


def bar_scale(reader: Reader) -> str:
    return reader.say("1 : {scale} at full size", scale="{scale}")


def thrust_name(line: str, reader: Reader) -> str:
    """What the chalked line is called on the picture."""
    return reader.say("{line}, chalked", line=reader.term(line))


def stood_words(target: str, ahead_m: float, behind_m: float, reader: Reader) -> str:
    """Where a target stood, ahead of the car's front end or behind its rear end; beside it where it is neither."""
    name = Ref("target", target)
    if ahead_m > 0.0:
        return reader.say("{target:the} stood {far} ahead of the front end", target=name, far=Length(ahead_m))
    if behind_m > 0.0:
        return reader.say("{target:the} stood {far} behind the rear end", target=name, far=Length(behind_m))
    return reader.say("{target:the} stood beside the car", target=name)
