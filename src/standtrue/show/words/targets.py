"""What `targets` says: where the targets go, in dimensions to lay out, and which readings to take."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from standtrue.aim.chalk import ChalkLine, ChalkMark
from standtrue.aim.layout import TargetLayout
from standtrue.aim.planning import Planned, SetupPlan
from standtrue.aim.reading_plan import ReadingPlan
from standtrue.aim.scene import Scene
from standtrue.aim.titles import point_ref, title_of
from standtrue.model.reason import Angle, Duration, Length, Ref, Term
from standtrue.model.site import from_datum
from standtrue.show.words.aim import facing, figure
from standtrue.show.words.blocks import Block, Lines, Table, Told
from standtrue.show.words.catalog import N_
from standtrue.show.words.place import offsets
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.aim.laying import TargetsAnswer

TERMS: tuple[str, ...] = (N_("nose"), N_("tail"))
"""The car's ends, as marks of a chalk line are called."""


MOST_TARGETS = 4
"""How many targets are told in a sentence each."""


def targets_told(answer: TargetsAnswer, reader: Reader) -> Told:
    """Where each target goes, and how long the readings take; then what to lay out and read; at length all."""
    places, datum = [layout.place for layout in answer.targets], answer.scene.site.datum
    lines = [
        reader.say(
            "{target}: {at}, its center {height} high, facing {way}.",
            target=Ref("target", p.name),
            at=offsets(*from_datum((p.center[0], p.center[1]), datum), reader),
            height=Length(p.center[2]),
            way=facing(p.facing_rad - datum.direction_rad, reader),
        )
        for p in places[:MOST_TARGETS]
    ]
    lines = [*(as_sentence(said) for said in reader.reasons(answer.of_card)), *lines, thrust_words(answer, reader)]
    if answer.plan is not None:
        lines.append(" ".join((_found(answer.plan, reader), *_time(answer, reader))))
    if answer.stance.level is not None:
        lines += [as_sentence(said) for said in reader.reasons(answer.stance.level.because)]
    long = tuple(targets_blocks(answer, reader))
    at_hand = tuple(block for block in long if isinstance(block, Table) and block.title not in _spared(reader))
    return Told((Lines(tuple(lines)),), at_hand, long)


def _spared(reader: Reader) -> tuple[str, ...]:
    """The tables that nobody needs who lays out."""
    return _points_title(reader), _further_title(reader)


def targets_blocks(answer: TargetsAnswer, reader: Reader) -> Iterator[Block]:
    """How to lay a set-up out."""
    yield Lines(
        (reader.say("Left and right are the car's, as you look ahead over it, unless a printed side is named."),)
    )
    if answer.stance.level is not None:
        yield Lines(tuple(as_sentence(said) for said in reader.reasons(answer.stance.level.because)))
    yield _points(answer, reader)
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
    yield Table(reader.say("Where the targets go (from the site's origin)"), columns, rows)
    for layout in answer.targets:
        if layout.place.swept:
            yield _path(layout, reader)
    yield Lines((thrust_words(answer, reader),))
    for line in answer.chalk:
        yield _chalk(line, reader)
    if answer.plan is not None:
        yield from _plan(answer.plan, answer, reader)


def _points(answer: TargetsAnswer, reader: Reader) -> Table:
    rows = []
    for point, seen_from in answer.points:
        seen = [
            reader.say(
                "{mark}: {along}, {left}",
                mark=point_ref(o.mark, answer.scene),
                along=Length(o.along_m),
                left=Length(o.left_m),
            )
            for o in seen_from
        ]
        rows.append((reader.write(point_ref(point, answer.scene)), "; ".join(seen)))
    return Table(_points_title(reader), (reader.say("point"), reader.say("marks")), tuple(rows))


def _points_title(reader: Reader) -> str:
    return reader.say("The car's points plumbed to the floor, from each mark (along the datum, to its left)")


def _further_title(reader: Reader) -> str:
    return reader.say("What one reading more would buy")


def _path(layout: TargetLayout, reader: Reader) -> Table:
    rows = tuple(
        (str(number), reader.write(Length(x)), reader.write(Length(y)))
        for number, (x, y) in enumerate(layout.place.swept, start=1)
    )
    title = reader.say(
        "Path along which {target} is moved (from the site's origin)", target=Ref("target", layout.place.name)
    )
    return Table(title, (reader.say("point"), reader.say("x"), reader.say("y")), rows)


def _chalk(line: ChalkLine, reader: Reader) -> Table:
    """Where the two marks of a line lie from the strings."""
    name = Term(line.name)
    title = reader.say("To chalk the {line} ahead of the car", line=name)
    if not line.ahead:
        title = reader.say("To chalk the {line} behind the car", line=name)
    rows = tuple(
        (reader.write(mark.where), *(reader.write(Length(s.offset_m)) for s in mark.strings), _past(mark, reader))
        for mark in line.marks
    )
    columns = (
        reader.say("mark at"),
        reader.say("from the left string, to its right"),
        reader.say("from the right string, to its left"),
        reader.say("past the strings' last points, left and right"),
    )
    return Table(title, columns, rows)


def _past(mark: ChalkMark, reader: Reader) -> str:
    return ", ".join(reader.write(Length(s.beyond_m)) for s in mark.strings)


def thrust_words(answer: TargetsAnswer, reader: Reader) -> str:
    """Which way the thrust line runs, as one looks ahead over the car."""
    heading = answer.scene.thrust.value_rad
    if not answer.toes_known:
        return reader.say("The rear toes are not known: the centerline stands in for the thrust line.")
    turned = Angle(abs(heading))
    if reader.write(turned, "fine") == reader.write(Angle(0.0), "fine"):
        return reader.say("The thrust line runs along the centerline.")
    if heading > 0.0:
        return reader.say("The thrust line runs {turned:fine} to the car's left of its centerline.", turned=turned)
    return reader.say("The thrust line runs {turned:fine} to the car's right of its centerline.", turned=turned)


def _plan(plan: SetupPlan, answer: TargetsAnswer, reader: Reader) -> Iterator[Block]:
    for name, part in plan.parts:
        planned = [p for p in plan.planned if p.part == name]
        if planned:
            yield _readings(name, part, planned, answer, reader)
    yield Lines((_found(plan, reader), *_time(answer, reader)))
    if plan.further:
        yield _further(plan, answer.scene, reader)


def _readings(name: str, part: ReadingPlan, planned: Sequence[Planned], answer: TargetsAnswer, reader: Reader) -> Table:
    target = Ref("target", name)
    if not name:
        title = reader.say("Readings that tie the car to the floor")
    elif part.proven and part.enough:
        title = reader.say("Readings that place {target} (no fewer do)", target=target)
    else:
        title = reader.say("Readings that place {target}", target=target)
    columns = (
        "",
        reader.say("reading"),
        reader.say("as planned"),
        reader.say("known to"),
        reader.say("finds a slip of"),
        reader.say("checked by"),
    )
    return Table(title, columns, tuple(_row(p, answer.scene, reader) for p in planned))


def _row(one: Planned, scene: Scene, reader: Reader) -> tuple[str, ...]:
    angle = one.reading.is_angle
    unseen = math.isinf(one.found)
    return (
        str(one.number),
        reading_words(one, scene, reader),
        figure(one.value, angle, reader, "tape"),
        figure(one.reading.u, angle, reader, "fine-up"),
        reader.say("none") if unseen else figure(one.found, angle, reader, "up"),
        ", ".join(map(str, one.checked_by)),
    )


def reading_words(one: Planned, scene: Scene, reader: Reader) -> str:
    """A reading of the plan: what, from where, to where, and what must be told of its way."""
    view = one.candidate.view
    parts = [reader.reason(title_of(one.reading, scene))]
    if one.candidate.again:
        parts.append(reader.say("again, by another person or with another instrument"))
    if view is not None and view.under_car:
        parts.append(reader.say("under the car"))
    if view is not None and view.over:
        parts.append(reader.say("over the open {pits}: guard its edge", pits=view.over))
    if view is not None and view.before_frames:
        parts.append(reader.say("before the targets' equipment comes in"))
    return ", ".join(parts)


def _found(plan: SetupPlan, reader: Reader) -> str:
    """Which slips the readings find of each other."""
    if plan.asked is None:
        return reader.say("These are the least readings that decide the tolerances: a slip in one may go unseen.")
    lengths = [p.found for p in plan.planned if not p.reading.is_angle]
    if plan.unchecked or not lengths:
        return reader.say("Each reading is checked by others as far as the instruments allow.")
    return reader.say("Every reading is checked by others: a slip of {size:up} in any length is found, 4 times of 5.",
                      size=Length(max(lengths)))  # fmt: skip


def _time(answer: TargetsAnswer, reader: Reader) -> Iterator[str]:
    yield reader.say("The readings take {time}.", time=Duration(answer.reading_s))
    if answer.plan is not None and answer.plan.asked is not None:
        n = len(answer.plan.least)
        yield reader.say_n("The least set is {n} reading.", "The least set is {n} readings.", n)


def _further(plan: SetupPlan, scene: Scene, reader: Reader) -> Table:
    rows = []
    for one in plan.further:
        tightest = one.tightest
        known = ""
        if tightest is not None:
            before, after = (figure(u, tightest.is_angle, reader, "fine-up") for u in one.u)
            known = reader.say("{what}: {before}, then {after}", what=tightest.reason, before=before, after=after)
        sizes = [reader.say("none") if math.isinf(x) else reader.write(Length(x), "up") for x in one.found]
        title = reader.reason(title_of(one.candidate.reading, scene))
        rows.append((title, known, reader.say("{before}, then {after}", before=sizes[0], after=sizes[1])))
    columns = (reader.say("reading"), reader.say("known to"), reader.say("finds a slip of"))
    return Table(_further_title(reader), columns, tuple(rows))
