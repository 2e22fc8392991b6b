"""One verdict of everything that is known of a set-up: may this car be calibrated by this card, as it stands now?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import Enum
from typing import NoReturn

from attrs import frozen

from standtrue.aim.alignment import AlignmentAnswer
from standtrue.aim.conditions import ConditionCheck, Standing
from standtrue.aim.settle import Settling
from standtrue.aim.setup import SetupAnswer
from standtrue.aim.stands import TargetStands
from standtrue.aim.titles import title_of
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, Term, because
from standtrue.model.verdict import Verdict
from standtrue.place.question.answer import Answer
from standtrue.work.aim.floors import StandingFloor
from standtrue.work.aim.instruments import Overdue
from standtrue.work.aim.restanding import Restood
from standtrue.work.card_notes import standing_of


class May(Enum):
    """Whether a calibration may start. It has no truth of its own: "cannot tell yet" can never pass for a yes."""

    YES = "may be calibrated"
    NO = "do not calibrate yet"
    CANNOT_TELL = "cannot tell yet"

    def __bool__(self) -> NoReturn:
        raise TypeError("compare it: `may is May.YES`")


@frozen
class Hold:
    """One thing that stands against calibrating. `do`: what mends or settles it, where one can say.

    `sure`: it is known to stand against it; else nobody knows, and it must be looked at first.
    """

    what: Reason
    do: Reason | None = None
    sure: bool = True


@frozen(eq=False)
class Gate:
    """Whether this car may be calibrated by this card, and all that stands against it, what must be mended first first.

    `status` is the card's, `stance` where the car stands; `kept` are the targets found in tolerance, `told` what must
    be said even beside a yes. Says nothing of the car's safety.
    """

    holds: tuple[Hold, ...]
    status: str
    stance: Answer
    kept: tuple[Ref, ...] = ()
    told: tuple[Reason, ...] = ()

    @property
    def verdict(self) -> May:
        """No where anything is known to stand against it; yes only where nothing does and nothing is unknown."""
        if any(hold.sure for hold in self.holds):
            return May.NO
        return May.CANNOT_TELL if self.holds else May.YES

    @property
    def ordered(self) -> tuple[Hold, ...]:
        """What is known to stand against it, then what is not known; each in the order in which it is mended."""
        return in_order(self.holds)


def in_order(holds: Iterable[Hold]) -> tuple[Hold, ...]:
    """What is known to stand against it first; else as they come."""
    return tuple(sorted(holds, key=lambda hold: not hold.sure))


def gate_of(  # long: one parameter for each thing that is known
    setup: SetupAnswer,
    stance: Restood,
    floor: StandingFloor | None,
    alignment: AlignmentAnswer,
    conditions: Sequence[ConditionCheck],
    settling: Sequence[Settling],
    *,
    thrust_known: bool,
    check_every: bool = True,
    overdue: Sequence[Overdue] = (),
    of_card: Sequence[Reason] = (),
) -> Gate:
    """The verdict of everything. What was not looked at is never counted as done: it makes "cannot tell yet".

    `check_every`: the shop wants each reading checked by another, so that no misreading can go unseen; else it is told
    beside the verdict, as instruments are whose check is overdue, and `of_card`: what the card counts as.
    """
    doubted = tuple(_doubted(setup))
    holds = (
        *card_holds(setup.scene.card),
        *_of_stance(setup, stance, bool(doubted)),
        *_of_floor(setup, floor),
        *alignment_holds(alignment),
        *_of_thrust_line(setup, thrust_known or alignment.thrust_doubted),
        *_of_conditions(conditions),
        *doubted,
        *_of_targets(setup, settling, bool(doubted), thrust_known),
        *(_unchecked(setup) if check_every else ()),
    )
    kept = () if doubted else tuple(_target(t) for t in setup.targets if t.verdict is Verdict.ACCEPT)
    opened = tuple(Ref("door", name) for name in stance.answer.doors_open)
    guessed = setup.scene.vehicle.estimated_words
    told = (
        *((because("with-doors-open", doors=opened),) if opened else ()),
        *((because("sizes-estimated", what=guessed),) if guessed else ()),
        *(() if check_every else (hold.what for hold in _unchecked(setup))),
        *(_late(one) for one in overdue),
        *(said for said in of_card if said != standing_of(setup.scene.card)),
    )
    return Gate(holds, setup.scene.card.source.status, stance.answer, kept, told)


_MENDS = {"draft": "finish-card", "superseded": "use-newer-card", "questioned": "have-card-read-again"}
"""What must be done about a card by which no car may be calibrated."""


def card_holds(card: Procedure) -> Iterator[Hold]:
    """Whether a car may be calibrated by this card at all."""
    why = standing_of(card)
    if why is not None:
        yield Hold(why, because(_MENDS[card.source.status]))


def _late(one: Overdue) -> Reason:
    if one.survey:
        return because("check-overdue-then", instrument=one.instrument, days=one.days, survey=Ref("survey", one.survey))
    return because("check-overdue", instrument=one.instrument, days=one.days)


def _of_stance(setup: SetupAnswer, stance: Restood, doubted: bool) -> Iterator[Hold]:
    """Whether the car fits where it stands, and whether anybody knows where that is."""
    found = setup.car is not None
    if stance.verdict is Verdict.REJECT and not (found and doubted):
        yield Hold(because("car-does-not-fit-there" if found else "car-does-not-fit-as-planned"))
    elif stance.verdict is not Verdict.ACCEPT:
        yield Hold(because("car-fit-unsure"), because("measure-the-stance-again"), sure=False)
    if not found and setup.scene.card.rests_on_place:
        yield Hold(because("stance-not-measured"), because("measure-the-stance"), sure=False)


def _of_floor(setup: SetupAnswer, floor: StandingFloor | None) -> Iterator[Hold]:
    """Whether the floor is as level as the card asks."""
    if setup.scene.card.floor_level is None or (floor is not None and floor.verdict is Verdict.ACCEPT):
        return
    if floor is not None and floor.verdict is Verdict.REJECT:
        yield Hold(because("floor-there-not-level"))
        return
    told = () if floor is None or floor.told is None else floor.told.because
    misread = next((why for why in told if why.code == "level-rests-on-doubtful"), None)
    if misread is not None:
        do = because("read-these-again", readings=misread["points"])
        yield Hold(because("floor-there-misread"), do, sure=False)
        return
    near = floor is not None and not floor.unknown
    do = because("survey-it-closer" if near else "survey-it")
    yield Hold(because("floor-there-too-near-limit" if near else "floor-there-not-known"), do, sure=False)


def alignment_holds(alignment: AlignmentAnswer) -> Iterator[Hold]:
    """Whether the wheels stand as the car's own limits ask."""

    def named(code: str) -> tuple[Term, ...]:
        read = (hold["reading"] for hold in alignment.holds if hold.code == code)
        return tuple(dict.fromkeys(r for r in read if isinstance(r, Term)))

    out, near, unread = map(named, ("alignment-out-of-tolerance", "alignment-too-near-limit", "alignment-not-measured"))
    if out:
        yield Hold(because("alignment-not-kept", readings=out))
    if alignment.contradictions:
        do = because("read-these-again", readings=tuple(_compared(alignment)))
        yield Hold(because("alignment-readings-contradict"), do, sure=False)
    if any(hold.code == "no-alignment-limits" for hold in alignment.holds):
        yield Hold(because("alignment-limits-unknown"), because("get-the-limits"), sure=False)
    if unread:
        part = any(check.tested is not None for check in alignment.checks)
        what = because("alignment-partly-known" if part else "alignment-not-known")
        yield Hold(what, because("measure-these", what=unread), sure=False)
    if near:
        do = because("set-or-read-closer", readings=near)
        yield Hold(because("alignment-too-close", readings=near), do, sure=False)


def _compared(alignment: AlignmentAnswer) -> Iterator[Term]:
    """The alignment readings that contradict each other, each once."""
    for one in alignment.contradictions:
        yield from (part for part in one.parts() if isinstance(part, Term))


def _of_thrust_line(setup: SetupAnswer, known: bool) -> Iterator[Hold]:
    """Targets that stand on the thrust line cannot be judged while the centerline stands in for it."""
    if not known and any(target.line == "thrust line" for target in setup.scene.card.targets):
        yield Hold(because("thrust-line-not-known"), because("measure-rear-toes"), sure=False)


def _of_conditions(conditions: Sequence[ConditionCheck]) -> Iterator[Hold]:
    """The card's conditions, those of one standing together."""

    def named(standing: Standing) -> tuple[str | Term, ...]:
        return tuple(check.named for check in conditions if check.standing is standing)

    if against := named(Standing.NOT_MET):
        yield Hold(because("conditions-not-met", what=against))
    if unread := named(Standing.NOT_RECORDED):
        yield Hold(because("conditions-not-recorded", what=unread), because("record-them"), sure=False)
    if unsure := named(Standing.CANNOT_TELL):
        yield Hold(because("conditions-unsure", what=unsure), because("record-them-again"), sure=False)


def _doubted(setup: SetupAnswer) -> Iterator[Hold]:
    """Readings that need a second look: until then nothing that rests on them is decided."""
    if setup.suspects:
        titles = tuple(title_of(reading, setup.scene) for reading in setup.suspects)
        yield Hold(because("a-reading-contradicts"), because("read-one-again", readings=titles), sure=False)
    if setup.questions:
        whys = tuple(question.why for question in setup.questions)
        yield Hold(because("readings-questioned", why=whys), because("read-them-again"), sure=False)


def _of_targets(setup: SetupAnswer, settling: Sequence[Settling], doubted: bool, thrust_known: bool) -> Iterator[Hold]:
    """The targets out of tolerance, not measured, too close to a limit. In doubt only what every explanation says; of
    targets on a thrust line that is not known nothing more is asked before that is."""
    out = [t for t in setup.targets if t.verdict is Verdict.REJECT]
    if out and (not doubted or (setup.doubt is not None and not setup.questions)):
        yield Hold(because("targets-out", targets=tuple(map(_target, out))))
    unsure = [t for t in setup.targets if t.verdict is Verdict.CANNOT_TELL]
    for target in unsure:
        if unread := [p for p in target.parts if p.limit is not None and not p.measured]:
            parts = tuple(Term(p.name) for p in unread)
            do = because("measure-these", what=parts)
            yield Hold(because("target-not-measured", target=_target(target), parts=parts), do, sure=False)
        elif all(p.limit is None for p in target.parts):
            yield Hold(because("target-without-tolerance", target=_target(target)), because("get-it"), sure=False)
        elif not doubted and (thrust_known or target.place.line != "thrust line"):
            best = next((s.reading for s in settling if s.target == target.place.name), None)
            do = _way_out(target) if best is None else because("read-again", reading=title_of(best, setup.scene))
            yield Hold(because("target-too-close", target=_target(target)), do, sure=False)


def _way_out(target: TargetStands) -> Reason:
    """What ends a doubt that no single reading is likely to end: a shift where that can be accepted, else better
    readings of what is known too loosely to be accepted wherever the target stands."""
    doubts = [part for part in target.parts if part.verdict is Verdict.CANNOT_TELL and part.tested is not None]
    loose = [Term(p.name) for p in doubts if p.tested is not None and p.tested.accept_from is None]
    if loose:
        return because("measure-these-closer", parts=tuple(loose))
    return because("shift-it" if target.correct is not None and target.correct.steps else "measure-it-closer")


def _unchecked(setup: SetupAnswer) -> Iterable[Hold]:
    """Readings in which a misreading of any size would not be seen; what nobody read, such as a tie stated, is none."""
    if setup.adjustment is None:
        return ()
    used = setup.adjustment.readings
    alone = range(len(used)) if setup.blunder is None else setup.blunder.unchecked
    titles = tuple(title_of(used[i], setup.scene) for i in alone if setup.numbers[i] > 0)
    if not titles:
        return ()
    what = because("readings-checked-by-no-other", count=len(titles))
    return (Hold(what, because("check-them", readings=titles), sure=False),)


def _target(target: TargetStands) -> Ref:
    return Ref("target", target.place.name)
