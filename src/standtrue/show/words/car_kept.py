"""What the record says of the work at a car."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from standtrue.model.reason import Ref
from standtrue.show.answers.car import HandedAnswer, HappenedAnswer
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

_WHAT: Mapping[tuple[str, str], str] = {
    ("begun", ""): N_("The step was begun."),
    ("leg", ""): N_("A leg was driven."),
    ("condition", ""): N_("{name}: {typed}"),
    ("stands", ""): N_("The target stands where it goes."),
    ("reading", ""): N_("A reading was taken: {typed}."),
    ("moved", "nothing"): N_("Nothing had moved."),
    ("moved", "target"): N_("The target had moved, or was moved: what was read to it is read again."),
    ("moved", "car"): N_("The car may have moved: everything is read again."),
    ("verdict", ""): N_("The readings were judged."),
    ("tool", "finished"): N_("The scan tool said that the calibration finished."),
    ("tool", "not finished"): N_("The scan tool said that the calibration did not finish."),
    ("next", "again"): N_("It is tried again."),
    ("next", "send out"): N_("It is sent out."),
    ("next", "wait"): N_("It waits for a part."),
    ("photo", ""): N_("A photo was taken, or it was told why there is none."),
    ("signed", ""): N_("The step was signed."),
    ("signed", "PIN"): N_("The step was signed, by PIN."),
    ("done", ""): N_("The step was done."),
    ("stopped", "called away"): N_("Work stopped: called away."),
    ("stopped", "somebody else"): N_("Work stopped: somebody else goes on."),
    ("stopped", "other car"): N_("Work stopped: this is not the car. What was read is put aside."),
    ("stopped", "card wrong"): N_("Work stopped: the card is wrong."),
    ("stopped", "signed wrong"): N_("Work stopped: something signed is wrong."),
    ("back", ""): N_("Somebody came back to the step."),
    ("asked", ""): N_("Another device asked for the step."),
    ("given", ""): N_("The step was given to another device."),
    ("kept", ""): N_("The step was not given to the device that asked."),
    ("taken", ""): N_("The step was taken over: its device was gone."),
    ("taken back", ""): N_("Something told before was taken back."),
}
"""By what happened, and which of it."""


def handed_lines(answer: HandedAnswer, reader: Reader) -> Iterator[str]:
    """An order of work that was handed over."""
    if answer.demonstration:
        yield reader.say("Invented demonstration data.")
    n = len(answer.steps)
    yield reader.say_n("An order of work with {n} step was handed over by {by}.",
                       "An order of work with {n} steps was handed over by {by}.", n, by=answer.by)  # fmt: skip
    cards = tuple(Ref("card", one.called[1]) for one in answer.steps if one.called[0] == "card")
    yield reader.say("To be calibrated: {cards}.", cards=cards) if cards else reader.say("It has no calibration.")


def happened_lines(answer: HappenedAnswer, reader: Reader) -> Iterator[str]:
    """One thing that happened, and by whom."""
    if answer.demonstration:
        yield reader.say("Invented demonstration data.")
    said = _WHAT.get((answer.what, answer.name)) or _WHAT[answer.what, ""]
    name = reader.term(answer.name) if answer.name in _TERMS else answer.name
    yield reader.say(said, name=name, typed=answer.typed)
    yield reader.say("By {by}, step {step}.", by=answer.by, step=answer.step)
    if answer.text:
        yield reader.say("Said with it: {text}", text=answer.text)
    if answer.codes:
        yield reader.say("Codes: {codes}.", codes=tuple(answer.codes))


_TERMS = ("light",)
