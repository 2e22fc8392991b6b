"""The sentences of studies: what a room can do for a year's work, how large it must be, how far ahead it is free."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader


def _cars(all_named: str, one_more: str, more: str) -> Callable[[Reason, Reader], str]:
    """A sentence that names some cars: all of them, or the first few and how many more there are."""

    def said(reason: Reason, reader: Reader) -> str:
        values = dict(reason.values)
        count = values.pop("more")
        if not count or not isinstance(count, int):
            return reader.say(all_named, **values)
        return reader.say_n(one_more, more, count, **values)

    return said


SENTENCES: Mapping[str, str | Callable[[Reason, Reader], str]] = {
    "study-asks-no-level": N_(
        "level is not looked at: a study counts where cars fit, and these cards ask for level floor, too: {cards}"
    ),
    # What the shop can do.
    "no-equipment-entered": N_("no equipment entered"),
    "no-people-entered": N_("no people entered"),
    "no-door-entered": N_("no door entered"),
    "lacks-equipment": N_("the shop does not have {equipment}"),
    "lacks-skill": N_("nobody in the shop has the skill {skill}"),
    "lacks-people": N_("it takes {needed} people, and the shop has {listed}"),
    "get-equipment": N_("get {equipment}"),
    "get-skill": N_("have somebody learn the skill {skill}"),
    "get-people": N_("have {needed} people at once, not {listed}"),
    "no-way-found": N_("no way from a door to a place was found, and it is not proven that there is none"),
    "not-with-equipment-there": N_("it does not fit in the form for which the shop has the equipment"),
    "no-level-place": N_("no place was found whose floor is level enough by {survey}"),
    "level-not-told": N_("it cannot be told by {survey} whether the floor is level enough"),
    "driving-in": N_("driving in: {room}"),
    "driving-not-looked-at": N_("{room}: whether cars can be driven there, and what the shop has, was not looked at."),
    "ways-counted": N_(
        "{room}: every place counted can be driven to from a door and out again the same way; ways searched: "
        "{searched}, taken over from a larger car: {taken_over}."
    ),
    "band-of-estimates": N_(
        "{room}: the range of the share is what it came to with each of these off by twice its uncertainty: {fields}; "
        "it is no proof that it cannot be outside."
    ),
    # What a change takes.
    "takes-minutes": N_("a person and a few minutes"),
    "takes-closing": N_("a person and a few minutes, as often as it is wanted"),
    "takes-lift": N_("another lift, and days without this one"),
    "takes-building": N_("building work"),
    "ask-engineer-first": N_("ask an engineer first: it may carry the building"),
    "ask-supplier-first": N_("ask the supplier first: the floor must carry it, and their drawing governs"),
    "stopped-on": N_("{support}: {why}"),
    "part-too-near": N_("{part} comes too near {thing:the}"),
    # Progress.
    "asking-room": N_("{room}"),
    "trying-change": N_("changes: {change}"),
    "counting-places": N_("shared places in {room}"),
    "making-room-sheet": N_("sheet of {room}"),
    "finding-sizes": N_("least sizes"),
    "finding-distances": N_("greatest distances"),
    # Changes of a room.
    "move-out-of-room": N_("move {thing} out of the room"),
    "take-away": N_("take {thing} away"),
    "close-cover": N_("close {cover}"),
    "close-all-covers": N_("close all covers of {void}"),
    "lift-of-other-type": N_("lift {lift} of type {type}"),
    "wall-outward": N_("{wall} outward"),
    "wall-moved-outward": N_("{wall} outward by {out:up}"),
    # What an answer takes for granted.
    "order-done-if-placed": N_(
        "An order counts as done if every calibration that it calls for has a place in this room, on some support."
    ),
    "orders-weighed": N_("Orders are weighed by how often they come a year and by the cars' shares in the mix."),
    "placeless-work-done": N_("Drives on the road, scans and what needs no place are taken as done."),
    "conditional-counted": N_(
        "What an order calls for only on some cars, or only if something is found, is counted as called for."
    ),
    "conditional-left-out": N_(
        "What an order calls for only on some cars, or only if something is found, is left out."
    ),
    "gaps-kept": N_("{room}: {body} free about the body, {exit} beside one front door."),
    "other-lifts-in-place": N_("Another type of lift is tried at the same place and heading."),
    # Warnings and limits.
    "study-stopped": N_(
        "The study was stopped before its end: {counted} of {cars} cars of the mix count; rooms, changes and places "
        "may be missing."
    ),
    "orders-undecided": N_(
        "{room}: {orders} orders a year hang on questions within {within:up} of the limit: they count as not done."
    ),
    "order-event-unknown": N_(
        "No rule knows the event '{event}': it makes every sensor that it may have touched one to look at first."
    ),
    "orders-call-for-no-place": N_(
        "{orders} orders a year call for no calibration that needs a place: they are not counted."
    ),
    "dimensions-estimated": _cars(
        N_("Estimated, not measured, of {cars}: {fields}."),
        N_("Estimated, not measured, of {cars} and {n} more car: {fields}."),
        N_("Estimated, not measured, of {cars} and {n} more cars: {fields}."),
    ),
    "sensor-place-unknown-not-done": _cars(
        N_("{card} counts as not done for {cars}: the document does not say where the sensor is."),
        N_("{card} counts as not done for {cars} and {n} more car: the document does not say where the sensor is."),
        N_("{card} counts as not done for {cars} and {n} more cars: the document does not say where the sensor is."),
    ),
    "sensor-place-unknown-left-out": _cars(
        N_("{card} is left out for {cars}: the document does not say where the sensor is."),
        N_("{card} is left out for {cars} and {n} more car: the document does not say where the sensor is."),
        N_("{card} is left out for {cars} and {n} more cars: the document does not say where the sensor is."),
    ),
    "cars-without-cards": _cars(
        N_("Left out, for no card that needs a place is theirs: {cars}."),
        N_("Left out, for no card that needs a place is theirs: {cars} and {n} more car."),
        N_("Left out, for no card that needs a place is theirs: {cars} and {n} more cars."),
    ),
    "cards-ask-for-lift": N_(
        "No size is large enough for these cards: they ask for a lift, and no lift stands in the room. Give it with "
        "{option}: {cards}."
    ),
    "no-card-allows-supports": N_("No card allows what was asked for: {supports:or}."),
    "sizes-undecided": N_(
        "At some sizes within {within:up} of a least size it is not decided whether the car fits: told as not fitting."
    ),
    "sizes-stopped": N_("Stopped before its end: sizes told as large enough are, but smaller ones may be too."),
    "distances-undecided": N_(
        "At distances within {within:up} of the limit it is not always decided whether it fits: told as not fitting."
    ),
    "distances-stopped": N_("Stopped before its end: what is not known yet is said to be so."),
    # How rooms of every size are laid out, and by what the work is weighed.
    "room-is-rectangle": N_("A rectangular room with the gaps of {site}."),
    "room-without-ceiling": N_("It has no ceiling."),
    "room-ceiling": N_("Its ceiling is {height} above the floor."),
    "walls-are-metal": N_("Its walls count as metal."),
    "walls-are-no-metal": N_("Its walls do not count as metal."),
    "nothing-stands-in-room": N_("Nothing stands in it."),
    "lift-stands-centered": N_(
        "Only the lift {lift} stands in it, with its middle on the room's middle line, along its length, centered "
        "between the end walls."
    ),
    "lift-stands-by-front-wall": N_(
        "Only the lift {lift} stands in it, with its middle on the room's middle line, along its length, its front end "
        "{from_wall} from the wall that it faces, as today."
    ),
    "lift-stands-by-rear-wall": N_(
        "Only the lift {lift} stands in it, with its middle on the room's middle line, along its length, its rear end "
        "{from_wall} from the wall behind it, as today."
    ),
    "doors-stay-shut": N_("Doors stay shut."),
    "work-of-study": N_(
        "Work: the repair orders of the study “{study}”, car mix “{mix}”; a size covers an order if every calibration "
        "that it calls for has a place."
    ),
    "work-of-mix": N_("Work: the car mix “{mix}”, the share of each car spread evenly over its cards."),
    "work-of-cars": N_("Work: the cars, the share of each spread evenly over its cards."),
    # What cannot be asked.
    "no-card-to-weigh": N_("no car of these has a card that needs a place"),
    "add-cards-or-other-cars": N_("add cards for them, or name other cars"),
    "order-names-no-card": N_("the folder holds no procedure named {card}"),
    "name-card-of-folder": N_("name a card of this folder"),
    "no-such-size": N_("no such size is looked at"),
    "name-length-between": N_("name a length above {above:up} and up to {most:down}"),
    "file-of-unknown-kind": N_("no file of this kind is written"),
    "let-it-end-in": N_("let it end in {endings:or}"),
    "parquet-not-installed": N_("the part that writes Parquet is not installed"),
    "install-or-csv": N_("install {extra}, or let the file end in .csv"),
    # What distances mean.
    "distances-to-equipment": N_(
        "Distances are from the car's body to the origin of {equipment:the}, straight out from the middle of the "
        "bumper, or of the wheelbase; the way to it, {wide} wide and {high} high, is clear, and the floor under it can "
        "bear a stand."
    ),
    "distances-to-square": N_(
        "Distances are from the car's body to the middle of a target {side} square, straight out from the middle of "
        "the bumper, or of the wheelbase; the way to it, {wide} wide and {high} high, is clear, and the floor under it "
        "can bear a stand."
    ),
}
