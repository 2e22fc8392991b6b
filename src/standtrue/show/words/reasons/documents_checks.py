"""What must hold between fields and between documents, and how the sizes that a car lacks are estimated."""

from __future__ import annotations

from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_
from standtrue.show.words.reasons.documents import either

if TYPE_CHECKING:
    from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    # Names and references
    "name-stands-already": N_("the name stands at {list}[{index}] already"),
    "stands-already": N_("it stands at {list}[{index}] already"),
    "give-own-name": N_("Give each one a name of its own."),
    "name-taken": N_("{file} holds a {kind} of this name already"),
    "give-another-name": N_("Give one of the two another name."),
    "no-document-of-that-name": N_("no {kind} of that name is in the folder"),
    "folder-empty": N_("the folder holds no documents"),
    "decision-on-no-card": N_(
        "job {job}: the decision on {procedure} names no card of this folder, and no sensor in words"
    ),
    # Writing documents
    "file-there-already": N_("a file is there already; nothing was written"),
    "file-there-differs": N_("a file is there already and differs from the demonstration; nothing was written"),
    "file-there-is-no-file": N_("something is there already that is no file; nothing was written"),
    "path-is-no-folder": N_("this is no folder; nothing was written"),
    "folder-unwritable": N_("nothing can be written there: {why}"),
    "name-new-folder": N_("Name a new folder, or one that you may write to."),
    # Sites and lifts
    "top-not-above-bottom": N_("the top is not above the bottom"),
    "write-lower-as-bottom": N_("Write heights above the floor, the lower one as bottom."),
    "deck-height-missing": N_("the height of the decks is missing"),
    "write-deck-height": N_("Write deck_height = 0 where the decks lie at floor level."),
    "rises-without-deck-height": N_("a part rises with the decks, and their height is missing"),
    "write-deck-heights": N_("Write deck_height = [lowest, highest], or leave rises out."),
    "axle-capacity-above-whole": N_("an axle's capacity is above the whole lift's"),
    "look-whether-exchanged": N_("Look whether the two are exchanged."),
    "lift-without-type-or-states": N_("neither a type nor the lift's own states are given"),
    "name-lift-type-or-write-fields": N_("Name a lift document as type, or write the lift's fields here."),
    "lift-with-type-and-fields": N_("a type is given, and fields of its own too"),
    "keep-type-or-fields": N_("Keep the type, or write all the lift's fields here."),
    "no-such-edge": N_("the outline has {count} edges, counted from 0"),
    "write-edge-number": N_("Write 0 to {most}: edge i runs from point i to the next."),
    "edge-listed-already": N_("this edge is listed already"),
    "list-once": N_("List each edge once."),
    "level-over-nothing-known": N_("the card has no zone {name}, and no wheel is called so"),
    "no-cover-of-that-name": N_("no cover of this void has that name"),
    "list-cover-first": N_("List the cover under covers first."),
    "cover-beside-void": N_("the cover does not lie over its void"),
    "give-outline-in-site-frame": N_("Give its outline in the site frame, in this document's units."),
    "most-things-outside-floor": N_("most things lie wholly outside it: {names}"),
    "look-at-outline-and-units": N_("Look at the outline, and at units."),
    "no-such-support": N_("the site has no lift of that name in that state"),
    "no-lift-of-that-name": N_("no lift of the site has that name"),
    "stored-without-footprint": N_("a place to store it is given, but no footprint"),
    "give-footprint": N_("Give its footprint, or store as an outline."),
    "thing-outside-floor": N_("it lies wholly outside the floor"),
    "lift-outside-floor": N_("the lift stands wholly outside the floor"),
    "give-place-in-site-frame": N_("Give its place in the site frame, in this document's units."),
    "door-without-width": N_("the door has no width"),
    "give-two-points": N_("Give two different points on the outline."),
    "point-off-outline": N_("the point is not on the outline of the site"),
    "give-point-on-wall": N_("Give a point on the wall, to {within}."),
    "door-leaves-outline": N_("the door leaves the outline between its ends"),
    "give-ends-on-one-wall": N_("Give both ends on one straight wall."),
    # Vehicles
    "wheelbase-not-below-length": N_("the wheelbase is not below the length"),
    "overhang-beyond-car": N_("the wheelbase and the front overhang are longer than the car"),
    "car-wider-than-long": N_("the car is wider than it is long"),
    "mirrors-within-body": N_("the width over mirrors is below the width"),
    "car-below-clearance": N_("the car is no higher than its ground clearance"),
    "track-not-below-width": N_("the track (between the tires' centers) is not below the width"),
    "tires-as-wide-as-car": N_("two tires are as wide as the car"),
    "tires-above-wheelbase": N_("the tires are larger than the wheelbase"),
    "circle-too-small": N_("no car of this wheelbase turns in so small a circle (write its diameter)"),
    "wall-circle-not-above-kerb": N_("the circle from wall to wall is not above the one from curb to curb"),
    "outline-against-sizes": N_("the body's outline is not that of the car: {differs}"),
    "outline-of-other-length": N_("the outline is {outline} long, the length is {length}"),
    "outline-of-other-width": N_("the outline is {outline} wide, the width is {width}"),
    "outline-of-other-front": N_(
        "the outline ends {outline} ahead of the front axle, the front overhang is {overhang}"
    ),
    "outline-off-centerline": N_("the outline's middle is {off:up} off the centerline"),
    "wheel-outside-outline": N_("{wheel:the} is {off:up} outside the outline"),
    "outline-and-sizes": N_(
        "Measure again: the outline and the other dimensions agree within {within}. It starts at the rear axle's "
        "center, x forward and y to the left."
    ),
    "no-car-of-that-size": N_("no car has a {field} of {value}"),
    "measure-again": N_("Measure again, and look whether each value and `units` are right."),
    "look-at-value-and-units": N_("Look whether the value and `units` are right."),
    # Cards and jobs
    "turned-away-from-sensor": N_("only what is anchored at the sensor can turn with it"),
    "anchor-at-sensor": N_('Write anchor = "sensor", or leave turned out.'),
    "method-without-drive": N_("the method has no drive in it"),
    "write-method-with-drive": N_("Write a method with drive in it, or leave this out."),
    "low-above-high": N_("low is above high"),
    "write-lower-as-low": N_("Write the lower one as low."),
    "units-differ": N_("low and high have different units"),
    "write-both-in-one-unit": N_("Write both in one unit."),
    "no-step-of-that-name": N_("no work, card, sensor, stage, event or fact is called so"),
    "name-a-step": either(
        "near",
        N_("Did you mean {near}?"),
        N_("Name a work of the order, a card, a sensor or a stage that is there, or take it out."),
    ),
    "no-equipment-of-that-name": N_("no equipment of the site has that name, and none is of that kind"),
    "name-equipment": either(
        "near",
        N_("Did you mean {near}?"),
        N_("Add it to the equipment of the site, or name some that is there."),
    ),
    "wait-without-blocks": N_("something must cure or dry, and nothing says what must not be done meanwhile"),
    "write-what-it-blocks": N_('Write blocks = "drive", "lift" or "all".'),
    "sent-out-names-nothing": N_("it names neither cards nor work"),
    "name-cards-or-work": N_("Name cards under `procedures`, or work or stages under `work`."),
    "work-after-itself": N_("the work comes after itself"),
    "leave-own-name-out": N_("Leave its own name out."),
    "neither-yes-nor-no": N_("neither yes nor no nor the name of a work of this job"),
    "write-yes-no-or-work": N_('Write "yes", "no", or the work\'s name.'),
    "decision-without-one-verdict": N_("a decision is either to keep or to drop"),
    "decision-names-both": N_("a decision is on a card or a sensor, or on an event: not on both"),
    "decision-names-neither": N_("a decision must say what it is on"),
    "name-card-sensor-or-event": N_(
        'Write procedure = "..." for a card or a sensor in words, or event = "..." for an event of this order.'
    ),
    "decision-on-event-not-on-order": N_("this order has no such event"),
    "write-verdict": N_('Write verdict = "keep" or verdict = "drop".'),
    "sensor-listed-as-fitted-too": N_("the sensor is listed as fitted too"),
    "keep-in-one-list": N_("Keep it in one of the lists."),
    # Mixes and studies
    "shares-add-up-to-nothing": N_("the shares add up to nothing"),
    "write-shares": N_("Write each car's share of the work."),
    "order-told-by-events-or-procedures": N_("a repair order is told either by its events or by its procedures"),
    "write-events-or-procedures": N_("Write events = [...] or procedures = [...]."),
    "no-order-comes": N_("no order ever comes"),
    "write-orders-a-year": N_("Write how many of each come a year: per_year."),
    "bay-of-no-site": N_("the bay's site is not among the sites"),
    "write-site-and-bay": N_('Write "SITE/BAY", and the site in sites.'),
    # Surveys and set-ups
    "same-place-as": N_("points[{index}] has the same place"),
    "u-missing": N_("the standard uncertainty is missing"),
    "give-u-or-heights-instrument": N_(
        "Write how well one height is known, {example}, or name an instrument of the site that reads heights: "
        "{instruments}."
    ),
    "height-missing": N_("the point has no height, and no leveling loop passes it"),
    "give-height-or-loop": N_("Write its height, or name it in the rows of a loop."),
    "loop-begins-with-back": N_("a loop begins with a backsight alone"),
    "loop-ends-with-fore": N_("a loop ends with a foresight alone"),
    "row-lacks-fore": N_("every row between the first and the last has a foresight"),
    "loop-not-closed": N_("the loop begins at {first} and ends at {last}"),
    "level-back-to-start": N_("Level back to where the loop began: only then does it tell of a misreading."),
    "loop-tied-to-nothing": N_("the loop over {points} is tied to no other height of the survey"),
    "pass-a-point-with-height": N_("Let a loop pass a point that has a height, or a point of another loop."),
    "u-in-another-unit": N_("the uncertainty is in a unit of another quantity than the value"),
    "write-u-in-the-unit-of-the-value": N_("Write it in the unit of the value."),
    "u-of-another-kind": N_(
        "the uncertainty is of another kind than the value: an angle for an angle, a length for a length"
    ),
    "give-u-or-aligner": N_(
        'Give the reading its u, or list the aligner among the site\'s instruments with what = "wheel alignment".'
    ),
    "alignment-lacks-value": N_("the reading has neither a value nor a sweep"),
    "alignment-is-an-angle": N_("{reading} is an angle"),
    "toe-in-which-unit": N_("with a diameter it must be said whether the toe is a length or an angle"),
    "toe-over-what": N_("a toe read as a length needs the diameter over which it was read"),
    "toe-longer-than-rim": N_("a toe is shorter than the diameter over which it was read"),
    "sweep-is-for-caster": N_("a sweep tells caster"),
    "steer-beyond": N_("the steer angle of a sweep lies between 0 and 25 degrees"),
    "give-u-or-instrument": N_('Give the reading its u, or add an instrument with what = "{what}".'),
    "instrument-incomplete": N_("an instrument needs what it reads and its standard uncertainty"),
    "name-or-describe-instrument": N_("Write what and u, or only the name of an instrument of the site."),
    "no-instrument-of-that-name": N_("there is no instrument of that name"),
    "list-instrument-at-site": N_("List it in the site under [[instruments]]."),
    "field-unknown": N_("no dimension is called so"),
    "point-lacks-length": N_("readings are taken at a {point}, and nobody says how long it is"),
    "what-readings-go-between": N_(
        "A distance goes from one point to one; an offset from a line to one; an angle from a line to a line."
    ),
    "reading-starts-wrong": N_("this is not what {what} starts from"),
    "reading-ends-wrong": N_("this is not what {what} ends at"),
    "reading-is": N_("{what} is {kind}"),
    "u-not-above-zero": N_("a standard uncertainty must be above zero"),
    "write-how-well-read": N_("Write how well it can be read."),
    # Estimates
    "width-and": N_("width + {more}"),
    "as-a-rule": N_("{value}"),
    "share-of-overhangs": N_("{factor} x (length - wheelbase); the rear overhang is what remains"),
    "share-of-width": N_("{factor} x width"),
    "circle-by-wheelbase": N_("{factor} x wheelbase + {more}, curb to curb; not where turning_circle_wall is given"),
    "common-practice": N_("common practice, no source"),
    "fit-to-cars": N_(
        "least-squares fit to the open Cars93 data (n = {cars}, US cars of {year}; residual sd {spread}, "
        "r {correlation})"
    ),
}
