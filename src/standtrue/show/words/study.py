"""What a study says, in words that the terminal and the sheet share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from standtrue.model.reader_units import System, format_length
from standtrue.study.tally import Stop
from standtrue.work.study.studies import Change, StopHelp, StudyAnswer


def change_words(change: Change, units: System) -> str:
    """A change in the reader's units."""
    if change.moved_m is None:
        return change.words
    return f"{change.words} by {format_length(change.moved_m, units)}"


def best_of_each(changes: Iterable[Change]) -> list[Change]:
    """The changes, each wall only once: the least move that wins as much as any."""
    kept: dict[str, Change] = {}
    for change in changes:
        kept.setdefault(change.words, change)
    return list(kept.values())


def stop_words(stop: Stop) -> str:
    """What stops work."""
    return f"no card for {stop.name}" if stop.no_card else stop.name


def help_words(told: StopHelp, units: System) -> str:
    """What wins most of a stop's work back; "" where no single change that was tried wins any."""
    if told.change is not None:
        return change_words(told.change, units)
    return "get the maker's procedure" if told.stop.no_card else ""


def partial_words(answer: StudyAnswer) -> str:
    """What is missing where a study was stopped before its end; "" where it was not."""
    if not answer.partial:
        return ""
    counted = f"{len(answer.cars)} of {len(answer.vehicles)} cars of the mix count"
    return f"the study was stopped before its end: {counted}; rooms, changes and places may be missing."


def assumptions(answer: StudyAnswer, units: System) -> tuple[str, ...]:
    """What the answer takes for granted."""
    return tuple(_assumptions(answer, units))


def _assumptions(answer: StudyAnswer, units: System) -> Iterator[str]:
    study = answer.study
    yield "An order counts as done if every calibration that it calls for has a place in this room, on some support."
    yield "Orders are weighed by how often they come a year and by the cars' shares in the mix."
    yield "Drives on the road, scans and what needs no place are taken as done."
    if study.conditional:
        yield "What an order calls for only on some cars, or only if something is found, is counted as called for."
    else:
        yield "What an order calls for only on some cars, or only if something is found, is left out."
    for room in answer.rooms:
        gaps = room.room.site.gaps
        body, beside = (format_length(gap, units) for gap in (gaps.body_m, gaps.exit_m))
        yield f"{room.room.name}: {body} free about the body, {beside} beside one front door."
    if study.lift_types:
        yield "Another type of lift is tried at the same place and heading."
