"""Places numbered as a plan comes to them: the first is place 1, whatever number the search gave it."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import evolve, frozen

from standtrue.model.order import OUTSIDE, Choice, Operation, Plan, Stand, Step
from standtrue.work.plan.ordered import Ordered


def numbered_by_use(ordered: Ordered) -> Ordered:
    """The same answer with the places of its plan first, in the order in which the car comes to them."""
    if ordered.plan is None:
        return ordered
    used = dict.fromkeys(s.stand.place for s in ordered.plan.steps if s.stand.place != OUTSIDE)
    olds = [*used, *(n for n in range(1, len(ordered.places) + 1) if n not in used)]
    numbers = _Numbers({OUTSIDE: OUTSIDE, **{old: new for new, old in enumerate(olds, start=1)}})
    begins = ordered.problem.begins
    places = (ordered.places[old - 1] for old in olds)
    return evolve(
        ordered,
        problem=evolve(
            ordered.problem,
            operations=tuple(numbers.operation(o) for o in ordered.problem.operations),
            begins=None if begins is None else numbers.stand(begins),
        ),
        places=tuple(evolve(p, choices=tuple((n, numbers.choice(c)) for n, c in p.choices)) for p in places),
        front=evolve(ordered.front, plans=tuple(numbers.plan(p) for p in ordered.front.plans)),
        paths={(numbers.new[a], numbers.new[b], driven): path for (a, b, driven), path in ordered.paths.items()},
    )


@frozen
class _Numbers:
    """The new number of each place by its old one."""

    new: Mapping[int, int]

    def stand(self, stand: Stand) -> Stand:
        return evolve(stand, place=self.new[stand.place])

    def choice(self, choice: Choice) -> Choice:
        return choice if choice.stand is None else evolve(choice, stand=self.stand(choice.stand))

    def operation(self, operation: Operation) -> Operation:
        return evolve(operation, choices=tuple(self.choice(c) for c in operation.choices))

    def step(self, step: Step) -> Step:
        move = step.move
        return evolve(
            step,
            stand=self.stand(step.stand),
            choice=None if step.choice is None else self.choice(step.choice),
            move=None if move is None else evolve(move, start=self.new[move.start], goal=self.new[move.goal]),
        )

    def plan(self, plan: Plan) -> Plan:
        return evolve(plan, steps=tuple(self.step(s) for s in plan.steps))
