"""What the pages at the car say of readings: what is read, what that comes to, the scan tool's word, the signature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from standtrue.aim.layout import DATUM
from standtrue.aim.planning import Planned
from standtrue.model.procedure import Condition
from standtrue.model.reason import Angle, Length, Ref, Term
from standtrue.model.setup import LINES
from standtrue.show.words.catalog import N_
from standtrue.show.words.plan import span_words
from standtrue.show.words.reader import Reader

_ENDS: Mapping[str, str] = {
    "": N_("the middle of the {target}"),
    "left": N_("the left end of the {target}"),
    "right": N_("the right end of the {target}"),
    "top": N_("the top of the {target}"),
    "bottom": N_("the bottom of the {target}"),
}


def point(name: str, targets: Sequence[str], reader: Reader) -> str:
    """A point in words."""
    for target in targets:
        own = name.removeprefix(target).strip()
        if name.startswith(target) and own in _ENDS:
            return reader.say(_ENDS[own], target=Ref("target", target))
    if name == DATUM or any(name.startswith(kind) for kind in ("clamp", "hub", "sidewall", "bar", "wheel", "front of")):
        return reader.term(name)
    return reader.term(name) if name in ("rear of the car",) else name


def question(one: Planned, targets: Sequence[str], reader: Reader) -> str:
    """What a reading asks."""
    reading = one.reading
    end = point(reading.end[0], targets, reader)
    if reading.what == "distance":
        return reader.say("How far from {start} to {end}?", start=point(reading.start[0], targets, reader), end=end)
    if reading.what == "offset":
        return reader.say("How far is {end} from the {line}?", end=end, line=_line(reading.start))
    if reading.what == "height":
        return reader.say("How high is {end} above the floor?", end=end)
    if reading.what == "lean":
        return reader.say("How much does the {target} lean?", target=Ref("target", one.part))
    return reader.say("How far is the {target} turned?", target=Ref("target", one.part))


def short(one: Planned, targets: Sequence[str], reader: Reader) -> str:
    """The same in a list."""
    reading = one.reading
    end = point(reading.end[0], targets, reader)
    if reading.what == "distance":
        said = reader.say("{start} to {end}", start=point(reading.start[0], targets, reader), end=end)
    elif reading.what == "offset":
        said = reader.say("{end} off {line}", end=end, line=_line(reading.start))
    elif reading.what == "height":
        said = reader.say("height of {end}", end=end)
    else:
        said = reader.say("lean of {end}", end=end) if reading.what == "lean" else reader.say("turn of {end}", end=end)
    return reader.say("{what}, a second time", what=said) if one.candidate.again else said


def _line(points: Sequence[str]) -> Term | str:
    return next((Term(line) for line, own in LINES.items() if own == tuple(points)), "")


def again(reader: Reader) -> str:
    return reader.say("A second time: somebody else, or another instrument.")


def sides(what: str, reader: Reader) -> tuple[tuple[str, int], ...]:
    """Both sides of a reading as buttons, with the sign of each."""
    if what == "lean":
        return ((reader.say("top forward, as the printed side looks"), 1), (reader.say("top back"), -1))
    if what == "angle":
        return ((reader.say("counter-clockwise from above"), 1), (reader.say("clockwise from above"), -1))
    return ((reader.say("to the car's left"), 1), (reader.say("to the car's right"), -1))


def numbered(number: int, of: int, reader: Reader) -> str:
    return reader.say("Reading {number} of {of}", number=number, of=of)


def condition_of(number: int, of: int, reader: Reader) -> str:
    return reader.say("Condition {number} of {of}", number=number, of=of)


def condition_question(condition: Condition, reader: Reader) -> str:
    """What a condition asks, without its limit."""
    what = reader.term(condition.what) if condition.what == "light" else condition.what
    if condition.low is None and condition.high is None:
        return reader.say("Is it so: {what}?", what=what)
    return reader.say("How much is it: {what}?", what=what)


def condition_name(condition: Condition, reader: Reader) -> str:
    return reader.term(condition.what) if condition.what == "light" else condition.what


def so_words(reader: Reader) -> tuple[str, str]:
    return reader.say("It is so"), reader.say("It is not so")


def limit(condition: Condition, reader: Reader) -> str:
    """What the card asks for, told after it was read."""
    low, high, unit = condition.low, condition.high, condition.unit
    if low is not None and high is not None:
        return reader.say("The card asks for {low} to {high} {unit}.", low=f"{low:g}", high=f"{high:g}", unit=unit)
    if low is not None:
        return reader.say("The card asks for {low} {unit} or more.", low=f"{low:g}", unit=unit)
    if high is not None:
        return reader.say("The card asks for {high} {unit} or less.", high=f"{high:g}", unit=unit)
    return reader.say("The card asks for it.")


def pad_words(reader: Reader) -> Mapping[str, str]:
    """What the number pad says; `{value}` and `{meant}` are filled by the page."""
    return {
        "keep": reader.say("Keep {value}", value="{value}"),
        "keep_bare": reader.say("Keep"),
        "say_side": reader.say("Say which side"),
        "now": reader.say("now"),
        "to_read": reader.say("to read"),
        "asked": reader.say("{value} cannot be. Did you mean {meant}?", value="{value}", meant="{meant}"),
        "doubt": reader.say("{value} is far from what there can be. Read it again.", value="{value}"),
        "as_typed": reader.say("Keep {value} as read", value="{value}"),
        "group": reader.say("Number pad"),
        "point": reader.say("point"),
        "erase": reader.say("take back one digit"),
        "and": reader.say("and"),
        "list": reader.say("Readings of this picture"),
        "which": reader.say("Which side"),
        "not_so": reader.say("not so"),
        "so": reader.say("so"),
    }


def group_captions(reader: Reader) -> tuple[str, str, str]:
    return (
        reader.say("From the marks to the car, on the floor."),
        reader.say("From the car and the marks to the target, on the floor."),
        reader.say("At the target itself."),
    )


def judge_question(reader: Reader) -> tuple[str, str, str]:
    """All is read: the question, what is known, the button."""
    return (
        reader.say("Is it in tolerance?"),
        reader.say("Every reading of the list is taken."),
        reader.say("In tolerance or not?"),
    )


def read_count(count: int, reader: Reader) -> str:
    return reader.say_n("{n} reading taken.", "All {n} read.", count)


def out_word(reader: Reader) -> str:
    return reader.say("Out of tolerance")


def too_close(reader: Reader) -> str:
    return reader.say("Too close to the limit")


def move_question(reader: Reader) -> str:
    return reader.say("What must move?")


_SHIFTS: Mapping[str, tuple[str, str]] = {
    "shift-forward": (N_("forward of the car"), N_("forward of the car, toward the {toward}")),
    "shift-rearward": (N_("toward the rear of the car"), N_("toward the rear of the car, toward the {toward}")),
    "shift-left": (N_("to the car's left"), N_("to the car's left, toward the {toward}")),
    "shift-right": (N_("to the car's right"), N_("to the car's right, toward the {toward}")),
    "shift-up": (N_("higher"), ""),
    "shift-down": (N_("lower"), ""),
    "turn-counter-clockwise": (N_("turned counter-clockwise, seen from above"), ""),
    "turn-clockwise": (N_("turned clockwise, seen from above"), ""),
    "tip-down": (N_("its printed side tipped down"), ""),
    "tip-up": (N_("its printed side tipped up"), ""),
}


def shift_figure(target: str, by: Length | Angle, reader: Reader) -> str:
    spec = reader.write(by, "fine-up" if isinstance(by, Angle) else "up")
    return reader.say("The {target}, {by}", target=Ref("target", target), by=spec)


def shift_way(code: str, toward: Ref | None, reader: Reader) -> str:
    bare, with_mark = _SHIFTS[code]
    if toward is None or not with_mark:
        return reader.say(bare)
    return reader.say(with_mark, toward=toward)


def while_there(reader: Reader) -> str:
    return reader.say("While you are there (each within its limit already):")


def then_again(of_target: int, of_car: int, reader: Reader) -> str:
    return reader.say(
        "Then read the {target} to the target again. The {car} of the car stand, as long as nobody touches the car.",
        target=of_target,
        car=of_car,
    )


def it_is_moved(count: int, reader: Reader) -> str:
    return reader.say_n("It is moved: read {n} again", "It is moved: read {n} again", count)


def shift_drawn(reader: Reader) -> str:
    return reader.say("The arrow says which way; how far is told.")


def in_tolerance(reader: Reader) -> str:
    return reader.say("In tolerance")


def columns(reader: Reader) -> tuple[str, ...]:
    return reader.say("off by"), reader.say("known to"), reader.say("at most"), reader.say("limit")


def run_it(seconds: tuple[float, float], reader: Reader) -> str:
    if seconds[1] <= 0.0:
        return reader.say("Now run the maker's calibration with the scan tool.")
    time = span_words(seconds[0], seconds[1], reader)
    return reader.say("Now run the maker's calibration with the scan tool, {time}.", time=time)


def tool_question(reader: Reader) -> str:
    return reader.say("What did the tool say?")


def tool_choices(reader: Reader) -> tuple[str, str]:
    return reader.say("It finished"), reader.say("It did not finish")


def sign_bar(reader: Reader) -> str:
    return reader.say("Sign")


def as_measured(reader: Reader) -> str:
    return reader.say("As measured. Nothing to shift.")


def held_question(reader: Reader) -> str:
    return reader.say("What stands against it?")


def read_again_button(reader: Reader) -> str:
    return reader.say("Look at the readings again")


def target_read_again(reader: Reader) -> str:
    return reader.say("Read the target again")


def failed_question(reader: Reader) -> str:
    return reader.say("What did the tool say?")


def failed_fields(reader: Reader) -> tuple[str, str, str]:
    """The tool's words, its codes, and the button that keeps them."""
    return reader.say("Its words"), reader.say("Its codes, with spaces between"), reader.say("Keep what it said")


def failed_kept(reader: Reader) -> str:
    return reader.say(
        "The attempt stays in the record. Then the set-up is read again, and the order planned from here."
    )


def causes_heading(reader: Reader) -> str:
    return reader.say("Why it may not finish, by the card")


def look_heading(reader: Reader) -> str:
    """Of a card that names no causes."""
    return reader.say("What the card asks for, to look at first")


def next_question(reader: Reader) -> str:
    return reader.say("What comes next?")


def next_over(words: str, codes: Sequence[str], reader: Reader) -> str:
    if codes:
        return reader.say("The tool said: {words} Codes: {codes}.", words=words, codes=tuple(codes))
    return reader.say("The tool said: {words}", words=words)


def next_choices(reader: Reader) -> tuple[tuple[str, str, str], ...]:
    return (
        ("again", reader.say("Try again"), reader.say("The set-up is read again first.")),
        ("send out", reader.say("Send it out"), reader.say("The step waits until it is back.")),
        ("wait", reader.say("Wait for a part"), reader.say("The step waits until the part is here.")),
    )


def waiting(kind: str, reader: Reader) -> tuple[str, str, str]:
    """A step that is sent out or waits: the question, the answer, the button."""
    question = reader.say("What does this step wait for?")
    if kind == "send out":
        return question, reader.say("It is sent out."), reader.say("It is back: go on")
    return question, reader.say("It waits for a part."), reader.say("The part is here: try again")


def photo_question(reader: Reader) -> str:
    return reader.say("Is there a photo of the set-up?")


def photo_words(reader: Reader) -> Mapping[str, str]:
    return {
        "take": reader.say("Take a photo"),
        "keep": reader.say("Keep this photo"),
        "none": reader.say("No photo: say why"),
        "why": reader.say("Why there is none"),
        "go": reader.say("Go on without a photo"),
        "told": reader.say("The target and the car as they stand, with the tape in view."),
        "refused": reader.say("The file that was chosen is no picture, or too large."),
    }


def sign_question(reader: Reader) -> str:
    return reader.say("Who measured this?")


def vouch(count: int, reader: Reader) -> str:
    return reader.say_n(
        "I read this {n} value at this car, and the scan tool said that the calibration finished.",
        "I read these {n} values at this car, and the scan tool said that the calibration finished.",
        count,
    )


def vouch_alone(reader: Reader) -> str:
    return reader.say("I did this step at this car, and the scan tool said that it finished.")


def sign_words(reader: Reader) -> Mapping[str, str]:
    return {
        "pin": reader.say("PIN"),
        "sign": reader.say("Sign and go on"),
        "who": reader.say("Who"),
        "erase": reader.say("take back one digit"),
        "nobody": reader.say("Choose who signs."),
    }
