"""One job asked of its site."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import Factory, evolve, field, frozen

from standtrue.model.asking import Asking, Progress
from standtrue.model.ground import Grounds
from standtrue.model.order import OUTSIDE, Choice, Front, Handling, Operation, Problem, Stand
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.site import Site
from standtrue.needs.precedence import held_back
from standtrue.sequence.check import violations
from standtrue.sequence.solve import order_job
from standtrue.work.needs.jobs import Needs
from standtrue.work.plan.clock import JobClock
from standtrue.work.plan.floors import Floors
from standtrue.work.plan.from_here import Begun
from standtrue.work.plan.moves import GUIDED, PUSHING, Maneuvers, Paths
from standtrue.work.plan.numbering import numbered_by_use
from standtrue.work.plan.operations import Draft, sent
from standtrue.work.plan.ordered import Ordered, Undone
from standtrue.work.plan.stances import Candidates, find_candidates
from standtrue.work.plan.would_help import would_help


@frozen(eq=False)
class JobQuestion:
    """One job in one site, and how it is asked. Alternatives share the paths found."""

    needs: Needs
    site: Site
    drafts: tuple[Draft, ...]
    paths: Paths
    floors: Floors
    asking: Asking
    clock: JobClock
    begun: Begun = field(default=Factory(lambda self: Begun(self.drafts), takes_self=True))

    @property
    def cards(self) -> tuple[Procedure, ...]:
        return self.begun.cards

    def candidates(self, bay: str | None = None) -> Candidates:
        """The candidate places in the site, or in one bay of it; none once stopped."""
        if self.asking.stopped():
            return Candidates(self.cards, (), None)
        where = Ref("site", self.site.name) if bay is None else Ref("bay", bay, of=self.site.name)
        self.asking.tell(Progress(because("looking-for-places", where=where)))
        inside = next((b for b in self.site.bays if b.name == bay), None)
        grounds, uneven = Grounds(self.site, inside), self.floors.uneven
        return find_candidates(
            grounds, self.needs.vehicle, self.cards, uneven=uneven, thorough=bay is None, standing=self.begun.stance
        )

    def answer(
        self,
        candidates: Candidates,
        *,
        send_out: bool = False,
        any_doors: bool = False,
        rolling: bool = False,
        hands: int = 1,
    ) -> Ordered:
        """The front of all that can be done, from these places, by so many at once; stopped before, none so far."""
        if self.asking.stopped():
            return Ordered(Problem((), 1), (), Front((), False), (), {}, self.clock)
        if send_out:
            return self._sending_out(candidates).answer(candidates, any_doors=any_doors, rolling=rolling, hands=hands)
        ways = {d: self._choices(d, candidates, any_doors) for d in self.drafts}
        undone = self._undone(ways)
        moves = Maneuvers(self.paths, candidates.found, rolling=rolling)
        while True:
            drafts = [d for d in self.drafts if d not in {u.draft for u in undone}]
            problem = self._problem(drafts, ways, len(candidates.found) + 1)
            problem = evolve(problem, hands=hands, begins=candidates.first(self.begun.stance, self.site))
            front = order_job(problem, moves, self.asking)
            if front.plans or not front.proven or not drafts:
                break
            barred = {d: self._barred(ways[d], moves) for d in drafts}
            cut = [Undone(d, why) for d, why in barred.items() if why]
            stuck = problem.begins is not None and moves.shut_in(problem.begins.place)
            why = because("no-way-from-here" if stuck else "no-order-found")
            undone = [*undone, *(cut if cut and not stuck else [Undone(d, (why,)) for d in drafts])]
            undone = [*undone, *self._followers(undone)]
        for plan in front.plans:
            if wrong := violations(problem, plan):
                raise RuntimeError(f"a plan breaks its own rules: {'; '.join(wrong)}")
        order = {d: number for number, d in enumerate(self.drafts)}
        told = tuple(sorted(undone, key=lambda u: order[u.draft]))
        found = Ordered(problem, candidates.found, front, told, dict(moves.answers), self.clock)
        return numbered_by_use(found)

    def _sending_out(self, candidates: Candidates) -> JobQuestion:
        """The same question with all that cannot be done here sent out, as far as the site names who does it.

        A car that is mended only after something cannot be driven away for it.
        """
        mended = next((n for n, d in enumerate(self.drafts) if d.name == self.needs.job.drivable), None)
        waits = set() if mended is None else self._before(mended)
        asked = (d for n, d in enumerate(self.drafts) if n not in waits or (d.sent_out and d.sent_out.transport_s))
        out = {d for d in asked if d.sent_out is not None and not self._choices(d, candidates, True)}
        return evolve(self, drafts=tuple(sent(d, mended) if d in out else d for d in self.drafts))

    def _before(self, number: int) -> set[int]:
        """All that comes before an operation, directly or not, by position: what comes before stands before."""
        found = {number}
        for at in range(number, -1, -1):
            found |= {before.task for before in self.drafts[at].befores} if at in found else set()
        return found - {number}

    def _choices(self, draft: Draft, candidates: Candidates, any_doors: bool) -> tuple[Choice, ...]:
        """Every way to do an operation; none where it cannot be done."""
        ways: list[Choice] = []
        if draft.kind == "sent out" and draft.on_road_s is not None:
            return (Choice(draft.on_road_s, Stand(OUTSIDE)),)
        if not draft.ruled_out_by:
            if draft.wherever_s is not None:
                ways.append(Choice(draft.wherever_s))
            if draft.on_road_s is not None and self._drives(candidates, any_doors):
                ways.append(Choice(draft.on_road_s, Stand(OUTSIDE)))
            if draft.card is not None:
                ways.extend(candidates.choices(candidates.cards.index(draft.card), any_doors=any_doors))
        return tuple(ways)

    def _drives(self, candidates: Candidates, any_doors: bool) -> bool:
        """Whether the car can be driven, from the start or after the work that mends it."""
        drivable = self.needs.job.drivable
        mends = (d for d in self.drafts if d.name == drivable)
        return drivable == "yes" or any(self._choices(d, candidates, any_doors) for d in mends)

    def _undone(self, ways: Mapping[Draft, tuple[Choice, ...]]) -> list[Undone]:
        """What cannot be done at all, and what would have to come after it."""
        undone = [self._not_done(d) for d in self.drafts if not ways[d]]
        return [*undone, *self._followers(undone)]

    def _not_done(self, draft: Draft) -> Undone:
        """Something that cannot be done, and why, as far as that is plain: a drive waits for what mends the car."""
        if draft.ruled_out_by or draft.on_road_s is None or draft.card is not None:
            return Undone(draft, draft.ruled_out_by)
        mends = tuple(d.title for d in self.drafts if d.name == self.needs.job.drivable)
        return Undone(draft, () if mends else (because("car-not-drivable"),), waits_for=mends)

    def _followers(self, undone: Sequence[Undone]) -> list[Undone]:
        """All that waits for what is left out. Where nothing at all is done, there is nothing to scan after, either."""
        out = {self.drafts.index(u.draft) for u in undone}
        befores = [draft.befores for draft in self.drafts]
        held = held_back(befores, out)
        more = []
        here = (d for n, d in enumerate(self.drafts) if n not in out and n not in held)
        if not self.begun.done and not any(self._counts(d) for d in here):
            last = {n for n, d in enumerate(self.drafts) if d.kind == "scan" and d.stage == "post-scan"} - out
            more = [Undone(self.drafts[n], (because("nothing-to-scan-after"),)) for n in sorted(last)]
            held = held_back(befores, out | last)
        titles = {n: tuple(self.drafts[first].title for first in firsts) for n, firsts in held.items()}
        return [*more, *(Undone(self.drafts[n], waits_for=firsts) for n, firsts in titles.items())]

    def _counts(self, draft: Draft) -> bool:
        """Whether a scan after it tells anything: something was done to the car."""
        return draft.kind not in ("scan", "confirm") and draft.stage != "hand-over"

    def _problem(self, drafts: Sequence[Draft], ways: Mapping[Draft, tuple[Choice, ...]], places: int) -> Problem:
        number_of = {self.drafts.index(d): number for number, d in enumerate(drafts)}
        drivable = self.needs.job.drivable
        mended = next((number for number, d in enumerate(drafts) if d.name == drivable), None)
        operations = tuple(self._operation(d, ways[d], number_of) for d in drafts)
        handling = tuple((e.name, Handling(e.set_up_s, e.put_away_s)) for e in self.site.equipment)
        movers = (PUSHING, GUIDED if self.site.pace.guide else 1)
        people = tuple(person.name for person in self.site.people)
        never = drivable != "yes" and mended is None
        return Problem(operations, places, handling, mended, never, people=people, movers=movers)

    def _operation(self, draft: Draft, ways: tuple[Choice, ...], number_of: Mapping[int, int]) -> Operation:
        """A calibration waits for all that cures or dries before it, other work for what it names."""
        aims = draft.kind in ("calibration", "drive", "sent out")
        after = {number_of[b.task] for b in draft.befores if b.task in number_of}
        after |= {n for at, n in number_of.items() if self.drafts[at].goes_on and self.drafts[at] is not draft}
        waits_for = [b.task for b in draft.befores if aims or b.why in ("card", "rule", "job")]
        cured = {number_of[n] for n in waits_for if n in number_of and self.drafts[n].wait_s[1] > 0.0}
        return Operation(
            draft.name,
            draft.what,
            draft.kind,
            ways,
            frozenset(after),
            frozenset(cured),
            draft.wait_s,
            draft.blocks,
            draft.teams,
            draft.because,
            draft.title,
            draft.stage,
        )

    def _barred(self, ways: Sequence[Choice], moves: Maneuvers) -> tuple[Reason, ...]:
        """Why none of the places of an operation can be come to and left; nothing where one may be."""
        barred: list[Reason] = []
        for choice in ways:
            stuck = None if choice.stand is None else moves.cut_off(choice.stand.place)
            if stuck is None:
                return ()
            barred.extend(one.why for one in stuck.obstructions)
            barred.append(because("no-way-to-place"))
        return tuple(dict.fromkeys(barred))

    def reasoned(self, ordered: Ordered) -> Ordered:
        """With what would make room for what is left out."""
        return evolve(ordered, undone=tuple(would_help(self, u) for u in ordered.undone))
