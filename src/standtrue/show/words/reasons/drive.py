"""Why there is no way for a car, and what a way that was found assumes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.model.reason import Length
from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader

_OVERLAPS = {
    ("start", True): N_("At the start the {part} overlaps {thing}; {gap} must stay free."),
    ("start", False): N_("At the start the {part} overlaps {thing}."),
    ("goal", True): N_("At the goal the {part} overlaps {thing}; {gap} must stay free."),
    ("goal", False): N_("At the goal the {part} overlaps {thing}."),
}

_TOO_NEAR = {
    "start": N_("At the start the {part} is {apart:down} from {thing}; {gap} must stay free."),
    "goal": N_("At the goal the {part} is {apart:down} from {thing}; {gap} must stay free."),
}


def _overlaps(reason: Reason, reader: Reader) -> str:
    gap = reason["gap"]
    asked = isinstance(gap, Length) and gap.metres > 0.0
    return reader.say(_OVERLAPS[str(reason["end"]), asked], **dict(reason.values))


def _too_near(reason: Reason, reader: Reader) -> str:
    return reader.say(_TOO_NEAR[str(reason["end"])], **dict(reason.values))


_TOO_NARROW = {
    "body": N_("{door} is {short:up} too narrow on each side for the body; {gap} must stay free."),
    "mirrors": N_("{door} is {short:up} too narrow on each side for the mirrors; {gap} must stay free."),
}


def _too_narrow(reason: Reason, reader: Reader) -> str:
    return reader.say(_TOO_NARROW[str(reason["part"])], **dict(reason.values))


SENTENCES = {
    "way-door-too-narrow": _too_narrow,
    "cover-overloaded": N_("{cover} carries {load:down}; wheels would put up to {most:up} on it at once."),
    "cover-load-unknown": N_("Wheels come onto {cover}, and what it carries is not entered: find that out first."),
    "cover-mass-unknown": N_("Wheels come onto {cover}, and the mass of {vehicle} is not entered: it may be too much."),
    "cover-share-unknown": N_(
        "Wheels come onto {cover}, and the front axle's share of the mass of {vehicle} is not entered: "
        "it may be too much."
    ),
    "cover-kept-off": N_("{cover} carries {load:down}: wheels that would put {most:up} on it at once are kept off."),
    "way-rolls-over": N_("The wheels roll over {things}, up to {most} high; on this site they roll over {limit}."),
    "apron-assumed": N_(
        "No apron is entered outside {door}: floor as wide as the door and {deep} deep is assumed there, and nothing "
        "is proven by it."
    ),
    "apron-prolonged": N_(
        "The apron outside {door} does not hold the car: floor as wide as the car with its gaps and {deep} deep is "
        "assumed before the door, and nothing is proven by it."
    ),
    "way-under-ceiling": N_("The car is {over:up} higher than the ceiling."),
    "way-under-lintel": N_("{thing} bars the way: the car is {over:up} higher than the door."),
    "way-without-turning-circle": N_("The car's turning circle is missing, or less than its own wheelbase allows."),
    "way-between-lift-states": N_("{lift} cannot stand in two states at once."),
    "way-onto-raised-lift": N_("{lift} cannot be driven on or off in its state {state}."),
    "way-end-overlaps": _overlaps,
    "way-end-too-near": _too_near,
    "way-heading-barred": N_("The car cannot turn past heading {heading}: there it lacks {short:up} on each side."),
    "way-barred": N_("{things} bars the way: past it the car needs at most {short:up} more room on each side."),
    "way-barred-unmeasured": N_("{things} bars the way: past it the car needs more room than can be told."),
    "way-too-narrow": N_("To get past {things} the car needs at most {short:up} more room on each side."),
    "way-too-narrow-unmeasured": N_("To get past {things} the car needs more room than can be told."),
    "turning-circle-estimated": N_("The car's turning circle is estimated: measure it before relying on a tight move."),
    "skates-proposed": N_(
        "With {shunts} changes of direction, skates may be quicker: from {asked} on they are proposed."
    ),
    "way-search-stopped": N_("The search for a way was stopped: a longer one might find a way."),
    "searching-finer": N_("a finer search for a way"),
    "way-to-be-found": N_("the way to {stance}"),
}
