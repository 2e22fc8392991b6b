"""What `targets` says: where the targets go, in dimensions to lay out, and which readings to take."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.aim.layout import TargetLayout
from standtrue.aim.reading_plan import ReadingPlan
from standtrue.aim.scene import Scene
from standtrue.aim.titles import point_ref, title_of
from standtrue.model.reason import Length, Ref, Term
from standtrue.show.words.aim import chalk_end, facing, figure
from standtrue.show.words.blocks import Block, Table
from standtrue.show.words.reader import Reader
from standtrue.work.aim.aiming import TargetsAnswer


def targets_blocks(answer: TargetsAnswer, reader: Reader) -> Iterator[Block]:
    """How to lay a set-up out."""
    yield _wheels(answer, reader)
    columns = (
        reader.say("target"),
        reader.say("x"),
        reader.say("y"),
        reader.say("height"),
        reader.say("faces"),
        reader.say("line"),
    )
    places = [layout.place for layout in answer.targets]
    rows = tuple(
        (p.name, *(reader.write(Length(c)) for c in p.center), facing(p.facing_rad, reader), reader.term(p.line))
        for p in places
    )
    yield Table(reader.say("Where the targets go"), columns, rows)
    for layout in answer.targets:
        yield _tapes(layout, answer.scene, reader)
        if layout.place.swept:
            yield _path(layout, reader)
    if answer.plan is not None:
        yield _plan(answer.plan, answer.scene, reader)


def _wheels(answer: TargetsAnswer, reader: Reader) -> Table:
    rows = []
    for wheel, offsets in answer.wheels:
        seen = [
            reader.say(
                "{mark}: {along}, {left}",
                mark=point_ref(o.mark, answer.scene),
                along=Length(o.along_m),
                left=Length(o.left_m),
            )
            for o in offsets
        ]
        rows.append((reader.term(wheel), "; ".join(seen)))
    title = reader.say("The wheels' centers on the floor, from each mark (along the datum, to its left)")
    return Table(title, (reader.say("wheel"), reader.say("marks")), tuple(rows))


def _tapes(layout: TargetLayout, scene: Scene, reader: Reader) -> Table:
    ends = [(point_ref(m.start, scene), m) for m in (*layout.hubs, *layout.diagonals)]
    if layout.sensor is not None:
        ends.insert(len(layout.hubs), (Term(layout.sensor.start), layout.sensor))
    rows = tuple(
        (
            reader.write(start),
            reader.write(end if isinstance(end := chalk_end(layout, m.end), Ref) else point_ref(m.end, scene)),
            reader.write(Length(m.straight_m)),
            reader.write(Length(m.plan_m)),
        )
        for start, m in ends
    )
    title = reader.say("To lay out {target}", target=Ref("target", layout.place.name))
    columns = (reader.say("from"), reader.say("to"), reader.say("straight"), reader.say("on the floor"))
    return Table(title, columns, rows)


def _path(layout: TargetLayout, reader: Reader) -> Table:
    rows = tuple(
        (str(number), reader.write(Length(x)), reader.write(Length(y)))
        for number, (x, y) in enumerate(layout.place.swept, start=1)
    )
    title = reader.say("Path along which {target} is moved", target=Ref("target", layout.place.name))
    return Table(title, (reader.say("point"), reader.say("x"), reader.say("y")), rows)


def _plan(plan: ReadingPlan, scene: Scene, reader: Reader) -> Table:
    title = reader.say("Readings to take")
    if plan.proven and plan.enough:
        title = reader.say("Readings to take (no fewer do)")
    rows = tuple(
        (str(number), reader.reason(title_of(r, scene)), figure(r.u, r.is_angle, reader, "fine-up"))
        for number, r in enumerate(plan.readings, start=1)
    )
    return Table(title, ("", reader.say("reading"), reader.say("known to")), rows)
