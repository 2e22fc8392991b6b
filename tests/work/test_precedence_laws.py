"""Laws of what must be done first, put to the planner on random small jobs.

What is held back is compared with a restatement by sets of names that shares no code with the planner.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise

import pytest
import work_makers as make
from attrs import evolve, frozen
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from standtrue.model.asking import Asking
from standtrue.model.basis import basis_of
from standtrue.model.job import Event, Job, Work
from standtrue.model.procedure import Method, Minutes, Procedure, Source
from standtrue.model.reason import Text, because
from standtrue.model.rules import Calibrate, Rule, Rules
from standtrue.model.stages import STAGES, Stage
from standtrue.model.vehicle import Sensor
from standtrue.needs import find_needs, order_of_work
from standtrue.work.needs.jobs import Needs
from standtrue.work.place.level import LevelFloors
from standtrue.work.plan.clock import JobClock
from standtrue.work.plan.floors import Floors
from standtrue.work.plan.from_here import Begun
from standtrue.work.plan.moves import Paths
from standtrue.work.plan.operations import draft_operations
from standtrue.work.plan.ordered import Ordered
from standtrue.work.plan.question import JobQuestion
from standtrue.work.plan.stances import Candidates

STATIC = STAGES.index("static")
law = settings(derandomize=True, deadline=None, max_examples=60)

ALIGNED, PRESSURES, GLUE = "wheel alignment measured and within limits", "tire pressures set", "glue set hard"
WORKS: tuple[tuple[str, Stage], ...] = (
    ("pull the frame", "structure"),
    ("new strut", "mechanical"),
    ("paint the bumper", "body and paint"),
    ("set tire pressures", "pressures and ride height"),
    ("wheel alignment", "alignment"),
    ("wash", "hand-over"),
)
CARDS: tuple[tuple[str, str, Method], ...] = (
    ("Zero", "steering-angle sensor", "electronic"),
    ("Cam", "forward camera", "electronic"),
    ("Radar", "front radar", "electronic"),
    ("Rear", "rear camera", "drive"),
    ("Face", "driver camera", "electronic"),
)
STAGE_OF = dict(WORKS) | {"Zero": "steering angle", "Rear": "drive", "pre-scan": "pre-scan", "post-scan": "post-scan"}
STAGE_OF |= {ALIGNED: "alignment", PRESSURES: "pressures and ride height"}


@frozen
class Small:
    """A random job: its work, what each card and each rule puts first, and what cannot be done."""

    works: tuple[Work, ...]
    cards: Mapping[str, tuple[str, ...]]
    before: Mapping[str, tuple[str, ...]]
    out: frozenset[str]


@st.composite
def small_jobs(draw: st.DrawFn) -> Small:
    names = draw(st.lists(st.sampled_from(WORKS), max_size=4, unique=True))
    cards = draw(st.lists(st.sampled_from(CARDS), min_size=1, max_size=4, unique=True))
    called = [name for name, _ in names] + [card for card, _, _ in cards]
    some = st.lists(st.sampled_from([*called, "post-scan"]), max_size=1).map(tuple)
    few = st.one_of(st.just(()), some)
    waits = st.sampled_from(((0.0, 0.0), (0.0, 0.0), (600.0, 900.0)))
    works = []
    for name, stage in names:
        after = tuple(a for a in draw(few) if a != name)
        works.append(Work(name, (60.0, 60.0), after=after, wait_s=draw(waits), blocks="drive", stage=stage))
    firsts = {card: tuple(a for a in draw(few) if a not in (card, "post-scan", "wash")) for card, _, _ in cards}
    rules = {card: draw(st.sampled_from(((), (ALIGNED,), (PRESSURES, GLUE), (GLUE,)))) for card, _, _ in cards}
    out = draw(st.frozensets(st.sampled_from([*called, "pre-scan"]), max_size=2))
    return Small(tuple(works), firsts, rules, out)


def asked(small: Small) -> JobQuestion:
    """The job as the planner has it, every step possible wherever the car is but for those that cannot be done."""
    kinds = {card: (sensor, method) for card, sensor, method in CARDS if card in small.cards}
    car = evolve(make.car(), sensors=tuple(Sensor(sensor, None) for sensor, _ in kinds.values()))
    cards = [
        Procedure(name, sensor, method, Source("notes"), after=small.cards[name], minutes=Minutes(run_s=(60.0, 60.0)))
        for name, (sensor, method) in kinds.items()
    ]  # fmt: skip
    rules = tuple(
        Rule("minor collision", (Calibrate(sensor),), "required", Text("Hit."), before=small.before[name])
        for name, (sensor, _) in kinds.items()
    )
    job = Job("R-1", "shop", "car", events=(Event("minor collision"),), work=small.works)
    answer = find_needs(job, car, cards, (Rules("own", rules),))
    assume(not any("circle" in warning.code for warning in answer.warnings))
    needs = Needs(job, car, answer, tuple(cards), order_of_work(answer, job), basis_of((), (), ()))
    site, lacks = make.site(), (because("no-card"),)
    drafts = tuple(
        evolve(
            draft,
            card=None,
            wherever_s=None if draft.on_road_s else (60.0, 60.0),
            ruled_out_by=lacks if draft.name in small.out else (),
        )
        for draft in draft_operations(needs, site)
    )
    floors = Floors(LevelFloors(None, site))
    return JobQuestion(needs, site, drafts, Paths(site, car), floors, Asking(), JobClock(), Begun(drafts, {}))


def planned(small: Small) -> Ordered:
    return asked(small).answer(Candidates((), ()))


def rank(name: str) -> int:
    return STAGES.index(STAGE_OF.get(name, "static"))


def named(small: Small) -> dict[str, set[str]]:
    """What each step names, by what is written down: job, cards, rules; facts that nothing sees to are steps."""
    written = {w.name: set(w.after) for w in small.works} | {c: set(after) for c, after in small.cards.items()}
    works = {w.name: w.stage for w in small.works}
    for card, facts in small.before.items():
        for fact in facts:
            seen = [n for n, stage in works.items() if fact != GLUE and stage == STAGE_OF[fact]]
            written[card] |= set(seen or [fact])
            if not seen:
                written.setdefault(fact, set()).update(n for n, stage in works.items() if stage == STAGE_OF.get(fact))
    for firsts in written.values():
        firsts &= {*written, "post-scan"}
    return written


def above(name: str, firsts: Mapping[str, set[str]]) -> set[str]:
    """All that comes before, directly or not."""
    found: set[str] = set()
    waiting = [name]
    while waiting:
        new = firsts.get(waiting.pop(), set()) - found
        found |= new
        waiting += new
    return found


def waiting_for(small: Small) -> dict[str, set[str]]:
    """What each step names, and the zero of the steering before each camera and radar unless it names those."""
    firsts = named(small) | {"post-scan": set(small.cards)}
    after_zero = {"Cam", "Radar", "Rear"} & set(small.cards) if "Zero" in small.cards else set()
    after_zero -= above("Zero", firsts)
    return {name: own | ({"Zero"} if name in after_zero else set()) for name, own in firsts.items()}


def expected(small: Small) -> set[str]:
    """All that is held back, restated: by names, by stages of work, and by sensors that others rely on."""
    firsts = named(small)
    works = {w.name for w in small.works}
    cards = set(small.cards)
    first_of = {fact: min((rank(c) for c in cards if fact in small.before[c]), default=STATIC) for fact in (GLUE,)}
    pushing = waiting_for(small)
    place = {n: max(first_of.get(m, rank(m)) for m in (n, *above(n, pushing))) for n in firsts}

    def relies(late: str, early: str) -> bool:
        if late == early or early in above(late, firsts):
            return early in firsts[late]
        if late in cards:
            inside = late == "Face" or early == "Face"
            if inside and (rank(early) > STAGES.index("body and paint") or early == "Face"):
                return False
            if early in {*works, *cards}:
                return rank(early) < min(STATIC, rank(late)) and late not in above(early, pushing)
            return rank(early) < STATIC and early in firsts and place[early] < place[late]
        stands = early in ("pull the frame", "new strut", "set tire pressures")
        return late == "wheel alignment" and stands and early in works and place[early] < place[late]

    gone = set(small.out)
    while True:
        more = {n for n in firsts if n not in gone and any(f in gone and relies(n, f) for f in [*firsts, *gone])}
        if not more:
            return gone & {*firsts, "pre-scan"}
        gone |= more


def plain(small: Small) -> bool:
    """That at most one work waits for a calibration: with two, which of them disturbs the other's is a toss-up."""
    firsts = waiting_for(small)
    return sum(bool(above(w.name, firsts) & set(small.cards)) for w in small.works) <= 1


def check_held_back(small: Small) -> None:
    assume(plain(small))
    ordered = planned(small)
    undone = {u.draft.name for u in ordered.undone} - {"post-scan", "wash"}
    assert undone == expected(small) - {"wash"}
    for one in ordered.undone:
        if one.draft.name not in small.out:
            assert one.waits_for or one.ruled_out_by
    done = {operation.name for operation in ordered.problem.operations}
    assert ("post-scan" in done) == bool(done & ({w.name for w in small.works} | set(small.cards)) - {"wash"})


def check_order(small: Small) -> None:
    assume(plain(small))
    ordered = planned(small)
    assert ordered.plan is not None
    order = [ordered.problem.operations[turn.operation].name for turn in ordered.plan.order]
    at = {name: number for number, name in enumerate(order)}
    firsts = named(small)
    for name in order:
        for first in firsts.get(name, set()) - set(small.out):
            assert first in at
            assert at[first] < at[name], "what names something comes after it"
    cards, early = set(small.cards), [w for w in small.works if w.stage != "hand-over"]
    for work in early:
        waits = above(work.name, waiting_for(small))
        for card in cards - waits - {"Face"}:
            if work.name in at and card in at and rank(work.name) < rank(card):
                assert at[work.name] < at[card], "nothing disturbs what has been calibrated"
    if "post-scan" in at:
        assert all(at[card] < at["post-scan"] for card in cards & set(at))
    if {"wash", "post-scan"} <= set(at):
        assert at["post-scan"] < at["wash"] or any("wash" in work.after for work in small.works)


def check_cures(small: Small) -> None:
    ordered = planned(small)
    assert ordered.plan is not None
    steps = [s for s in ordered.plan.steps if s.operation is not None and s.kind != "wait"]
    ends = {s.operation: s.end_s[1] for s in steps}
    for step in steps:
        assert step.operation is not None
        operation = ordered.problem.operations[step.operation]
        if operation.kind in ("calibration", "drive"):
            for first in operation.after:
                wait = ordered.problem.operations[first].wait_s
                assert step.start_s[1] >= ends[first] + math.fsum(wait) / 2 - 1e-6
    assert all(one.start_s[1] <= two.start_s[1] for one, two in pairwise(steps))


@law
@given(small_jobs())
def test_what_cannot_be_done_holds_back_all_that_needs_it_and_nothing_else(small: Small) -> None:
    check_held_back(small)


@law
@given(small_jobs())
def test_nothing_is_done_before_what_it_needs_nor_disturbs_what_is_calibrated(small: Small) -> None:
    check_order(small)


@law
@given(small_jobs())
def test_a_calibration_waits_for_all_that_cures_before_it(small: Small) -> None:
    check_cures(small)


@pytest.mark.long
@settings(law, max_examples=3000)
@given(small_jobs())
def test_all_of_it_on_many_more_jobs(small: Small) -> None:
    check_held_back(small)
    check_order(small)
    check_cures(small)
