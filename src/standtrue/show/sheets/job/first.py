"""The first page of a job: what is done in which order, what may not be done yet, and what would help."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from standtrue.draw.backends.pdf import Data
from standtrue.model.cautions import Fact
from standtrue.model.reason import Reason, Value, because
from standtrue.show.sheets.job.card import AT_THE_CAR
from standtrue.show.sheets.job.lines import places_data
from standtrue.show.words import sheet as words
from standtrue.show.words.clock import ready_words
from standtrue.show.words.plan import sent_out_words, span_words, undone_because
from standtrue.show.words.plan_first import undone_name
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import remedies_words
from standtrue.show.words.sheet_notes import sent_out
from standtrue.show.words.sheet_title import out_of_date, rests_words, title_cells
from standtrue.show.words.texts import as_sentence
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.ordered import Undone
from standtrue.work.sheet.content import CardPart, Elsewhere, Nowhere, SheetContent

SAID_ON_EVERY_PAGE: tuple[frozenset[Fact], ...] = (frozenset(), frozenset({Fact.DEMONSTRATION}))
"""What calls for the cautions that stand in the head or the foot of every page."""


LISTING: Mapping[str, str] = {"offsets-known-to": "points", "sizes-known-to": "what"}
"""Notes that list what is taken as known to a length, and the name of the list."""

SAID_IN_THE_LEGEND = frozenset({"chalk-ends", "car-tied-once", "many-readings"})
"""Notes of cards that their pages say or show themselves."""


def first_page(content: SheetContent, reader: Reader, program: str) -> dict[str, Data]:
    """What the template is given of the first page."""
    needs = content.needs
    job, vehicle = needs.job, needs.vehicle
    order = words.order_name(job)
    return {
        "head": [job.site, f"{order}, {vehicle.name}"],
        "cells": title_cells(
            {"sheet": order, "car": words.car_words_short(job, vehicle),
             "rests on": rests_words(content.basis.marks, reader), "made by": program},
            reader,
        ),
        "question": words.question(reader),
        "answer": _answer(content, reader),
        "cautions": reader.reasons(c.reason for c in content.cautions if c.calls not in SAID_ON_EVERY_PAGE),
        "begins": words.begins_heading(content.plan, reader),
        "decided": [list(row) for row in _undecided(content, reader)],
        "places": _places(content, reader),
        "limits": [list(row) for row in words.limit_rows(content.limits, reader)],
        "notes": [*_notes(content, reader), out_of_date(reader)],
    }  # fmt: skip


def _answer(content: SheetContent, reader: Reader) -> str:
    """The car, when it comes and is promised, and what the work comes to."""
    needs, plan = content.needs, content.plan
    said = [as_sentence(words.car_words(needs.job, needs.vehicle, reader))]
    if when := ("" if plan is None else ready_words(plan, reader)) or words.when_words(needs.job, reader):
        said.append(as_sentence(when))
    if plan is not None and plan.plan is not None:
        low, _, high = plan.plan.elapsed_s
        said.append(words.in_all(plan, span_words(low, high, reader), reader))
    return " ".join(said)


def _undecided(content: SheetContent, reader: Reader) -> Iterable[tuple[str, ...]]:
    """What may not be done yet, and why; what would help."""
    needs = content.needs
    yield from words.of_cards(needs, reader)
    yield from words.look_first(needs.answer, reader)
    yield from words.no_card(needs.answer, reader)
    for one in content.nowhere:
        yield (
            words.left_out(words.sensor_words(one.card, reader), reader),
            words.helped(words.not_here(reader), _nowhere(one, reader)),
        )
    left = () if content.plan is None else content.plan.ordered.undone
    yield from (_undone(undone, content, reader) for undone in left if not undone.waits_for)
    if waiting := tuple(undone_name(undone, reader) for undone in left if undone.waits_for):
        yield words.waits_for_that(waiting, reader), ""
    for card in needs.cards:
        if card.source.status == "transcribed":
            yield words.unverified(card, reader)


def _nowhere(one: Nowhere, reader: Reader) -> Iterable[str]:
    """What would make room, and whether the shop can send it out."""
    for answer, remedies in one.misses:
        yield from remedies_words(remedies, answer, reader)
    yield from (sent_out(*out.takes_s, reader) for out in one.sent_out)


def _undone(undone: Undone, content: SheetContent, reader: Reader) -> tuple[str, str]:
    """What the plan leaves out, why, and what would help."""
    card = next((c for c in content.needs.cards if c.key == undone.draft.name), None)
    name = reader.write(undone.draft.title) if card is None else words.sensor_words(card, reader)
    because = [as_sentence(r) for r in reader.reasons(undone_because(undone))]
    fit = words.not_here(reader) if undone.answers else ""
    help_words = [s for answer, remedies in undone.answers for s in remedies_words(remedies, answer, reader)]
    if undone.sent_out is not None:
        help_words.append(sent_out_words(undone.sent_out, reader))
    return words.left_out(name, reader), words.helped(fit, [*because, *help_words])


def _places(content: SheetContent, reader: Reader) -> list[Data]:
    """The lines by place; without an order of work the stances and their cards, and what needs no place."""
    cards = [part for stance in content.stances for part in stance.cards]
    pages = {id(part): label(number) for number, part in enumerate(cards)}
    if content.plan is not None and content.plan.plan is not None:
        by_step = {part.step: pages[id(part)] for part in cards if part.step is not None}
        stands = {s.place: words.stands(s.answer, reader) for s in content.stances if s.place is not None}
        return places_data(content.plan, reader, by_step, stands, _place_cautions(content), _step_cautions(content))
    found: list[Data] = []
    number = 0
    for stance in content.stances:
        steps: list[Data] = []
        for part in stance.cards:
            number += 1
            steps.append(_card_line(number, part, pages[id(part)], reader))
        cautions = reader.reasons(c.reason for c in stance.cautions)
        found.append({
            "title": words.stance_title(stance.answer, reader), "stands": words.stands(stance.answer, reader),
            "cautions": cautions, "steps": steps,
        })  # fmt: skip
    if content.elsewhere:
        rows = [_elsewhere(number + i, one, reader) for i, one in enumerate(content.elsewhere, start=1)]
        found.append({"title": words.no_place(reader), "stands": "", "cautions": [], "steps": rows})
    return found


def _place_cautions(content: SheetContent) -> Mapping[int, Sequence[Reason]]:
    """The cautions of every stance at a place, at the head of that place."""
    found: dict[int, list[Reason]] = {}
    order = [c.reason for c in content.order_cautions]
    for stance in content.stances:
        if stance.place is not None:
            found.setdefault(stance.place, []).extend(c.reason for c in stance.cautions)
    plan = content.plan
    first = plan.plan.steps[0].stand.place if plan is not None and plan.plan is not None else 0
    told = {r for reasons in found.values() for r in reasons}
    found.setdefault(first, []).extend(r for r in order if r not in told)
    return found


def _step_cautions(content: SheetContent) -> Mapping[int, Sequence[Reason]]:
    """The cautions of a card above its first step."""
    found: dict[int, list[Reason]] = {}
    told: set[Reason] = set()
    parts: list[tuple[int, CardPart | Elsewhere]] = [
        (part.step, part) for stance in content.stances for part in stance.cards if part.step is not None
    ]
    parts += [(one.steps[0], one) for one in content.elsewhere if one.steps]
    for step, part in sorted(parts, key=lambda p: p[0]):
        new = [c.reason for c in part.cautions if c.reason not in told]
        told.update(new)
        found.setdefault(step, []).extend(new)
    return found


def label(number: int) -> str:
    """What the page of a card is found by."""
    return f"card-{number}"


def _card_line(number: int, part: CardPart, page: str, reader: Reader) -> dict[str, Data]:
    return {
        "number": str(number), "begins": words.minutes_lines(part.card, reader),
        "what": as_sentence(part.card.key), "more": words.spare(part.answer, reader),
        "page": page, "who": "", "cautions": reader.reasons(c.reason for c in part.cautions),
    }  # fmt: skip


def _elsewhere(number: int, one: Elsewhere, reader: Reader) -> dict[str, Data]:
    return {
        "number": str(number), "begins": [""], "what": as_sentence(one.card.key),
        "more": as_sentence(words.without_place(one.card, reader)), "page": None, "who": "",
        "cautions": reader.reasons(c.reason for c in one.cautions),
    }  # fmt: skip


def _once(notes: Iterable[Reason]) -> list[Reason]:
    """What several cards take as known to the same length, told in one sentence."""
    lists: dict[tuple[str, Value | Reason | tuple[Value | Reason, ...]], dict[Value | Reason, None]] = {}
    found: list[Reason] = []
    for note in notes:
        if note.code not in LISTING:
            found.append(note)
            continue
        things = note[LISTING[note.code]]
        lists.setdefault((note.code, note["u"]), {}).update(dict.fromkeys(things if isinstance(things, tuple) else ()))
    return found + [because(code, **{LISTING[code]: tuple(things), "u": u}) for (code, u), things in lists.items()]


def _notes(content: SheetContent, reader: Reader) -> list[str]:
    """What must be said of the whole job."""
    plan: PlanAnswer | None = content.plan
    said = [as_sentence(s) for s in words.dropped(content.needs.answer, reader)]
    if plan is not None and plan.plan is not None and not plan.ordered.front.proven:
        said.append(words.not_proven(reader))
    of_cards = (n for stance in content.stances for part in stance.cards for n in part.notes)
    shared = [n for n in of_cards if n.code not in AT_THE_CAR | SAID_IN_THE_LEGEND]
    told = reader.reasons((*content.differing, *content.basis.warnings, *content.basis.limits, *_once(shared)))
    return [*said, *(as_sentence(s) for s in told)]
