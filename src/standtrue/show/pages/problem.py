"""What is refused, as a page: what is wrong, all of it, how to mend it, and where to go on."""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from standtrue.model.basics import Fault
from standtrue.show.words.faults import fault_lines
from standtrue.show.words.pages.problems import go_back, problem_title
from standtrue.show.words.reader import Reader


@frozen
class ProblemPage:
    """The page."""

    title: str
    faults: tuple[str, ...]
    back: str


def problem_page(code: str, faults: Sequence[Fault], reader: Reader) -> ProblemPage:
    """A problem by its code, with the faults that make it."""
    told = (fault_lines(fault, reader) for fault in faults)
    return ProblemPage(
        problem_title(code, reader), tuple(" ".join((one.heading, *one.lines)) for one in told), go_back(reader)
    )
