"""What points and readings of a set-up are called, as values that a reader's words are made of."""

from __future__ import annotations

from standtrue.aim.bodies import Reading
from standtrue.aim.layout import DATUM, marks_of
from standtrue.aim.scene import Scene
from standtrue.aim.ties import PLANNED_AHEAD, is_tie
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.setup import CHALKED, LINES

_SIZES_OF_POINTS = {" offset": "size-offset", " high": "size-high"}

_LINE_THROUGH = {points: line for line, points in LINES.items()}


def point_ref(name: str, scene: Scene) -> Ref | Term | str:
    """A point by what it is: of the floor, the car or a target. A name that no point has is left as it is."""
    for target, names in scene.target_points.items():
        if name in names:
            end = name.removeprefix(target).strip()
            # The ends of a target without a size are chalk on the floor.
            chalk = " mark" if end in ("left", "right") and scene.target(target).size_m is None else ""
            return Ref("target", target, state=end + chalk)
    if name == DATUM or name in scene.car_points:
        return Term(name)
    if any(mark.name == name for mark in marks_of(scene.site)):
        return Ref("mark", name)
    return name


def size_title(name: str, scene: Scene) -> Reason:
    """What is known beforehand of a size, as what it is: of the whole car, of one point, of a chalk mark."""
    size = next((s for s in scene.at_car.sizes if s.name == name), None)
    if size is not None and size.point:
        code = next((code for end, code in _SIZES_OF_POINTS.items() if name.endswith(end)), "size-found")
        return because(code, point=Term(size.point))
    if size is not None:
        return because("size-of-car", size=Term(name))
    if name in (mark for line in CHALKED for mark in LINES[line]):
        return because("size-mark", mark=Term(name))
    return because("size-floor")


def title_of(reading: Reading, scene: Scene) -> Reason:
    """How a reading is called: what is read, from where and to where."""
    if reading.what == "size":
        return size_title(reading.end[0], scene)
    if is_tie(reading):
        part = "turn" if reading.what == "angle" else "across" if reading.start[1] == PLANNED_AHEAD else "along"
        return because("reading-stated", part=Term(part))
    ends = [point_ref(p, scene) for p in reading.end]
    starts = [point_ref(p, scene) for p in reading.start]
    line = _LINE_THROUGH.get((reading.start[0], reading.start[-1]) if len(reading.start) == 2 else ("", ""))
    if reading.what == "distance":
        return because("reading-on-floor" if reading.plumbed else "reading-straight", start=starts[0], end=ends[0])
    if reading.what == "offset":
        if line is not None:
            return because("reading-offset-from-line", end=ends[0], line=Term(line))
        return because("reading-offset", end=ends[0], one=starts[0], two=starts[1])
    if reading.what == "angle":
        target = next((t.name for t in scene.targets if reading.end == t.sides), None)
        if line is not None and target is not None:
            return because("reading-angle-to-line", target=Ref("target", target), line=Term(line))
        return because("reading-angle", one=starts[0], two=starts[1], three=ends[0], four=ends[1])
    if reading.what == "lean":
        return because("reading-lean", end=ends[0])
    if starts:
        return because("reading-height-above", end=ends[0], start=starts[0])
    return because("reading-height", end=ends[0])
