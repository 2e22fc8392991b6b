"""The whole order of one job: needs, work, places, lifts and moves put together into proven plans."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from threading import Event

from attrs import evolve, field, frozen

from standtrue.documents import Folder
from standtrue.drive.answer import Answer as Path
from standtrue.model.basics import DocumentMark, SupportClass
from standtrue.model.cautions import CAUTIONS, Caution, Fact, propulsion_facts
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.job import Job
from standtrue.model.plan import OUTSIDE, Choice, Front, Handling, Operation, Plan, Problem, Stand
from standtrue.model.procedure import Procedure
from standtrue.model.site import Person, SentOut, Site
from standtrue.place.answer import Answer
from standtrue.place.claims import missing_anchors
from standtrue.place.engine import best_stance
from standtrue.place.remedies import Remedies, find_remedies
from standtrue.sequence.check import violations
from standtrue.sequence.moves import Key
from standtrue.sequence.solve import order_job
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.jobs import Needs, find_job_needs
from standtrue.work.level import LevelFloors, Uneven, survey_of
from standtrue.work.plan_confirm import Stances, confirm
from standtrue.work.plan_moves import Manoeuvres, Paths
from standtrue.work.plan_operations import Draft, draft_operations
from standtrue.work.plan_stances import TRAVEL_S, Candidate, Candidates, find_candidates
from standtrue.work.used import answer_facts, card_facts, cautions, marks_of

Progress = Callable[[str, int, int], None]

NEARLY_S = 300.0
"""A move that saves less than this is not worth the car's moving: ranges are wider. Common practice, no source."""


ONE_MORE = "one more person"
AS_PLANNED = "as planned first"

STOPPED_NOTE = "the search was stopped: not all alternatives were worked out"


@frozen(eq=False)
class Undone:
    """An operation that the plan leaves out, and all that says why.

    `lacks` are sentences; `answers` tell for each support class what stops it and what would make room; `waits_for`
    names what it would have to follow. `sent_out`: who else can do it.
    """

    draft: Draft
    lacks: tuple[str, ...] = ()
    answers: tuple[tuple[Answer, Remedies], ...] = ()
    waits_for: tuple[str, ...] = ()

    @property
    def sent_out(self) -> SentOut | None:
        return self.draft.sent_out


@frozen(eq=False)
class Ordered:
    """One question answered: the operations that can be done, their front, and what is left out.

    `paths` are the moves by the plan's own numbers of places.
    """

    problem: Problem
    places: tuple[Candidate, ...]
    front: Front
    undone: tuple[Undone, ...]
    paths: Mapping[Key, Path] = field(repr=False)

    @property
    def plan(self) -> Plan | None:
        """The plan to show first: of those nearly as quick as the quickest, the one with the fewest moves."""
        if not self.front.plans:
            return None
        least = self.front.plans[0].elapsed_s[1]
        return min((p for p in self.front.plans if p.elapsed_s[1] <= least + NEARLY_S), key=lambda p: p.moves)


@frozen(eq=False)
class Alternative:
    """The same job asked another way: what is changed, and what comes of it."""

    name: str
    what: str
    ordered: Ordered


@frozen(eq=False)
class PlanAnswer:
    """A job's whole order of work, its alternatives, and what it rests on. `stances` are its places, measured again.

    `otherwise`: the alternative that is told as the answer, if one was asked for.
    """

    needs: Needs
    site: Site
    ordered: Ordered
    stances: Stances = field(repr=False)
    alternatives: tuple[Alternative, ...]
    marks: tuple[DocumentMark, ...]
    warnings: tuple[str, ...]
    cautions: tuple[Caution, ...]
    otherwise: Alternative | None = None

    @property
    def plan(self) -> Plan | None:
        return self.ordered.plan

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)


def find_plan(
    folder: Folder,
    job: Job,
    *,
    alternatives: bool = True,
    otherwise: str | None = None,
    progress: Progress | None = None,
) -> PlanAnswer:
    """The order of a job in its site, proven for the places and moves found, and what else could be done.

    `otherwise` names the alternative to tell instead, as the whole answer.

    Raises UnansweredError if a card measures from something that the car's document does not place, or if there is no
    such alternative.
    """
    needs = find_job_needs(folder, job)
    site = folder.sites[job.site]
    faults = [f for card in needs.cards if card.needs_space for f in missing_anchors(card, needs.vehicle)]
    if faults:
        raise UnansweredError(dict.fromkeys(faults))
    drafts = draft_operations(needs, site)
    floors = _floors(folder, site, needs, [d.card for d in drafts if d.card is not None])
    asked = _Asked(needs, site, drafts, Paths(site, needs.vehicle), floors, progress)
    others: list[Alternative] = []
    stop = Event()
    aside = evolve(asked, progress=None if progress is None else _until(stop, progress))
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        alternatives = alternatives or otherwise is not None
        bays = [pool.submit(aside.in_bay, b.name) for b in site.bays if alternatives]
        candidates = asked.candidates()
        ordered = asked.reasoned(asked.answer(candidates))
        if not ordered.front.proven:
            stop.set()
        more = aside.alternatives(candidates, ordered) if alternatives and not stop.is_set() else []
        try:
            for future in [*bays, *(pool.submit(one) for one in more)]:
                others.extend(future.result())
        except KeyboardInterrupt:
            stop.set()
            pool.shutdown(cancel_futures=True)
    if stop.is_set():
        others = [a for a in others if a.ordered.front.proven]
    marks = tuple(dict.fromkeys([*needs.marks, *marks_of(folder, sites=[site], surveys=floors.surveys)]))
    chosen = None
    if otherwise is not None and (not stop.is_set() or otherwise in {a.name for a in others}):
        chosen = pick("alternative", otherwise, {a.name: a for a in others}, "--otherwise")
        planned = Alternative(AS_PLANNED, "one thing after another, in any bay of the shop as it is", ordered)
        others, ordered = [planned, *(a for a in others if a is not chosen)], asked.reasoned(chosen.ordered)
    orders = [plan.order for plan in ordered.front.plans]
    stances = confirm(site, needs.vehicle, asked.cards, ordered.problem, ordered.places, orders, floors.uneven)
    told = cautions(_facts(needs, ordered, stances), marks)
    notes = [*_warnings(asked, ordered, stances), *([STOPPED_NOTE] if stop.is_set() and alternatives else [])]
    answered = tuple(others), marks, tuple(notes), _in_order(told, needs)
    return PlanAnswer(needs, site, ordered, stances, *answered, otherwise=chosen)


def _until(stop: Event, progress: Progress) -> Progress:
    """Progress of what is worked out aside: interrupted, it interrupts all that is, and not the plan itself."""

    def tell(what: str, done: int, of: int) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        try:
            progress(what, done, of)
        except KeyboardInterrupt:
            stop.set()
            raise

    return tell


@frozen(eq=False)
class _Floors:
    """Floor that is not level enough, by card and class of support, as far as a survey tells.

    `even` are answers to where a card fits that no such floor changes.
    """

    uneven: Uneven
    surveys: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    even: Mapping[tuple[str, SupportClass], Answer] = field(factory=dict)


def _floors(folder: Folder, site: Site, needs: Needs, cards: Sequence[Procedure]) -> _Floors:
    """What the survey of the site rules out for the cards that ask for level floor."""
    asking = [c for c in cards if c.floor_level is not None]
    survey, unused = survey_of(folder.surveys, site) if asking else (None, None)
    if survey is None:
        return _Floors({}, (), () if unused is None else (unused,))
    level, grounds = LevelFloors(survey, site), Grounds(site)
    uneven: dict[tuple[str, SupportClass], Sequence[Unfloor]] = {}
    notes: list[str] = []
    grounds.at_rest()
    asked = [(card, support) for card in asking for support in card.all_supports]
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        found = list(pool.map(lambda one: best_stance(grounds, needs.vehicle, [one[0]], one[1]), asked))
    for (card, support), answer in zip(asked, found, strict=True):
        settled = level.settle(answer)
        uneven[card.key, support] = level.rough_for(settled)
        notes.extend(settled.notes)
    even = {(c.key, s): answer for (c, s), answer in zip(asked, found, strict=True) if not uneven[c.key, s]}
    return _Floors(uneven, (survey.name,), tuple(notes), even)


@frozen(eq=False)
class _Asked:
    """One job in one site. Alternatives share the paths found."""

    needs: Needs
    site: Site
    drafts: tuple[Draft, ...]
    paths: Paths
    floors: _Floors
    progress: Progress | None

    @property
    def cards(self) -> tuple[Procedure, ...]:
        return tuple(d.card for d in self.drafts if d.card is not None)

    def candidates(self, bay: str | None = None) -> Candidates:
        """The candidate places in the site, or in one bay of it."""
        self._tell(f"places in {bay or self.site.name}", 0)
        inside = next((b for b in self.site.bays if b.name == bay), None)
        grounds, uneven = Grounds(self.site, inside), self.floors.uneven
        return find_candidates(grounds, self.needs.vehicle, self.cards, uneven=uneven, thorough=bay is None)

    def answer(
        self,
        candidates: Candidates,
        *,
        send_out: bool = False,
        any_doors: bool = False,
        rolling: bool = False,
        hands: int = 1,
    ) -> Ordered:
        """The front of all that can be done, from these places, by so many at once."""
        ways = {d: self._choices(d, candidates, any_doors, send_out) for d in self.drafts}
        undone = self._undone(ways)
        moves = Manoeuvres(self.paths, candidates.found, rolling=rolling)
        while True:
            drafts = [d for d in self.drafts if d not in {u.draft for u in undone}]
            problem = evolve(self._problem(drafts, ways, len(candidates.found) + 1), hands=hands)
            front = order_job(problem, moves, lambda known: self._tell("moves", known))
            if front.plans or not front.proven or not drafts:
                break
            barred = {d: self._barred(ways[d], moves) for d in drafts}
            cut = [Undone(d, why) for d, why in barred.items() if why]
            undone = [*undone, *(cut or [Undone(d, ("no order was found in which it can be done",)) for d in drafts])]
            undone = [*undone, *self._followers(undone)]
        for plan in front.plans:
            if wrong := violations(problem, plan):
                raise RuntimeError(f"a plan breaks its own rules: {'; '.join(wrong)}")
        order = {d: number for number, d in enumerate(self.drafts)}
        told = tuple(sorted(undone, key=lambda u: order[u.draft]))
        return Ordered(problem, candidates.found, front, told, dict(moves.answers))

    def _tell(self, what: str, done: int) -> None:
        if self.progress is not None:
            self.progress(what, done, max(done, 1))

    def _choices(self, draft: Draft, candidates: Candidates, any_doors: bool, send_out: bool) -> tuple[Choice, ...]:
        """Every way to do an operation; none where it cannot be done."""
        ways: list[Choice] = []
        if not draft.lacks:
            if draft.wherever_s is not None:
                ways.append(Choice(draft.wherever_s))
            if draft.on_road_s is not None and self.needs.job.drivable != "no":
                ways.append(Choice(draft.on_road_s, Stand(OUTSIDE)))
            if draft.card is not None:
                ways.extend(candidates.choices(candidates.cards.index(draft.card), any_doors=any_doors))
        if send_out and not ways and draft.sent_out is not None:
            ways.append(Choice(draft.sent_out.minutes_s, Stand(OUTSIDE)))
        return tuple(ways)

    def _undone(self, ways: Mapping[Draft, tuple[Choice, ...]]) -> list[Undone]:
        """What cannot be done at all, and what would have to come after it."""
        undone = [Undone(d, d.lacks or self._no_drive(d)) for d in self.drafts if not ways[d]]
        return [*undone, *self._followers(undone)]

    def _no_drive(self, draft: Draft) -> tuple[str, ...]:
        never = draft.on_road_s is not None and self.needs.job.drivable == "no"
        return ("the car cannot be driven on the road",) if never else ()

    def _followers(self, undone: Sequence[Undone]) -> list[Undone]:
        """Operations that name one left out as coming first, and whatever names them. Scans are made all the same."""
        out = {self.drafts.index(u.draft): u.draft for u in undone}
        more: list[Undone] = []
        for number, draft in enumerate(self.drafts):
            missing = [self.drafts[n].name for n in sorted(draft.named) if n in out]
            if missing and number not in out and draft.kind != "scan":
                out[number] = draft
                more.append(Undone(draft, waits_for=tuple(missing)))
        return more

    def _problem(self, drafts: Sequence[Draft], ways: Mapping[Draft, tuple[Choice, ...]], places: int) -> Problem:
        number_of = {self.drafts.index(d): number for number, d in enumerate(drafts)}
        drivable = self.needs.job.drivable
        mended = next((number for number, d in enumerate(drafts) if d.name == drivable), None)
        operations = tuple(self._operation(d, ways[d], number_of, mended) for d in drafts)
        handling = tuple((e.name, Handling(e.set_up_s, e.put_away_s)) for e in self.site.equipment)
        return Problem(operations, places, handling, mended, drivable != "yes" and mended is None)

    def _operation(
        self, draft: Draft, ways: tuple[Choice, ...], number_of: Mapping[int, int], mended: int | None
    ) -> Operation:
        """A calibration waits for all that cures or dries before it, other work for what it names."""
        after = {number_of[n] for n in draft.after if n in number_of}
        if draft.kind == "drive" and mended is not None:
            after.add(mended)
        waits_for = draft.after if draft.kind in ("calibration", "drive") else draft.named
        cured = {number_of[n] for n in waits_for if n in number_of and self.drafts[n].wait_s[1] > 0.0}
        sent = draft.sent_out is not None and all(c.stand is not None and c.stand.place == OUTSIDE for c in ways)
        return Operation(
            draft.name,
            draft.what,
            "sent out" if sent and draft.kind != "drive" else draft.kind,
            ways,
            frozenset(after),
            frozenset(cured),
            draft.wait_s,
            draft.blocks,
            () if sent else draft.teams,
            draft.because,
        )

    def _barred(self, ways: Sequence[Choice], moves: Manoeuvres) -> tuple[str, ...]:
        """Why none of the places of an operation can be come to and left; nothing where one may be."""
        barred: list[str] = []
        for choice in ways:
            stuck = None if choice.stand is None else moves.cut_off(choice.stand.place)
            if stuck is None:
                return ()
            barred.extend(lack.why for lack in stuck.lacks)
            barred.append("no way was found to or from where it can be done")
        return tuple(dict.fromkeys(barred))

    def reasoned(self, ordered: Ordered) -> Ordered:
        """With what would make room for what is left out."""
        return evolve(ordered, undone=tuple(self._reasoned(u) for u in ordered.undone))

    def _reasoned(self, undone: Undone) -> Undone:
        """With what stops it at each support class, where nothing else was said."""
        card = undone.draft.card
        if card is None or undone.lacks or undone.waits_for:
            return undone
        grounds = Grounds(self.site)
        told = []
        for support in card.all_supports:
            rough = self.floors.uneven.get((card.key, support), ())
            known = self.floors.even.get((card.key, support))
            answer = known or best_stance(grounds, self.needs.vehicle, [card], support, uneven=rough)
            told.append((answer, find_remedies(answer, uneven=rough, amounts=False)))
        return evolve(undone, answers=tuple(told))

    def in_bay(self, name: str) -> list[Alternative]:
        """The job in one bay alone."""
        what = "the car stays in one bay between coming and leaving"
        return [Alternative(f"only in {name}", what, self.answer(self.candidates(name)))]

    def alternatives(self, candidates: Candidates, ordered: Ordered) -> Iterator[Callable[[], list[Alternative]]]:
        """What else a foreman would ask about, as far as it applies: each to be worked out."""
        if any(u.sent_out is not None for u in ordered.undone):
            what = "what cannot be done here goes to whom the site names"
            yield lambda: [Alternative("part sent out", what, self.answer(candidates, send_out=True))]
        if ordered.plan is not None and ordered.plan.moves:
            rolls = "inside the car rolls any way on skates"
            yield lambda: [Alternative("on skates", rolls, self.answer(candidates, rolling=True))]
        if any(candidates.choices(n, any_doors=True) != candidates.choices(n) for n in range(len(candidates.cards))):
            yield lambda: self._with_doors(candidates, ordered)
        if self.site.people:
            yield lambda: list(self._with_more_hands(candidates, ordered))

    def _with_doors(self, candidates: Candidates, ordered: Ordered) -> list[Alternative]:
        """With doors open wherever that helps; nothing if it does not."""
        opened = self.answer(candidates, any_doors=True)
        what = "doors that may stand open do, wherever that helps"
        return [Alternative("doors open", what, opened)] if _better(opened, ordered) else []

    def _with_more_hands(self, candidates: Candidates, ordered: Ordered) -> Iterator[Alternative]:
        """With all who are there at work at once, and with one more; each only if it helps."""
        count = len(self.site.people)
        everyone = self.answer(candidates, hands=count) if count > 1 else ordered
        if count > 1 and _better(everyone, ordered):
            yield Alternative("all hands", "whoever the site lists works at once, where the work allows", everyone)
        one_more = evolve(self, drafts=draft_operations(self.needs, self._with_one_more()))
        more = one_more.answer(candidates, hands=count + 1)
        if _better(more, everyone):
            what = "somebody who has every skill works beside whoever the site lists"
            yield Alternative("one more person", what, more)

    def _with_one_more(self) -> Site:
        """The site with one more person in it, who can do whatever the job calls for."""
        called = [*(c.skills for c in self.needs.cards), *(w.skills for w in self.needs.job.work)]
        skills = dict.fromkeys(skill for own in (*(p.skills for p in self.site.people), *called) for skill in own)
        return evolve(self.site, people=(*self.site.people, Person(ONE_MORE, tuple(skills))))


def _better(one: Ordered, other: Ordered) -> bool:
    """Whether something speaks for another answer: more is done, with fewer moves, or clearly quicker."""
    if len(one.undone) != len(other.undone) or one.plan is None or other.plan is None:
        return len(one.undone) < len(other.undone)
    quicker = one.plan.elapsed_s[1] < other.plan.elapsed_s[1] - NEARLY_S
    return one.plan.moves < other.plan.moves or quicker


def _facts(needs: Needs, ordered: Ordered, stances: Stances) -> Iterator[frozenset[Fact]]:
    """What the plan calls for: the cards, the car, its stances, and its moves."""
    yield card_facts(needs.cards)
    yield propulsion_facts(needs.vehicle.propulsion)
    yield from (answer_facts(a) for a in stances.values())
    moves = [s.move for plan in ordered.front.plans for s in plan.steps if s.move is not None]
    yield frozenset({Fact.CAR_MOVES} if moves else ())
    yield frozenset({Fact.CAR_PUSHED} if any(not m.driven for m in moves) else ())


def _in_order(told: Iterable[Caution], needs: Needs) -> tuple[Caution, ...]:
    known = {*told, *needs.cautions}
    return tuple(c for c in CAUTIONS if c in known)


def _warnings(asked: _Asked, ordered: Ordered, stances: Stances) -> Iterator[str]:
    notes = [*asked.needs.warnings, *asked.floors.notes]
    if asked.needs.vehicle.estimated:
        notes.append(
            f"vehicle {asked.needs.vehicle.name}: estimated, not measured: {', '.join(asked.needs.vehicle.estimated)}"
        )
    done = {operation.name for operation in ordered.problem.operations}
    notes += [note for d in asked.drafts if d.name in done for note in d.notes]
    used = {s.stand.carried_by.partition("/")[0] for p in ordered.front.plans for s in p.steps if s.stand.height_m > 0}
    for placed in asked.site.lifts:
        if placed.name in used and placed.lift.travel_s is None:
            low, high = TRAVEL_S
            notes.append(f"{placed.name}: {low:.0f} to {high:.0f} s of travel assumed (common practice)")
    if not asked.site.doors:
        notes.append("the site has no door: how the car comes in and leaves is not planned")
    if not asked.site.people:
        notes.append("the site lists no people: whoever it takes is taken to be there")
    notes += [f"{a.name} ({a.support}): {seen}" for a in stances.values() for seen in a.in_view]
    notes += [w for path in ordered.paths.values() for w in path.warnings]
    if not ordered.front.proven:
        notes.append("the search was stopped: the plan can be done, but is not proven to be the best")
    yield from dict.fromkeys(notes)
