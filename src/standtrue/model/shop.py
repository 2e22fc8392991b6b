"""What use cases take: everything that a shop has written down. A folder makes one, and so does the store.

A shop notes what is looked up in it, so that an answer says by itself which documents it rests on: `touched`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeVar

from attrs import define, field, frozen

from standtrue.model.basics import DocumentMark, Fault
from standtrue.model.job import Job, Mix, PlannedWith
from standtrue.model.lift import Lift
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason
from standtrue.model.rules import Rules
from standtrue.model.setup import Setup
from standtrue.model.site import Site
from standtrue.model.study import Study
from standtrue.model.survey import Survey
from standtrue.model.vehicle import Vehicle

T = TypeVar("T")


class Noted(Mapping[str, T]):
    """Documents of one kind by name. Taking one out is noted; looking whether there is one, or which, is not."""

    def __init__(self, kind: str, of: Mapping[str, T], touched: set[tuple[str, str]]) -> None:
        self._kind, self._of, self._touched = kind, of, touched

    def __getitem__(self, name: str) -> T:
        found = self._of[name]
        self._touched.add((self._kind, name))
        return found

    def __contains__(self, name: object) -> bool:
        return name in self._of

    def __iter__(self) -> Iterator[str]:
        return iter(self._of)

    def __len__(self) -> int:
        return len(self._of)


@frozen(eq=False)
class Written:
    """All sound documents of a shop as the model has them, and their marks in the order of the documents.

    `doubts` are what can be read in them and can hardly be meant: they keep no document from being used. `apart` is
    what of the shop's folder is not as the store has it: every answer says so. `planned` are by job the cards of the
    last plan that was kept of it, where one was.
    """

    marks: tuple[DocumentMark, ...] = ()
    warnings: tuple[Reason, ...] = ()
    sites: Mapping[str, Site] = field(factory=dict)
    lifts: Mapping[str, Lift] = field(factory=dict)
    vehicles: Mapping[str, Vehicle] = field(factory=dict)
    procedures: tuple[Procedure, ...] = ()
    rules: Mapping[str, Rules] = field(factory=dict)
    jobs: Mapping[str, Job] = field(factory=dict)
    mixes: Mapping[str, Mix] = field(factory=dict)
    studies: Mapping[str, Study] = field(factory=dict)
    surveys: Mapping[str, Survey] = field(factory=dict)
    setups: Mapping[str, Setup] = field(factory=dict)
    doubts: tuple[Fault, ...] = ()
    apart: tuple[Reason, ...] = ()
    planned: Mapping[str, tuple[PlannedWith, ...]] = field(factory=dict)


@define(eq=False)
class Shop:
    """A shop as one question sees it. `procedures` is every card there is: `take` those that an answer uses."""

    written: Written
    _touched: set[tuple[str, str]] = field(factory=set, init=False)
    sites: Mapping[str, Site] = field(init=False)
    lifts: Mapping[str, Lift] = field(init=False)
    vehicles: Mapping[str, Vehicle] = field(init=False)
    rules: Mapping[str, Rules] = field(init=False)
    jobs: Mapping[str, Job] = field(init=False)
    mixes: Mapping[str, Mix] = field(init=False)
    studies: Mapping[str, Study] = field(init=False)
    surveys: Mapping[str, Survey] = field(init=False)
    setups: Mapping[str, Setup] = field(init=False)

    def __attrs_post_init__(self) -> None:
        w, touched = self.written, self._touched
        self.sites = Noted("site", w.sites, touched)
        self.lifts = Noted("lift", w.lifts, touched)
        self.vehicles = Noted("vehicle", w.vehicles, touched)
        self.rules = Noted("rules", w.rules, touched)
        self.jobs = Noted("job", w.jobs, touched)
        self.mixes = Noted("mix", w.mixes, touched)
        self.studies = Noted("study", w.studies, touched)
        self.surveys = Noted("survey", w.surveys, touched)
        self.setups = Noted("setup", w.setups, touched)

    @property
    def procedures(self) -> tuple[Procedure, ...]:
        return self.written.procedures

    @property
    def warnings(self) -> tuple[Reason, ...]:
        return (*self.written.apart, *self.written.warnings)

    @property
    def apart(self) -> tuple[Reason, ...]:
        """What of the shop's folder is not as the store has it; told with `warnings`, too."""
        return self.written.apart

    def take(self, cards: Iterable[Procedure]) -> tuple[Procedure, ...]:
        """These cards, noted as used."""
        taken = tuple(cards)
        self._touched.update(("procedure", card.name) for card in taken)
        return taken

    @property
    def touched(self) -> tuple[DocumentMark, ...]:
        """The marks of all documents looked up so far, in the order of the documents; a site's lift types with it."""
        wanted = set(self._touched)
        for kind, name in self._touched:
            if kind == "site":
                wanted |= {("lift", placed.lift.name) for placed in self.written.sites[name].lifts}
        return tuple(mark for mark in self.written.marks if (mark.kind, mark.name) in wanted)

    def anew(self) -> Shop:
        """The same shop for another question: nothing looked up yet."""
        return Shop(self.written)
