"""Why a car can stand nowhere, or not as it was asked; what stands in view; what an answer leaves open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
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
