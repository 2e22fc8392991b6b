"""What is printed on every sheet: headings, heads of tables, what to do. The templates have no word of their own."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.catalog import N_
from standtrue.show.words.reader import Reader

ALL: Mapping[str, str] = {
    "page": N_("page {page} of {pages}"),
    "lacking": N_("{sign} stands for a character that the font of this sheet does not have."),
    "banner": N_("INVENTED DEMONSTRATION DATA: do not work on a real car by this sheet"),
    "standing": N_(
        "The vehicle maker's current service information and local codes govern. "
        "This sheet does not say that any vehicle is safe."
    ),
    "sources": N_("Where the cards came from"),
    "made-from": N_("Made from"),
    "cautions": N_("Cautions"),
}
"""On every sheet."""

JOB: Mapping[str, str] = {
    **ALL,
    "found": N_("What was found"),
    "needs": N_("What must be calibrated, and why"),
    "no-needs": N_("Nothing of what was done calls for a calibration, by the rules used here."),
    "calibrate": N_("Calibrate"),
    "why": N_("Why"),
    "order": N_("What comes first: the order of work"),
    "number": N_("No."),
    "step": N_("Step"),
    "stage": N_("Stage"),
    "done-by": N_("Done by"),
    "on-page": N_("p. {page}"),
    "with": N_("with: {equipment}"),
    "where": N_("Where"),
    "people": N_("People"),
    "starts": N_("Starts after (h:min)"),
    "takes": N_("Takes"),
    "true-time": N_("True time"),
    "see": N_("See"),
    "left-out-why": N_("Not done here, and why"),
    "order-of-work": N_("Order of work"),
    "otherwise": N_("What else could be done"),
    "another-way": N_("Another way"),
    "moves": N_("Moves"),
    "left-out": N_("Left out"),
    "on-the-plan": N_("On the plan: {names}"),
    "floor": N_("The floor, step by step"),
    "chart": N_("When each step runs"),
    "chart-note": N_(
        "Time at the midpoint of every range. Short steps are drawn wider than they are long; the clock says when."
    ),
    "limits": N_("Wheel alignment: the calibrations wait for it"),
    "limits-note": N_("No calibration starts before every limit of the car was measured and is in tolerance."),
    "limit": N_("Limit"),
    "from-to": N_("From, to"),
    "on-the-order": N_("On the order"),
    "before": N_("Read before"),
    "after": N_("Read after"),
    "how-to": N_("How to lay out"),
    "how-to-wheels": N_(
        "On the floor, tape the four wheel centers from the datum and the marks, and prove them square. Snap a chalk "
        "line through the middles of the axles and prolong it past the targets. A laser line along it serves as well."
    ),
    "how-to-car": N_(
        "Bring the car onto the marks. Drop the plumb bob from each wheel hub, and write down what you read: the car "
        "need not stand on the marks exactly, but you must know where it stands."
    ),
    "how-to-targets": N_(
        "For each target, chalk a line under its face. Tape from both rear hubs, plumbed down, to both ends of it: the "
        "two straight ones, and the two crossing ones, prove it square. Then set its height."
    ),
    "how-to-read": N_(
        '"On the floor" is taped between the points plumbed down, "straight" from point to point. Left and right of a '
        "target are as you look at its printed side. Directions count counter-clockwise from the datum's."
    ),
    "how-to-type": N_(
        "Type what you read into the set-up. {command} says what to shift, or that it is in tolerance, and how sure "
        "that is."
    ),
    "before-it-starts": N_("Before it starts"),
    "condition": N_("Condition"),
    "allowed": N_("The card allows"),
    "found-value": N_("Found"),
    "targets": N_("Where the targets go"),
    "target": N_("Target"),
    "center": N_("Center, from the datum"),
    "height": N_("Height"),
    "faces": N_("Faces"),
    "from-the": N_("From the"),
    "tolerance": N_("Tolerance"),
    "to-lay-out": N_("To lay out {target}"),
    "from": N_("From"),
    "to": N_("To"),
    "on-the-floor": N_("On the floor"),
    "straight": N_("Straight"),
    "read": N_("Read"),
    "paths": N_("Paths of moved targets"),
    "point": N_("Point"),
    "from-the-datum": N_("From the datum"),
    "readings": N_("Readings to take (set-up {setup})"),
    "reading": N_("Reading"),
    "as-planned": N_("If all is as planned"),
    "known-to": N_("Known to (u)"),
    "serves": N_("For:"),
    "plan-of-it": N_("The plan of it: {page}."),
    "does-not-fit": N_("The car does not fit here. Choose another place before you go on."),
    "door-open": N_("{door} must stand open."),
    "wheels": N_("Where the wheels go"),
    "wheels-as": N_("As at stance {stance}, {page}."),
    "wheel-center": N_("Wheel center"),
    "on-plan": N_("On the plan"),
    "elsewhere": N_("Without a place in the shop"),
    "card": N_("Card"),
    "asks": N_("What it asks"),
    "done-or-by": N_("Done, by"),
    "nowhere": N_("What does not fit in this shop"),
    "sign-off": N_("Sign-off"),
    "done": N_("What was done"),
    "name": N_("Name"),
    "when": N_("Date and time"),
    "signature": N_("Signature"),
    "done-conditions": N_("Conditions met and alignment in tolerance"),
    "done-laid-out": N_("Laid out and measured"),
    "done-again": N_("Measured again by a second person"),
    "done-calibrated": N_("Calibrated, scan tool reports it done"),
    "done-drives": N_("Drives done, final scan without faults"),
    "not-calibrated": N_("Not calibrated, and why:"),
    "notes": N_("Notes"),
    "source": N_("{source}, read on {date}, {status}: {cards}"),
}
"""On the job sheet."""

ROOM: Mapping[str, str] = {
    **ALL,
    "partial": N_("Partial: {missing}"),
    "how-much": N_("How much of the work can be done"),
    "stops": N_("What stops the rest"),
    "what-stops": N_("What stops it"),
    "lost": N_("Orders lost a year"),
    "change": N_("The change that wins most back"),
    "won": N_("Orders won back a year"),
    "by-order": N_("Share finished, by kind of order"),
    "order": N_("Order"),
    "by-card": N_("Share that has a place, by card"),
    "card": N_("Card"),
    "in-full": N_("All of the work with these cards has a place in each: {cards}."),
    "where": N_("Where the car stands"),
    "where-note": N_(
        "The rear axle's center, right and up from the datum, for the car that most such orders are finished (or won) "
        "with."
    ),
    "state": N_("In"),
    "serves": N_("For"),
    "stands": N_("Stands"),
    "right": N_("Right"),
    "up": N_("Up"),
    "faces": N_("Faces"),
    "least-bay": N_("The least bay"),
    "least-share": N_("Share of the work that fits"),
    "width": N_("Width"),
    "length": N_("Length"),
    "reach": N_("How far a target can stand from the car"),
    "car": N_("Car"),
    "ahead": N_("Ahead"),
    "behind": N_("Behind"),
    "to-the-left": N_("To the left"),
    "to-the-right": N_("To the right"),
    "sources-of": N_("{status}, read on {date}: {sources}"),
    "source": N_("{source} for {cards}"),
    "assumptions": N_("Assumptions and warnings"),
}
"""On the sheet of a room."""


def labels(words: Mapping[str, str], reader: Reader) -> dict[str, str]:
    """The words of a sheet in the reader's language; the template fills their blanks."""
    return {key: reader.catalog.one(sentence) for key, sentence in words.items()}
