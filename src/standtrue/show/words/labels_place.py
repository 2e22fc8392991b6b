"""What the picture of a stance says: titles, headings, and the car with all that it claims."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from standtrue.model.basics import Layer
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground
from standtrue.model.reason import Angle, Length, Ref
from standtrue.show.words.catalog import N_
from standtrue.show.words.labels import Fact, MeaningAndLabel
from standtrue.show.words.reader import Reader

_NEEDS: Mapping[Layer, str] = {
    "stand": N_("zone {zone}, needs stand: solid, level floor with nothing on it, {low} to {high} above the floor"),
    "walk": N_("zone {zone}, needs walk: solid floor with nothing on it, {low} to {high} above the floor"),
    "clear": N_("zone {zone}, needs clear: nothing in it, {low} to {high} above the floor"),
    "metal-free": N_("zone {zone}, needs metal-free: no metal in it, {low} to {high} above the floor"),
    "plain": N_(
        "zone {zone}, needs plain: nothing patterned, shiny or moving in view, {low} to {high} above the floor"
    ),
}


def floor_title(site: str, reader: Reader) -> str:
    """The title of a floor alone."""
    return reader.say("Floor plan of {site}", site=site)


def stance_title(car: str, card: str, reader: Reader) -> str:
    """The title of a stance."""
    return reader.say("Where {car} stands for {card}", car=car, card=card)


def answer_title(card: str, car: str, site: str, reader: Reader) -> str:
    """The title of one answer of several."""
    return reader.say("{card} – {car} – {site}", card=card, car=car, site=site)


def lift_facts(ground: Ground, reader: Reader) -> Iterable[Fact]:
    """The state of every lift."""
    states = [reader.say("{lift}: {state}", lift=name, state=on.state) for name, on in ground.settings]
    return ((reader.say("Lifts"), ", ".join(states)),) if states else ()


def nearest_miss(reader: Reader) -> str:
    """Why a car is drawn that does not fit."""
    return reader.say("The car is drawn at the nearest miss, for the picture only.")


def misfit(fits: Fits, shown: bool, reader: Reader) -> str:
    """What stands large on a picture of what does not fit; nothing on one of what does."""
    if fits is Fits.YES:
        return ""
    if fits is Fits.NO:
        return reader.say("NEAREST MISS – DOES NOT FIT") if shown else reader.say("DOES NOT FIT")
    return reader.say("NEAREST MISS – CANNOT TELL") if shown else reader.say("CANNOT TELL")


def stops_heading(reader: Reader) -> str:
    """Over what stands against an answer."""
    return reader.say("What stops it")


def touches_heading(reader: Reader) -> str:
    """Over what an answer touches first."""
    return reader.say("What it touches first")


def in_view_heading(reader: Reader) -> str:
    """Over what a sensor sees."""
    return reader.say("In view")


def turned(turn_rad: float, reader: Reader) -> str:
    """How a plan lies whose datum's direction is not the site's own."""
    return reader.say(
        "The plan is turned so that the datum's direction ({turn} in the site's own frame) points "
        "right; right, up and every direction are meant from it",
        turn=Angle(turn_rad),
    )


def region(heading_rad: float, several: bool, reader: Reader) -> MeaningAndLabel:
    """Where the rear axle's center may be at one heading; named only where there are several."""
    heading = Angle(heading_rad)
    words = reader.say("where the rear axle center may be when the car faces {heading}", heading=heading)
    return words, reader.say("rear axle center may be here at {heading}", heading=heading) if several else ""


_SHORT: Mapping[Layer, str] = {
    "stand": N_("{zone}: solid, level, empty"),
    "walk": N_("{zone}: walkable"),
    "clear": N_("{zone}: empty"),
    "metal-free": N_("{zone}: no metal"),
    "plain": N_("{zone}: plain"),
}


def zone(ref: Ref, needs: Layer, bottom_m: float, top_m: float, reader: Reader) -> MeaningAndLabel:
    """A zone of a card and what it needs."""
    words = reader.say(_NEEDS[needs], zone=ref, low=Length(bottom_m), high=Length(top_m))
    return words, reader.say(_SHORT[needs], zone=ref)


def person(reader: Reader) -> str:
    """Room that people need."""
    return reader.say("room for a person round the raised car")


def getting_out(reader: Reader) -> str:
    """Room in front of a door of the car."""
    return reader.say("room to get out by one front door")


def centerline(reader: Reader) -> str:
    """The line along the car."""
    return reader.say("centerline of the car; the thrust line is planned along it")


def facing(turn_rad: float, reader: Reader) -> MeaningAndLabel:
    """The way the car faces, from the datum's direction."""
    turn = Angle(turn_rad)
    return reader.say("the car faces {turn}", turn=turn), reader.say("faces {turn}", turn=turn)


def reference(reader: Reader) -> str:
    """The datum's direction, drawn at the car."""
    return reader.say("the datum's direction, from which the car's is measured")


def target_position(target: str, number: int, reader: Reader) -> str:
    """One position of a target that has several."""
    return reader.say("{target} (position {n})", target=target, n=number)


def first_touch(pair: str, reader: Reader) -> str:
    """A pair that touches first."""
    return reader.say("first touch: {pair}", pair=pair)
