"""What the picture of a move says: titles, headings, the way and the cars on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from standtrue.drive.question.answer import Gear
from standtrue.model.reason import Length
from standtrue.show.words.labels import Fact, MeaningAndLabel
from standtrue.show.words.labels_whole import from_here
from standtrue.show.words.reader import Reader


def move_title(car: str, site: str, reader: Reader) -> str:
    """The title of a move."""
    return reader.say("How {car} gets there – {site}", car=car, site=site)


def way_heading(start: str, reader: Reader) -> str:
    """Over the legs of the way to a stance."""
    return reader.say("The way there from {start}", start=start) if start else reader.say("The way there")


def open_doors(doors: Sequence[str], reader: Reader) -> Iterable[Fact]:
    """The doors that must stand open."""
    return ((reader.say("Open"), reader.all_of(doors)),) if doors else ()


def end_words(reader: Reader) -> tuple[str, str]:
    """What the two ends of a move are called in its head."""
    return reader.say("From"), reader.say("To")


def barriers_heading(reader: Reader) -> str:
    """Over what is in the way."""
    return reader.say("In the way")


def legs_heading(reader: Reader) -> str:
    """Over the legs of a move."""
    return reader.say("One after another")


def no_way(reader: Reader) -> str:
    """What stands large on the picture of a move that was not found."""
    return reader.say("NO WAY FOUND")


def start_car(reader: Reader) -> MeaningAndLabel:
    """The car at the start."""
    return reader.say("the car where it starts"), from_here(reader)


def wanted_car(reader: Reader) -> str:
    """The car at the end that is asked for."""
    return reader.say("the car where it should end")


def end_axles(reader: Reader) -> tuple[str, str]:
    """The rear and front axles' centers at the end, to lay out."""
    return reader.say("rear axle center at the end"), reader.say("front axle center at the end")


def turn_measure(number: int, reader: Reader) -> str:
    """Where a car turns back, to lay out."""
    return reader.say("change of direction {number}", number=number)


def turn_spot(tag: str, reader: Reader) -> str:
    """The point where it turns back."""
    return reader.say("change of direction {tag}: the rear axle's center there", tag=tag)


def steer_measure(reader: Reader) -> str:
    """Where the wheel is turned while the car goes on, to lay out."""
    return reader.say("turn the wheel")


def steer_spot(tag: str, reader: Reader) -> str:
    """The point where the wheel is turned."""
    return reader.say("{tag}, where the wheel is turned: the rear axle's center there", tag=tag)


def drawn_near(window: tuple[float, float, float, float], reader: Reader) -> str:
    """That only the part about the move is drawn, and which that is."""
    x0, y0, x1, y1 = window
    return reader.say(
        "Only the floor about the move is drawn: from {left} to {right} along the datum's direction, and from {low} to "
        "{high} across it.",
        left=Length(x0),
        right=Length(x1),
        low=Length(y0),
        high=Length(y1),
    )


def swept(reader: Reader) -> str:
    """What the car sweeps."""
    return reader.say("what the car's body and mirrors pass over")


def stretch(gear: Gear, reader: Reader) -> str:
    """A stretch of the way in one gear."""
    match gear:
        case "forward":
            return reader.say("way of the rear axle's center, forward")
        case "reverse":
            return reader.say("way of the rear axle's center, in reverse")
        case "slide":
            return reader.say("way of the rear axle's center, sliding on skates")
        case "turn":
            return reader.say("way of the rear axle's center, turning on skates")
