"""What the pages at the car say, but for its readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from standtrue.drive.question.answer import Gear
from standtrue.drive.question.answer import Leg as Way
from standtrue.model.reason import Length, Quantity, Reason, Ref
from standtrue.show.words.catalog import N_
from standtrue.show.words.days import of_day
from standtrue.show.words.drive import leg_words
from standtrue.show.words.reader import Reader
from standtrue.show.words.remedies import change_first
from standtrue.show.words.sheet_record import capital
from standtrue.work.car.steps import CarStep, Leg

STOP_WORDS: Mapping[str, tuple[str, str]] = {
    "called away": (N_("Called away"), N_("Whoever comes back is asked whether anything was moved.")),
    "somebody else": (N_("Somebody else goes on"), N_("On this device or another. Your readings keep your name.")),
    "other car": (
        N_("This is not the car"),
        N_("What was read is put aside, under the order that it belongs to."),
    ),
    "card wrong": (
        N_("The card is wrong"),
        N_("Say what is wrong: nothing is calibrated by it, at any car, until a second person has read it again."),
    ),
    "signed wrong": (
        N_("Something signed is wrong"),
        N_("It is not erased: your reason and the new reading stand beside it."),
    ),
}

_KINDS: Mapping[str, str] = {
    "enter": N_("Drive in"),
    "move": N_("Drive to the next place"),
    "leave": N_("Drive out"),
    "lift": N_("Bring the lift to where it is needed"),
    "set up": N_("Set up: {things}"),
    "carry": N_("Carry to where it is needed: {things}"),
    "put away": N_("Put away: {things}"),
    "wait": N_("Wait: {what}"),
    "sent out": N_("Sent out: {what}"),
    "drive": N_("Drive on the road: {what}"),
}

_GEARS: Mapping[tuple[str, str], str] = {
    ("forward", "straight"): N_("Forward, straight"),
    ("forward", "left"): N_("Forward, to the left"),
    ("forward", "right"): N_("Forward, to the right"),
    ("forward", "full left"): N_("Forward, full left"),
    ("forward", "full right"): N_("Forward, full right"),
    ("reverse", "straight"): N_("Back, straight"),
    ("reverse", "left"): N_("Back, wheel left"),
    ("reverse", "right"): N_("Back, wheel right"),
    ("reverse", "full left"): N_("Back, full left"),
    ("reverse", "full right"): N_("Back, full right"),
}

STRAIGHT_PER_M = 0.02
"""A wheel turned to a wider radius than 50 m is told as straight: nobody could hold it."""


def called(step: CarStep, reader: Reader) -> str:
    """What a step is called."""
    if step.change is not None:
        return capital(change_first(step.change, reader))
    kind, name = step.called
    what = reader.term(name) if kind == "term" else reader.write(Ref("card" if kind == "drive" else kind, name))
    if step.kind in _KINDS:
        return reader.say(_KINDS[step.kind], what=what, things=tuple(step.equipment))
    return what if name else reader.term(step.kind)


def step_of(step: CarStep, of: int, reader: Reader) -> str:
    return reader.say("step {number} of {of}", number=step.number, of=of)


def who_question(reader: Reader) -> str:
    return reader.say("Who is at the car?")


def who_told(reader: Reader) -> str:
    return reader.say("What you type keeps your name.")


def nobody(reader: Reader) -> str:
    return reader.say("nobody named yet")


def stop(reader: Reader) -> str:
    return reader.say("Stop")


def back(reader: Reader) -> str:
    return reader.say("Back")


def not_handed(reader: Reader) -> tuple[str, str, str]:
    """Where no order of work was handed over: the question, what that means, the button."""
    return (
        reader.say("What is done at this car?"),
        reader.say("No order of work was handed over for it yet."),
        reader.say("Plan it and hand it over"),
    )


def planning(reader: Reader) -> str:
    return reader.say("The order of work is being planned. This page goes on by itself.")


def planning_failed(reader: Reader) -> str:
    return reader.say("No order of work was found. Look at the order to see what stops it.")


def all_done(reader: Reader) -> tuple[str, str, str]:
    """Where every step is over: the question, the answer, the button."""
    return (
        reader.say("Is anything left to do at this car?"),
        reader.say("No. Every step is done."),
        reader.say("To the record"),
    )


def waits_still(what: str, kind: str, reader: Reader) -> tuple[str, str]:
    """A step that was sent out or waits for a part: that it does, and the button once that is over."""
    if kind == "send out":
        return reader.say("Yes: {what} is sent out.", what=what), reader.say("It is back: {what}", what=what)
    return reader.say("Yes: {what} waits for a part.", what=what), reader.say("The part is here: {what}", what=what)


def plan_from_here(reader: Reader) -> str:
    return reader.say("Plan from here")


def plan_from_here_told(reader: Reader) -> str:
    return reader.say("What is left now, from where the car stands. It is handed over at once.")


def done_question(reader: Reader) -> str:
    return reader.say("What is done now?")


def done_button(reader: Reader) -> str:
    return reader.say("It is done")


def by_whom(team: Sequence[str], reader: Reader) -> str:
    return reader.say("By {people}.", people=tuple(team))


def place_told(on: str, reader: Reader) -> str:
    return reader.say("The car stands on the floor.") if on == "floor" else reader.say("The car stands on {on}.", on=on)


def drive_question(reader: Reader) -> str:
    return reader.say("Where does the car go?")


def leg_over(step: CarStep, leg: int, reader: Reader) -> str:
    what = called(step, reader)
    return reader.say("{what}, leg {leg} of {of}", what=what, leg=leg + 1, of=len(step.legs))


def leg_figure(leg: Leg, reader: Reader) -> str:
    """Which way, in a few words."""
    bend = leg.curvature_per_m
    if abs(bend) < STRAIGHT_PER_M:
        turn = "straight"
    else:
        side = "left" if bend > 0.0 else "right"
        turn = f"full {side}" if leg.full_lock else side
    gear = (leg.gear, turn)
    return reader.say(_GEARS[gear]) if gear in _GEARS else reader.term(leg.gear)


def leg_small(leg: Leg, number: int, pushed: bool, reader: Reader) -> str:
    far = Length(leg.length_m)
    if pushed:
        return reader.say("{far}, pushed, until the rear axle is over {number}", far=far, number=number)
    return reader.say("{far} at walking pace, until the rear axle is over {number}", far=far, number=number)


def later_leg(leg: Leg, reader: Reader) -> str:
    way = leg_figure(leg, reader)
    return reader.say("{way}, {far}", way=way, far=Length(leg.length_m))


def leg_told(leg: Leg, reader: Reader) -> str:
    """A leg's picture in words."""
    gear: Gear = "reverse" if leg.gear == "reverse" else "forward"
    way = leg_words(Way(gear, leg.length_m, leg.curvature_per_m, full_lock=leg.full_lock), reader)
    return reader.say("The way to drive, nose up. {way}", way=way)


def nearest_told(near: tuple[str, str, float], reader: Reader) -> str:
    kind, name, apart = near
    return reader.say("Nearest on the way: {thing}, {apart:down}.", thing=Ref(kind, name), apart=Length(apart))


def stands_at(number: int, reader: Reader) -> str:
    return reader.say("It stands at {number}", number=number)


def nose_up(reader: Reader) -> str:
    return reader.say("Nose up: left on the picture is left at the wheel.")


def behind_the_car(reader: Reader) -> str:
    return reader.say("Drawn as you stand behind the car and look ahead.")


def stops_question(reader: Reader) -> str:
    return reader.say("Why do you stop?")


def stops_answer(reader: Reader) -> str:
    return reader.say("Everything typed is kept. Nothing is signed by stopping.")


def stop_fields(reader: Reader) -> tuple[str, str]:
    """What is to be written where it must be said why, and the switch of light and dark."""
    return reader.say("What is wrong, in your words"), reader.say("Glare on the screen?")


def paper_words(reader: Reader) -> tuple[str, str, str]:
    return reader.say("Light"), reader.say("Dark"), reader.say("As the device has it")


def look_question(reader: Reader) -> str:
    return reader.say("Has anything moved?")


def look_over(who: str, when: datetime, reader: Reader) -> str:
    return reader.say("{who} was here last, {when}.", who=who, when=of_day(when, reader))


def look_answer(reader: Reader) -> str:
    return reader.say("Look at the car, the target and the tape before you answer.")


def look_choices(of_car: int, of_target: int, reader: Reader) -> tuple[tuple[str, str], ...]:
    """Nothing moved, the target may have, the car may have: what each means for the readings."""
    return (
        (reader.say("Nothing has moved"), reader.say("Every reading stands. Go on where it was left.")),
        (
            reader.say("The target may have moved"),
            reader.say("The {car} of the car stand. Read the {target} to the target.", car=of_car, target=of_target),
        ),
        (
            reader.say("The car may have moved"),
            reader.say("Read all {n} again. The first ones stay in the record.", n=of_car + of_target),
        ),
    )


def held_question(reader: Reader) -> str:
    return reader.say("Who has this step?")


def held_answer(who: str, when: datetime, reader: Reader) -> str:
    when_said = of_day(when, reader)
    return reader.say("{who} has it, on another device. Last typed there: {when}.", who=who, when=when_said)


def held_asked(reader: Reader) -> str:
    return reader.say("You asked for it. The other device is told.")


def held_choices(reader: Reader) -> tuple[tuple[str, str], ...]:
    return (
        (reader.say("Ask for it"), reader.say("The other device is asked, and hands it over.")),
        (
            reader.say("The other device is gone: take it"),
            reader.say("What it typed and has not sent comes in when it can. You look first whether anything moved."),
        ),
    )


def asked_for(who: str, reader: Reader) -> tuple[str, str, str]:
    """That somebody asks for the step: the sentence, and both answers."""
    return (
        reader.say("{who} asks for this step.", who=who),
        reader.say("Hand it over"),
        reader.say("Keep it"),
    )


def card_over(card: str, edition: str, reader: Reader) -> str:
    if not edition:
        return reader.say("By the card {card}", card=Ref("card", card))
    return reader.say("By the card {card}, edition {edition}", card=Ref("card", card), edition=edition)


def set_question(target: str, reader: Reader) -> str:
    return reader.say("Where does the {target} go?", target=Ref("target", target))


def set_figure(far: Quantity, reader: Reader) -> str:
    return reader.write(far)


def set_stand(reader: Reader) -> str:
    return reader.say("Its printed side looks at the car, square to the line it is set by.")


def set_height(target: str, high: Length, reader: Reader) -> str:
    return reader.say("Middle of the {target}: {high} above the floor.", target=Ref("target", target), high=high)


def it_stands(reader: Reader) -> str:
    return reader.say("It stands")


def set_told(target: str, reader: Reader) -> str:
    return reader.say("Where the {target} stands, seen from above, nose up.", target=Ref("target", target))


def stopped_over(who: str, why: str, when: datetime, reader: Reader) -> str:
    said = reader.say(STOP_WORDS[why][0])
    return reader.say("{who} stopped here, {when}: {why}", who=who, when=of_day(when, reader), why=said)


def go_on(reader: Reader) -> str:
    return reader.say("Go on with it")


def resume_question(reader: Reader) -> str:
    return reader.say("Do you go on here?")


def take_back_question(reader: Reader) -> str:
    return reader.say("Which signature is wrong?")


def take_back_row(what: str, by: str, when: datetime, reader: Reader) -> str:
    return reader.say("{what}, signed by {by}, {when}", what=what, by=by, when=of_day(when, reader))


def take_back(reader: Reader) -> str:
    return reader.say("Take it back, with this reason")


def none_signed(reader: Reader) -> str:
    return reader.say("Nothing is signed at this car yet.")


def net_words(reader: Reader) -> Mapping[str, str]:
    """What the strip says without a network; `{n}` and `{time}` are filled by the page."""
    return {
        "off": reader.say("no network since {time}", time="{time}"),
        "one": reader.say_n(
            "{n} entry kept here, sent later, once", "{n} entries kept here, sent later, once", 1, n="{n}"
        ),
        "many": reader.say_n(
            "{n} entry kept here, sent later, once", "{n} entries kept here, sent later, once", 2, n="{n}"
        ),
        "others": others_words(reader),
        "refused": reader.say("The shop's machine did not take {n} of what was typed. It is still kept here.", n="{n}"),
    }


def others_words(reader: Reader) -> str:
    """What the strip says of what somebody else typed on this device; `{n}` and `{who}` are filled by the page."""
    return reader.say("{n} of what was typed here is kept for {who}, until {who} signs in.", n="{n}", who="{who}")


def card_question(reader: Reader) -> str:
    return reader.say("What stands against the card?")


def card_told(reader: Reader) -> str:
    return reader.say("No car is calibrated by this card as it is. What was read at the car is kept.")


def card_do(what: Reason, reader: Reader) -> str:
    return reader.say("What to do: {what}.", what=what)


def wait_words(reader: Reader) -> tuple[str, str, str]:
    """Where the next screen needs the shop's machine, and there is no network."""
    return (
        reader.say("What comes next?"),
        reader.say("That needs the shop's machine, and there is no network. Everything typed is kept on this device."),
        reader.say("Try now"),
    )


def out_of_date(reader: Reader) -> str:
    return reader.say("The order of work is out of date: documents that it rests on have changed.")


def set_line(way: str, far: str, reader: Reader) -> str:
    return reader.say("{way}: {far}.", way=way, far=far)


def off_words(word: str, part: str, off: str, limit: str, reader: Reader) -> str:
    return reader.say("{word}, {part}: off by {off}, limit {limit}.", word=word, part=part, off=off, limit=limit)
