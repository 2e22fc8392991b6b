"""What an answer rests on, collected while it is worked out."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import evolve, frozen

from standtrue.model.basics import DocumentMark
from standtrue.model.cautions import CAUTIONS, Caution, Fact, cautions_for
from standtrue.model.reason import Reason, because


@frozen(eq=False)
class Basis:
    """What an answer rests on: marks of all documents touched, warnings, cautions, and limits that were reached.

    `warnings` say what is assumed or was not looked at, `limits` where a search ended before its proof.
    """

    marks: tuple[DocumentMark, ...] = ()
    warnings: tuple[Reason, ...] = ()
    cautions: tuple[Caution, ...] = ()
    limits: tuple[Reason, ...] = ()

    @property
    def demonstration(self) -> bool:
        return any(mark.demonstration for mark in self.marks)

    @property
    def notes(self) -> tuple[Reason, ...]:
        """All there is to note: warnings, limits, and how much stands in the documents that can hardly be meant."""
        doubts = sum(mark.doubts for mark in self.marks)
        told = (because("documents-doubted", count=doubts, command="standtrue read"),) if doubts else ()
        return (*self.warnings, *self.limits, *told)

    def warned(self, warnings: Iterable[Reason]) -> Basis:
        """With these warnings behind its own, each once."""
        return evolve(self, warnings=tuple(dict.fromkeys((*self.warnings, *warnings))))

    def limited(self, limits: Iterable[Reason]) -> Basis:
        """With these limits behind its own, each once."""
        return evolve(self, limits=tuple(dict.fromkeys((*self.limits, *limits))))

    def cautioned(self, facts: Iterable[Fact]) -> Basis:
        """With the cautions that these facts call for, each once, in the order of the table."""
        told = {*self.cautions, *cautions_for(frozenset(facts))}
        return evolve(self, cautions=tuple(c for c in CAUTIONS if c in told))

    def joined(self, other: Basis) -> Basis:
        """Both together, each thing once."""
        told = {*self.cautions, *other.cautions}
        return Basis(
            tuple(dict.fromkeys((*self.marks, *other.marks))),
            tuple(dict.fromkeys((*self.warnings, *other.warnings))),
            tuple(c for c in CAUTIONS if c in told),
            tuple(dict.fromkeys((*self.limits, *other.limits))),
        )


def basis_of(
    marks: Iterable[DocumentMark],
    facts: Iterable[Fact] = (),
    warnings: Iterable[Reason] = (),
    limits: Iterable[Reason] = (),
) -> Basis:
    """A basis of these marks; the cautions are those that the facts call for, and demonstration data for theirs."""
    marks = tuple(marks)
    called = {*facts, *({Fact.DEMONSTRATION} if any(m.demonstration for m in marks) else ())}
    return Basis(marks, tuple(dict.fromkeys(warnings)), cautions_for(frozenset(called)), tuple(dict.fromkeys(limits)))
