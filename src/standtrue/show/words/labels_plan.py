"""What the pictures of a plan say: the strip's scenes, the page that plays it, and floors of a column's width."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.model.order import OUTSIDE
from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

_COLUMNS: Mapping[str, str] = {
    "what": N_("What"),
    "after": N_("Starts"),
    "takes": N_("Takes"),
    "where": N_("Where"),
    "people": N_("People"),
    "why": N_("Why"),
}


def chart_title(plan: str, reader: Reader) -> str:
    """The title of the time chart."""
    return reader.say("When: {title}", title=plan)


def place_name(number: int, reader: Reader) -> str:
    """A place of the plan, or outside."""
    return reader.say("outside") if number == OUTSIDE else reader.say("place {number}", number=number)


def span(begins: str, takes: str, reader: Reader) -> str:
    """When some steps begin, and how long they take."""
    return reader.say("{begins}; takes {takes}", begins=begins, takes=takes)


def meanwhile(number: int, what: str, reader: Reader) -> str:
    """A step that others do while these are done."""
    return reader.say("At the same time: {number} {what}", number=number, what=what)


def scene_title(numbers: str, what: str, reader: Reader) -> str:
    """The title of one picture of the strip."""
    return reader.say("Step {numbers}: {what}", numbers=numbers, what=what)


def scene_why(because: str, reader: Reader) -> str:
    """Why a step is done so."""
    return reader.say("Why: {because}", because=because)


def car(reader: Reader) -> str:
    """The car where it stands."""
    return reader.say("the car")


def car_after_move(reader: Reader) -> str:
    """The car at the end of a move."""
    return reader.say("the car where the move ends")


def alternative(title: str, told: str, scale: int, reader: Reader) -> str:
    """What a picture shows, for those who do not see it."""
    return reader.say("{title}. {told} Scale 1 : {n}.", title=title, told=told, n=scale)


def misfit_caption(misfit: str, reader: Reader) -> str:
    """Under a picture on which what is in the way is dashed."""
    return reader.say("{misfit} (what is in the way is dashed)", misfit=misfit)


def invented_page(reader: Reader) -> str:
    """Over a page of the demonstration."""
    return reader.say("INVENTED DEMONSTRATION DATA: do not work on a real car by this page")


def played_floor(plan: str, reader: Reader) -> str:
    """The floor that is played, for those who do not see it."""
    return reader.say("The floor of the shop with the car. The steps in words follow below: {title}", title=plan)


def without_script(reader: Reader) -> str:
    """Where scripts are switched off."""
    return reader.say("The plan is played by a script, which is switched off here. Every step is told in words.")


def player(reader: Reader) -> str:
    """The player as a whole."""
    return reader.say("The plan, step by step")


def car_away(reader: Reader) -> str:
    """Where the car is not on the floor."""
    return reader.say("The car is not in the shop now.")


def buttons(reader: Reader) -> Mapping[str, str]:
    """The player's buttons."""
    return {"back": reader.say("Back"), "play": reader.say("Play"), "next": reader.say("Next")}


def play_and_pause(reader: Reader) -> Mapping[str, str]:
    """The two words of the button that plays."""
    return {"play": reader.say("Play"), "pause": reader.say("Pause")}


def near_button(reader: Reader) -> str:
    """The button that shows the part of the floor around the car."""
    return reader.say("Near the car")


def step(reader: Reader) -> str:
    """A step's number: the slider, and a column."""
    return reader.say("Step")


def steps_heading(reader: Reader) -> str:
    """Over the list of steps."""
    return reader.say("Steps")


def key_name(reader: Reader) -> str:
    """The list of what colors, hatches and lines mean."""
    return reader.say("What the picture shows")


def stands_heading(reader: Reader) -> str:
    """Over where the car stands for what."""
    return reader.say("Where the car stands")


def when_heading(reader: Reader) -> str:
    """Over the time chart."""
    return reader.say("When")


def numbers_note(reader: Reader) -> str:
    """How the chart and the table go together."""
    return reader.say("The numbers are those of the steps.")


def wide_chart(reader: Reader) -> str:
    """Where the window is narrower than the chart."""
    return reader.say("The chart is wider than this window: draw it sideways.")


def chart_name(reader: Reader) -> str:
    """The time chart, for those who do not see it."""
    return reader.say("Time chart")


def table_heading(reader: Reader) -> str:
    """Over the table of steps."""
    return reader.say("Every step in words")


def columns(reader: Reader) -> Mapping[str, str]:
    """What the table says of each step, beside its number: by the name that the style sheet has for it."""
    return {kind: reader.say(words) for kind, words in _COLUMNS.items()}


def undone_heading(reader: Reader) -> str:
    """Over the work that is not done in this shop."""
    return reader.say("Not done here")


def alternatives_heading(reader: Reader) -> str:
    """Over what else could be done."""
    return reader.say("Otherwise")
