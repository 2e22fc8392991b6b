"""Signing a job off: who vouches for it, and for what. Refused while anything that it would cover is not decided.

The needs and each set-up are answered anew and kept, so that what is signed is what holds now; the sign-off names the
last entry of the job, whose digest holds all before it. It says nothing of the car's safety.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Sequence
from typing import Literal

from attrs import frozen
from sqlalchemy import Connection

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.basis import Basis
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.needs import Need, NeedsAnswer
from standtrue.seal import Kept
from standtrue.store.database import open_store
from standtrue.store.journal import append, append_new, entries
from standtrue.work.aim.aiming import MeasuredAnswer, judge_measured
from standtrue.work.aim.gate import May
from standtrue.work.aim.setups import card_of
from standtrue.work.ask import pick
from standtrue.work.keep.answers import Said, draft_of, now
from standtrue.work.keep.files import no_store
from standtrue.work.needs.jobs import Needs, find_job_needs

_JUDGES = "standtrue measured"
"""The command that says whether a set-up may be calibrated."""


ToldApart = Literal["PIN", "name"]
"""How whoever signed was told apart: by a PIN that the person alone knows, or by the name only that was given."""


@frozen
class Covered:
    """A calibration that is covered: its need, the set-up that may be calibrated, and the entry that says so."""

    need: Need
    setup: str
    entry: int


@frozen
class Outside:
    """A calibration that is called for and not covered, and why."""

    need: Need
    because: Reason


@frozen(eq=False)
class Signed:
    """A sign-off: by whom, what it covers and what not; `entries` of the job before it, of which `last` is the last."""

    job: str
    by: str
    needs: NeedsAnswer
    covers: tuple[Covered, ...]
    outside: tuple[Outside, ...]
    entries: int
    last: str
    basis: Basis
    told_apart: ToldApart = "name"

    @property
    def says(self) -> tuple[Reason, ...]:
        """What a sign-off says, and what it does not."""
        cover = because("sign-covers", count=len(self.covers), entries=self.entries)
        return (cover, *(because("sign-leaves-out", count=len(self.outside)) for _ in self.outside[:1]))


@frozen(eq=False)
class _Accepted:
    need: Need
    setup: Setup
    answer: MeasuredAnswer


Told = tuple[Callable[[Needs], Said], Callable[[MeasuredAnswer], Said], Callable[[Signed], Said]]
"""How the needs, what was measured, and the sign-off are written down."""


def sign(  # long: one parameter for each thing that is told
    place: str | None, shop: Shop, name: str | None, by: str, told: Told, told_apart: ToldApart = "name"
) -> tuple[Signed, Kept]:
    """Sign a job off as an entry; `told_apart` "PIN": `work.accounts.pins.check_pin` allowed `by`.

    Raises UnansweredError with all that stands against it.
    """
    if place is None:
        raise no_store()
    job = pick("job", name, shop.jobs, "--job")
    if not by.strip():
        what, remedy = because("signs-nobody"), because("name-who-signs", option="--by")
        raise UnansweredError([Fault("name-missing", what, "", "--by", "", remedy)])
    needs = find_job_needs(shop.anew(), job)
    accepted, outside, faults = _looked_at(shop, job, needs)
    if faults:
        raise UnansweredError(faults)
    basis = needs.basis
    for one in accepted:
        basis = basis.joined(one.answer.basis)
    of_needs, of_measured, of_signed = told
    with open_store(place) as store, store.writing() as connection:
        _keep(connection, shop, job, of_needs(needs), needs.basis, by)
        covers = tuple(
            Covered(
                one.need, one.setup.name, _keep(connection, shop, job, of_measured(one.answer), one.answer.basis, by)
            )
            for one in accepted
        )
        *_, last = entries(connection, job.name)
        count = last.entry.number + 1
        seen = (count, last.digest.hex(), basis, told_apart)
        signed = Signed(job.name, by.strip(), needs.answer, covers, outside, *seen)
        draft = draft_of(connection, shop, job.name, of_signed(signed), basis.marks, by.strip())
        return signed, append(connection, draft, now())


def _keep(connection: Connection, shop: Shop, job: Job, said: Said, basis: Basis, by: str) -> int:
    """Keep an answer unless it is there; the number in the job of the entry that says it."""
    draft = draft_of(connection, shop, job.name, said, basis.marks, by)
    kept = append_new(connection, draft, now())
    if kept is None:
        same = (
            one for one in entries(connection, job.name) if one.entry.kind == said.kind and one.content == said.content
        )
        *_, kept = same
    return kept.entry.number


def _looked_at(shop: Shop, job: Job, needs: Needs) -> tuple[tuple[_Accepted, ...], tuple[Outside, ...], list[Fault]]:
    """Each calibration that the job calls for: accepted as set up, outside what is signed, or standing against it."""
    accepted: list[_Accepted] = []
    outside: list[Outside] = []
    decide = because("decide-then-sign")
    faults = [_fault(because("sign-open-question", question=q.reason), decide) for q in needs.answer.open_questions]
    for need in (one for one in needs.answer.needs if not one.dropped):
        if need.how != "required":
            outside.append(Outside(need, because("outside-not-looked-at")))
        elif not need.chain:
            faults.append(_fault(because("sign-no-card", sensor=need.ref), because("find-card-then-sign")))
        else:
            _look(shop, job, need, needs.cards, accepted, outside, faults)
    return tuple(accepted), tuple(outside), faults


def _look(  # long: three lists that it adds to
    shop: Shop,
    job: Job,
    need: Need,
    cards: Sequence[Procedure],
    accepted: list[_Accepted],
    outside: list[Outside],
    faults: list[Fault],
) -> None:
    """Look at every card of a need that places targets: a set-up of this job must be accepted for it."""
    placing = [card for card in cards if card.key in need.chain and card.needs_space]
    if not placing:
        outside.append(Outside(need, because("outside-no-targets")))
    for card in placing:
        found = [(setup, _judged(shop.anew(), setup)) for setup in _setups(shop, job, card)]
        may = [_Accepted(need, setup, answer) for setup, answer in found if answer.gate.verdict is May.YES]
        if may:
            accepted.append(may[-1])
        elif not found:
            what, remedy = (
                because("sign-no-setup", sensor=need.ref, card=card.key),
                because("set-up-then-sign", command=_JUDGES),
            )
            faults.append(_fault(what, remedy))
        faults += [] if may else [_held(need, setup, answer) for setup, answer in found]


def _judged(shop: Shop, setup: Setup) -> MeasuredAnswer:
    """What was measured, as `standtrue measured` answers it; the set-up is looked up, so that it is noted as used."""
    return judge_measured(shop, shop.setups[setup.name], datetime.date.today())


def _setups(shop: Shop, job: Job, card: Procedure) -> Iterator[Setup]:
    """The job's set-ups of a card."""
    for setup in shop.written.setups.values():
        if setup.job == job.name and card_of(shop.anew(), setup).key == card.key:
            yield setup


def _held(need: Need, setup: Setup, answer: MeasuredAnswer) -> Fault:
    holds = tuple(hold.what for hold in answer.gate.ordered)
    what = because("sign-setup-held", sensor=need.ref, setup=Ref("setup", setup.name), why=holds)
    return _fault(what, because("mend-then-sign", command=_JUDGES))


def _fault(what: Reason, remedy: Reason) -> Fault:
    return Fault("not-to-be-signed", what, "", "", "", remedy)
