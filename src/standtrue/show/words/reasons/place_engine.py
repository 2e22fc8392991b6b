"""Why a car can stand nowhere, or not as it was asked; what stands in view; what an answer leaves open."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from standtrue.model.reason import Angle
from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from collections.abc import Callable

    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences

ELSEWHERE_RAD = math.radians(0.05)
"""A turn below this reads as none."""


def _stands(sentence: str) -> Callable[[Reason, Reader], str]:
    """How the car stands, what that lacks of the room wanted, and what the roomiest place would gain."""

    def said(reason: Reason, reader: Reader) -> str:
        values = dict(reason.values)
        how = reader.say(sentence, **values)
        if "lacks" in values:
            lacks, room = values["lacks"], values["room"]
            how = reader.say("{how}, {lacks:up} less than the {room} of room wanted", how=how, lacks=lacks, room=room)
        if "roomiest" not in values:
            return how
        turn, most = values["turn"], values["roomiest"]
        assert isinstance(turn, Angle)
        if turn.radians < ELSEWHERE_RAD:
            return reader.say("{how}; elsewhere it would have {most:down}", how=how, most=most)
        return reader.say("{how}; turned {turn} it would have {most:down}", how=how, turn=turn, most=most)

    return said


SENTENCES: Sentences = {
    "stands-parallel": _stands(N_("parallel to {to:the}, {spare:down} to spare")),
    "stands-square": _stands(N_("square to {to:the}, as nothing parallel fits, {spare:down} to spare")),
    "stands-askew": _stands(N_("askew by {off:fine}, as nothing parallel to {to:the} fits, {spare:down} to spare")),
    "seen-at-stance": N_("{card} ({support}): {seen}"),
    "not-considered": N_("not considered: {what}"),
    "ruled-out": N_("{carrier}: {why}"),
    "search-limit-reached": N_("the search reached its limit: the bound holds, but a better stance may exist below it"),
    "lift-points-out-of-reach": N_("at no place do its arms reach every lift point"),
    "wheels-off-plates": N_("at no place does every wheel stand on its plates"),
    "wheels-must-hang": N_("the card asks for hanging wheels"),
    "no-plates-at-floor-level": N_("the card asks for wheels on plates, and there are none at floor level"),
    "no-height-for-card": N_("no height of its decks, or no lock, lies within what the card asks"),
    "no-lift-for-support": N_('the site has no lift that can carry the car as "{support}"'),
    "wheelbase-outside-lift": N_("the wheelbase of {wheelbase} is outside its {least} to {most}"),
    "lift-without-jacks": N_("the card asks for hanging wheels, and it has no jacks"),
    "wheels-hang-on-arms": N_("the card asks for wheels that carry the car, and on its arms they hang"),
    "no-lift-points": N_("the document of {vehicle} names no lift points for its arms"),
    "too-few-arms": N_("it has {arms} arms for the {points} lift points of {vehicle}"),
    "lift-without-plates": N_("the card asks for wheels on plates, and it has none"),
    "too-high-for-ceiling": N_(
        "{part} reaches {top:up} above the floor and the ceiling is at {ceiling:down}: {over:up} too high"
    ),
    "target-out-of-reach": N_("{target} must be {height} above the floor; {equipment} holds it from {least} to {most}"),
    "closed-bay-edges": N_("closed bay edges: no bay was asked for, so the car was allowed anywhere on the floor"),
    "equipment-not-listed": N_("the body of {equipment}: the site lists no such equipment"),
    "equipment-without-footprint": N_("the body of {equipment}: its document gives no footprint"),
    "stands-in-plain-zone": N_("{thing} stands in {zone}, which should be plain"),
    "stands-wrong-way-round": N_("the car stands the wrong way round on it"),
    "no-form-for-support": N_("the card has no form for it"),
    "support-not-allowed": N_("{card} allows only {supports:or}"),
    "not-on": N_("{part}: not on {thing}"),
    "sensor-position-missing": N_("the card {card} measures from the {sensor}, but the car does not say where that is"),
    "add-sensor-position": N_(
        'add a [[sensors]] entry with kind = "{kind}" and at = [x, y, z] to the vehicle {vehicle}'
    ),
}
