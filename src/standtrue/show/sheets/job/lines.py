"""The order of work as lines of a sheet: by place, with what is set up and put away told in the line that needs it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import evolve, frozen

from standtrue.draw.backends.pdf import Data
from standtrue.model.order import Step
from standtrue.model.reason import Reason
from standtrue.model.stance import FLOOR
from standtrue.place.question.answer import Answer
from standtrue.show.words import sheet as words
from standtrue.show.words.clock import begins_lines
from standtrue.show.words.plan import StepWords, step_words
from standtrue.show.words.plan_short import short_who
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.plan.answer import PlanAnswer

BEFORE = ("set up", "carry", "lift")
"""Steps that are told in the line of what they are for."""


@frozen(eq=False)
class Line:
    """One line: its own step, the steps told in it before and after it, and why it needs a caution."""

    own: StepWords
    before: tuple[StepWords, ...] = ()
    after: tuple[StepWords, ...] = ()

    @property
    def first(self) -> StepWords:
        return self.before[0] if self.before else self.own

    @property
    def last(self) -> StepWords:
        return self.after[-1] if self.after else self.own


def lines_of(answer: PlanAnswer, reader: Reader) -> list[Line]:
    """The plan's steps as lines."""
    told = () if answer.plan is None else step_words(answer.ordered, answer.plan, answer.site, reader)
    lines: list[Line] = []
    waiting: list[StepWords] = []
    for one in told:
        if one.step.kind in BEFORE:
            waiting.append(one)
        elif one.step.kind == "put away" and lines and not waiting:
            lines[-1] = evolve(lines[-1], after=(*lines[-1].after, one))
        elif one.step.kind == "put away":
            waiting.append(one)
        else:
            lines.append(Line(one, tuple(waiting)))
            waiting = []
    if waiting and lines:
        lines[-1] = evolve(lines[-1], after=(*lines[-1].after, *waiting))
    return lines


def places_data(
    answer: PlanAnswer,
    reader: Reader,
    pages: Mapping[int, str],
    stands: Mapping[int, str],
    place_cautions: Mapping[int, Sequence[Reason]],
    step_cautions: Mapping[int, Sequence[Reason]],
) -> list[Data]:
    """The lines by place. `pages` are the labels of the cards' own pages by step, `stands` where the car stands at each
    place; cautions are by place and by step."""
    found: list[dict[str, Data]] = []
    head: int | None = None
    said: set[int] = set()
    carrier = FLOOR
    for line in lines_of(answer, reader):
        step = line.own.step
        here = step.stand.place
        if here != head:
            new = step.stand.place not in said
            said.add(step.stand.place)
            cautions = _cautions(step.stand.place, place_cautions, found, reader) if new else []
            found.append({
                "title": words.place_title(step.stand.place, reader), "stands": stands.get(step.stand.place, ""),
                "cautions": cautions, "steps": [],
            })  # fmt: skip
            head, carrier = here, FLOOR
        rows = found[-1]["steps"]
        assert isinstance(rows, list)
        moved = words.carried_words(step.stand.carrier, reader) if step.stand.carrier != carrier else ""
        carrier, number = step.stand.carrier, line.own.number
        rows.append(_line(line, answer, (pages.get(number), moved), step_cautions.get(number, ()), reader))
    return list(found)


def _cautions(
    place: int, of_places: Mapping[int, Sequence[Reason]], before: Sequence[Mapping[str, Data]], reader: Reader
) -> list[str]:
    """A place's cautions; where they are those of the place before, that they are."""
    said = reader.reasons(of_places.get(place, ()))
    same = next((p["title"] for p in before if p["cautions"] == said), None)
    return [words.as_at(str(same), reader)] if said and same is not None else said


def _line(
    line: Line, answer: PlanAnswer, told: tuple[str | None, str], cautions: Sequence[Reason], reader: Reader
) -> dict[str, Data]:
    """One line. `told` are the label of its own page, and what carries the car where that has changed."""
    step, stance = line.own.step, _stance(line.own.step, answer)
    page, moved = told
    more = [moved, *(words.handling(one.step, reader, first=True) for one in line.before)]
    if step.kind == "calibration" and stance is not None:
        more.append(words.spare(stance, reader))
    more.append(_nearest(line.own, answer, reader))
    more += [words.handling(one.step, reader, first=False) for one in line.after]
    crew = tuple(dict.fromkeys(p for one in (*line.before, line.own, *line.after) for p in one.people))
    return {
        "number": str(line.own.number),
        "begins": begins_lines(answer, line.first.number - 1, reader),
        "what": as_sentence(_what(line, answer, reader)),
        "more": " ".join(m for m in more if m),
        "page": page,
        "who": short_who(crew, answer.site, wide=0),
        "cautions": reader.reasons(cautions),
        "moving": step.move is not None,
    }


def _what(line: Line, answer: PlanAnswer, reader: Reader) -> str:
    """What is done: for a calibration its sensor alone, since its card has a page of its own."""
    step = line.own.step
    if step.kind != "calibration" or step.operation is None:
        return line.own.what
    name = answer.ordered.problem.operations[step.operation].name
    card = next((c for c in answer.needs.cards if c.key == name), None)
    if card is None:
        return line.own.what
    need = next((n for n in answer.needs.answer.needs if not n.dropped and name in n.chain), None)
    return words.calibrates(card, need is not None and need.how == "conditional", reader)


def _stance(step: Step, answer: PlanAnswer) -> Answer | None:
    if step.operation is None or step.choice is None:
        return None
    return answer.stances.get((step.operation, step.choice))


def _nearest(told: StepWords, answer: PlanAnswer, reader: Reader) -> str:
    """What comes nearest on a move."""
    move = told.step.move
    path = None if move is None else answer.ordered.paths.get((move.start, move.goal, move.driven))
    return "" if path is None or path.nearest is None else words.nearest(path.nearest, reader)
