"""The use case before anyone kneels: where a set-up's targets go, which lines to snap, which readings to take."""

from __future__ import annotations

from collections.abc import Iterator

from attrs import frozen

from standtrue.aim.chalk import ChalkLine, chalk_lines
from standtrue.aim.layout import Offset, TargetLayout, car_offsets, lay_out, point_offsets
from standtrue.aim.planning import Planned, SetupPlan, plan_setup
from standtrue.aim.reading_plan import QUIET
from standtrue.aim.scene import Scene
from standtrue.aim.sight import Sight
from standtrue.aim.telling_apart import MOST, on_floor
from standtrue.model.asking import Asking
from standtrue.model.basis import Basis
from standtrue.model.car_points import points_of_kind
from standtrue.model.ground import Grounds
from standtrue.model.reason import Length, Reason, Ref, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Checked
from standtrue.place.question.answer import Answer
from standtrue.work.aim.known_to import notes_on_bobs
from standtrue.work.aim.reading_minutes import MINUTES_NOTE, reading_s
from standtrue.work.aim.restanding import planned_stance
from standtrue.work.aim.setups import NO_TOES, basis_for, card_of, noted_of_card, scene_of
from standtrue.work.place.level import level_floors


@frozen(eq=False)
class TargetsAnswer:
    """How to lay a set-up out, and which readings to take. `stance` is the car where it is planned to stand.

    `wheels` are the wheels' centers, `points` the car's points at the wheels that hands can reach. `chalk` are the
    lines to snap, at each end of the car where targets stand. `reading_s` is what the plan's readings take, seconds.
    """

    scene: Scene
    stance: Answer
    targets: tuple[TargetLayout, ...]
    wheels: tuple[tuple[str, tuple[Offset, ...]], ...]
    points: tuple[tuple[str, tuple[Offset, ...]], ...]
    chalk: tuple[ChalkLine, ...]
    plan: SetupPlan | None
    toes_known: bool
    reading_s: float
    basis: Basis
    of_card: tuple[Reason, ...] = ()
    """What must be said of the card before anything is laid out by it."""


def lay_targets_out(shop: Shop, setup: Setup, asking: Asking = QUIET, checked: Checked | None = None) -> TargetsAnswer:
    """Where a set-up's targets go, and the fewest readings with which its tolerances can be decided.

    `checked`: every reading by others, or the least set; as the site says by default. Stopped early, the plan of
    readings is the best so far, and not proven. Raises UnansweredError as `scene_of` does.
    """
    scene, notes = scene_of(shop, setup)
    planned = planned_stance(Grounds(scene.site), scene.vehicle, card_of(shop, setup), setup)
    stance = level_floors(shop, scene.site, [scene.card]).noted(planned)
    targets = lay_out(scene.card, scene.vehicle, scene.site, scene.place, scene.thrust.value_rad, scene.height_m)
    notes += notes_on_bobs(scene)
    wheels = car_offsets(scene.vehicle, scene.site, scene.place)
    hands = frozenset(points_of_kind(scene.site.readings.points[0]))
    points = point_offsets(((p.name, p.spot) for p in scene.at_car.points if p.name in hands), scene.site, scene.place)
    sight = Sight(scene, stance.ground)
    plan = None
    if setup.instruments and scene.targets:
        tied = scene.card.rests_on_place
        how = scene.site.readings.checked if checked is None else checked
        plan = plan_setup(scene, setup.instruments, tied, sight, how, asking=asking)
        notes += _plan_notes(plan, scene)
    chalk = chalk_lines(scene, sight)
    notes += [because("line-not-clear", line=line.name, things=_refs(line)) for line in chalk if not line.clear]
    taken = 0.0 if plan is None else sum(reading_s(scene.site, p.candidate.instrument) for p in plan.planned)
    basis = basis_for(shop, scene, notes, stance)
    toes_known = NO_TOES not in notes
    of_card = noted_of_card(shop, setup, scene.card)
    return TargetsAnswer(scene, stance, targets, wheels, points, chalk, plan, toes_known, taken, basis, of_card)


def _refs(line: ChalkLine) -> tuple[Ref, ...]:
    """What is in the way of a line that cannot be snapped."""
    at_marks = (ref for mark in line.marks for string in mark.strings for ref in string.stopped_by)
    return tuple(dict.fromkeys((*line.stopped_by, *at_marks)))


def _plan_notes(plan: SetupPlan, scene: Scene) -> Iterator[Reason]:
    """What must be said of a plan."""
    if not plan.enough:
        yield because("cannot-be-decided", tolerances=tuple(what.reason for what in plan.short_of))
    if plan.asked is not None and plan.unchecked:
        numbers = tuple(str(p.number) for p in plan.unchecked)
        yield because("readings-hide-blunders", numbers=numbers, size=Length(plan.asked.length_m))
    if "" in dict(plan.parts):
        yield because("car-tied-once" if any(not p.part for p in plan.planned) else "car-not-tied-by-marks")
    for part in plan.too_many:
        whose = Ref("target", part) if part else Ref("this car")
        yield because("many-readings", part=whose, count=on_floor(dict(plan.parts)[part]), usual=MOST)
    if any(_assumed(scene, p) for p in plan.planned):
        yield MINUTES_NOTE
    for target in scene.targets:
        if target.size_m is None:
            yield because("chalk-ends", target=Ref("target", target.name), half=Length(target.chalk_half_m))


def _assumed(scene: Scene, planned: Planned) -> bool:
    return all(one.name != planned.candidate.instrument.name for one in scene.site.instruments)
