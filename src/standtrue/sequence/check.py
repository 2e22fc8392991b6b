"""An independent check of a plan: it shares nothing with what made the plan but the nouns of the model.

Every promise is read off the steps as told, at each of the three levels of time.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

from standtrue.model.order import OUTSIDE, Fitting, Plan, Problem, Stand, Step

NEAR_S = 1e-6

CHANGES = ("enter", "move", "leave", "lift", "set up", "carry", "put away", "wait")


def violations(problem: Problem, plan: Plan) -> tuple[str, ...]:
    """What is wrong with a plan, in words: nothing where it keeps every rule and its sums are right."""
    found = [*_done_once(problem, plan), *_sums(problem, plan)]
    for level in range(3):
        found += _timeline(problem, plan, level)
    return tuple(dict.fromkeys([*found, *_stands(problem, plan)]))


def _done_once(problem: Problem, plan: Plan) -> Iterator[str]:
    """Every operation is done once, by one of its own choices and teams."""
    done: list[int] = []
    for step in plan.steps:
        if step.kind in CHANGES:
            continue
        if step.operation is None or step.choice is None:
            yield f"a step of kind {step.kind} names no operation"
            continue
        operation = problem.operations[step.operation]
        if step.kind != operation.kind or step.choice not in operation.choices:
            yield f"{operation.name}: not done in a way of its own"
        if step.team not in (operation.teams or ((),)):
            yield f"{operation.name}: not by a team of its own"
        done.append(step.operation)
    if sorted(done) != list(range(len(problem.operations))):
        yield "not every operation is done just once"


def _sums(problem: Problem, plan: Plan) -> Iterator[str]:
    inside = sum(s.kind in ("enter", "move") for s in plan.steps)
    made = inside if problem.begins is not None and problem.begins.place else max(0, inside - 1)
    if plan.moves != made:
        yield f"{plan.moves} moves are told, {made} are made"
    if plan.steps and any(start != 0.0 for start in plan.steps[0].start_s):
        yield "it does not start at the beginning"


def _timeline(problem: Problem, plan: Plan, level: int) -> Iterator[str]:
    """One step follows another without a gap, each as long as it must be; nothing is too early, no wait is broken."""
    now = 0.0
    over: dict[int, tuple[float, float]] = {}
    # Where steps overlap, which starts first may differ from level to level.
    for step in sorted(plan.steps, key=lambda s: s.start_s[level]):
        start, end = step.start_s[level], step.end_s[level]
        # Work side by side may start while other work goes on; `_side_by_side` looks at what it starts beside.
        if abs(start - now) > NEAR_S and not (start < now and _works(problem, step)):
            yield f"{step.kind} starts at {start:.1f} s, and what is before it ends at {now:.1f} s"
        if step.kind != "wait" and abs(end - start - _length(problem, plan, step, level)) > NEAR_S:
            yield f"{step.kind} takes {end - start:.1f} s instead of {_length(problem, plan, step, level):.1f} s"
        for number, (ended, until) in over.items():
            if ended <= start + NEAR_S and until > start + NEAR_S and _broken(problem, step, number):
                yield f"{step.kind} at {start:.1f} s breaks the wait after {problem.operations[number].name}"
        if step.operation is not None and step.kind != "wait":
            operation = problem.operations[step.operation]
            for before in operation.after:
                if before not in over or over[before][0] > start + NEAR_S:
                    yield f"{operation.name}: before {problem.operations[before].name} is done"
            over[step.operation] = end, end + _at(operation.wait_s, level)
        now = max(now, end)
    yield from _side_by_side(problem, plan, level)


def _side_by_side(problem: Problem, plan: Plan, level: int) -> Iterator[str]:
    """What overlaps is work that may, at one stand, by different people."""
    for one, two in combinations(plan.steps, 2):
        if min(one.end_s[level], two.end_s[level]) - max(one.start_s[level], two.start_s[level]) <= NEAR_S:
            continue
        if problem.hands < 2 or not (_works(problem, one) and _works(problem, two)):
            yield f"{one.kind} and {two.kind} overlap"
        elif one.stand != two.stand:
            yield f"{one.kind} and {two.kind} overlap while the car stands in two ways"
        elif set(one.team) & set(two.team):
            yield f"{' and '.join(sorted(set(one.team) & set(two.team)))}: at two things at once"


def _works(problem: Problem, step: Step) -> bool:
    """Whether a step is work beside which other work may go on."""
    if step.operation is None or step.kind != "work":
        return False
    operation = problem.operations[step.operation]
    return not operation.cured and operation.blocks != "all"


def _broken(problem: Problem, step: Step, number: int) -> bool:
    """Whether a step must not start while the wait after an operation runs."""
    blocks = problem.operations[number].blocks
    if step.kind == "wait":
        return False
    if blocks == "all":
        # Setting up goes on from the change that it belongs to, which has waited already.
        return True
    if blocks == "drive" and step.kind in ("enter", "move", "leave", "drive"):
        return True
    if blocks == "lift" and step.kind == "lift":
        return True
    return (
        step.kind not in CHANGES and step.operation is not None and number in problem.operations[step.operation].cured
    )


def _length(problem: Problem, plan: Plan, step: Step, level: int) -> float:
    """How long a step must take at a level, from the documents alone."""
    if step.choice is not None:
        return _at(step.choice.run_s, level)
    if step.move is not None:
        return _at(step.move.seconds, level)
    if step.kind in ("set up", "carry", "put away"):
        times = dict(problem.handling)
        known = [times[f.equipment] for f in step.fittings if f.equipment in times]
        spans = [_at(h.put_away_s if step.kind == "put away" else h.set_up_s, level) for h in known]
        hands = range(problem.hands)
        return min(
            max(sum(s for s, to in zip(spans, deal, strict=True) if to == hand) for hand in hands)
            for deal in product(hands, repeat=len(spans))
        )
    before = _before(problem, plan, step)
    return abs(_at(step.stand.rise_s, level) - _at(before.rise_s, level))


def _at(span: tuple[float, float], level: int) -> float:
    return (span[0], 0.5 * (span[0] + span[1]), span[1])[level]


def _before(problem: Problem, plan: Plan, step: Step) -> Stand:
    number = next(i for i, other in enumerate(plan.steps) if other is step)
    return plan.steps[number - 1].stand if number else problem.begins or Stand(OUTSIDE)


def _stands(problem: Problem, plan: Plan) -> Iterator[str]:
    """The car comes once, moves only lowered and with nothing set up, and stands as each operation asks."""
    stand = problem.begins or Stand(OUTSIDE)
    set_up: set[Fitting] = set()
    done: set[int] = set()
    for step in plan.steps:
        if step.move is not None:
            driven = not problem.never_drives and (problem.drives_after is None or problem.drives_after in done)
            if (step.move.start, step.move.goal) != (stand.place, step.stand.place) or step.move.driven != driven:
                yield f"a move from {step.move.start} to {step.move.goal} is not the one to make"
            if set_up or stand.rise_s[1] > 0.0:
                yield f"the car moves to {step.stand.place} before all is put away and lowered"
        elif step.stand.place != stand.place or (step.stand != stand and step.kind != "lift" and _rises(stand, step)):
            yield f"{step.kind}: the car changes its stance without a move or a lift"
        if step.kind == "carry" and not {f.equipment for f in step.fittings} <= {f.equipment for f in set_up}:
            yield "something is carried over that is not there"
        if step.kind == "carry":
            set_up = {f for f in set_up if f.equipment not in {g.equipment for g in step.fittings}}
        if step.kind in ("set up", "carry"):
            set_up |= set(step.fittings)
        if step.kind == "put away":
            set_up -= set(step.fittings)
        if len({f.equipment for f in set_up}) < len(set_up):
            yield "something is set up at two spots"
        stand = step.stand
        if step.choice is not None and step.operation is not None:
            wanted = step.choice
            there = wanted.stand == stand and wanted.fittings <= set_up and not wanted.clears & set_up
            if wanted.stand is not None and not there:
                yield f"{problem.operations[step.operation].name}: the car or its equipment does not stand as asked"
            done.add(step.operation)
    if stand.place != OUTSIDE or set_up:
        yield "at the end the car has not left, or something is still set up"


def _rises(stand: Stand, step: Step) -> bool:
    """Whether a change of stance asks for lift travel: at rest a deck is the floor."""
    return stand.rise_s != step.stand.rise_s
