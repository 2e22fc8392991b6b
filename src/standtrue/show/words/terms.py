"""Every word of the trade from a closed list, marked for the catalogs: a `Term` is one of these.

A list here repeats one of the model's, so that a catalog knows its words; a test compares the two. Kinds of sensors
stand with their Spanish in `model/sensor_kinds.py`.
"""

from __future__ import annotations

from standtrue.show.words.catalog import N_

EVENTS: tuple[str, ...] = (
    N_("windshield replaced"),
    N_("windshield removed"),
    N_("windshield repaired"),
    N_("rear glass replaced"),
    N_("rear glass removed"),
    N_("front bumper removed"),
    N_("front bumper replaced"),
    N_("grille removed"),
    N_("grille replaced"),
    N_("emblem removed"),
    N_("emblem replaced"),
    N_("radiator removed"),
    N_("radiator replaced"),
    N_("radiator support removed"),
    N_("radiator support replaced"),
    N_("headlamp removed"),
    N_("headlamp replaced"),
    N_("fender removed"),
    N_("fender replaced"),
    N_("hood removed"),
    N_("hood replaced"),
    N_("door removed"),
    N_("door replaced"),
    N_("door mirror removed"),
    N_("door mirror replaced"),
    N_("rear bumper removed"),
    N_("rear bumper replaced"),
    N_("bumper repaired over radar"),
    N_("bumper painted"),
    N_("liftgate removed"),
    N_("liftgate replaced"),
    N_("trunk lid removed"),
    N_("trunk lid replaced"),
    N_("quarter panel replaced"),
    N_("tow bar fitted"),
    N_("bull bar fitted"),
    N_("snow plow fitted"),
    N_("minor collision"),
    N_("structural collision"),
    N_("curb strike"),
    N_("towed"),
    N_("flood"),
    N_("wheel alignment"),
    N_("suspension work"),
    N_("control arm replaced"),
    N_("shock absorbers replaced"),
    N_("springs replaced"),
    N_("subframe removed"),
    N_("subframe replaced"),
    N_("ride height changed"),
    N_("suspension lifted"),
    N_("suspension lowered"),
    N_("tires replaced"),
    N_("tire size changed"),
    N_("steering work"),
    N_("steering rack replaced"),
    N_("tie rod replaced"),
    N_("steering column removed"),
    N_("steering column replaced"),
    N_("engine removed"),
    N_("airbag deployed"),
    N_("seat belt tensioner fired"),
    N_("instrument panel removed"),
    N_("seat removed"),
    N_("seat replaced"),
    N_("battery disconnected"),
    N_("battery replaced"),
    N_("module replaced"),
    N_("software update"),
    N_("wiring repaired"),
    N_("sensor disturbed"),
    N_("camera removed"),
    N_("camera replaced"),
    N_("radar removed"),
    N_("radar replaced"),
    N_("roof or headliner work"),
    N_("headliner removed"),
    N_("roof repaired"),
    N_("sunroof replaced"),
    N_("fault stored"),
)

WHERES: tuple[str, ...] = (N_("front"), N_("rear"), N_("left"), N_("right"), N_("roof"), N_("under"))

SUPPORTS: tuple[str, ...] = (N_("floor"), N_("lift down"), N_("lift up"))

STAGES: tuple[str, ...] = (
    N_("pre-scan"),
    N_("structure"),
    N_("mechanical and body work"),
    N_("tires, pressures and ride height"),
    N_("wheel alignment"),
    N_("static calibrations"),
    N_("drives"),
    N_("final scan"),
    N_("post-scan"),
    N_("mechanical"),
    N_("body and paint"),
    N_("cure"),
    N_("pressures and ride height"),
    N_("alignment"),
    N_("steering angle"),
    N_("clear faults"),
    N_("static"),
    N_("drive"),
    N_("hand-over"),
)

IMPLIED_WORK: tuple[str, ...] = (
    N_("Repair and measure the structure"),
    N_("Set and measure the ride height"),
    N_("Check tire sizes and set tire pressures"),
    N_("Wheel alignment"),
)

FIRST: tuple[str, ...] = (
    N_("adhesive cured as its maker says"),
    N_("paint and filler over the radar checked against the vehicle maker's limits"),
    N_("structure measured and within limits"),
    N_("wheel alignment measured and within limits"),
    N_("ride height measured and within limits"),
    N_("tire pressures set"),
    N_("cause of the fault repaired"),
)
"""What the default rules put before a calibration."""

METHODS: tuple[str, ...] = (
    N_("static"),
    N_("drive"),
    N_("static or drive"),
    N_("static then drive"),
    N_("electronic"),
)

HOWS: tuple[str, ...] = (N_("required"), N_("look first"), N_("dropped"), N_("not fitted"))

DECISIONS: tuple[str, ...] = (N_("keep"), N_("drop"))

NEEDS: tuple[str, ...] = (N_("stand"), N_("walk"), N_("clear"), N_("metal-free"), N_("plain"))
"""What a zone needs."""

ANCHORS: tuple[str, ...] = (
    N_("rear axle"),
    N_("front axle"),
    N_("wheel front left"),
    N_("wheel front right"),
    N_("wheel rear left"),
    N_("wheel rear right"),
    N_("sensor"),
)
"""Beside `front`, `rear`, `left` and `right`."""

LINES: tuple[str, ...] = (N_("thrust line"), N_("centerline"))

CAR_POINTS: tuple[str, ...] = (
    N_("hub front left"),
    N_("hub front right"),
    N_("hub rear left"),
    N_("hub rear right"),
    N_("sidewall front left"),
    N_("sidewall front right"),
    N_("sidewall rear left"),
    N_("sidewall rear right"),
    N_("clamp front left"),
    N_("clamp front right"),
    N_("clamp rear left"),
    N_("clamp rear right"),
    N_("bar front left"),
    N_("bar front right"),
    N_("bar rear left"),
    N_("bar rear right"),
    N_("front of the car"),
    N_("rear of the car"),
    N_("hub height"),
    N_("left string"),
    N_("right string"),
    N_("left string rear"),
    N_("left string front"),
    N_("right string rear"),
    N_("right string front"),
    N_("thrust line near"),
    N_("thrust line far"),
    N_("centerline near"),
    N_("centerline far"),
)
"""Points and lines of the car that readings are taken from, beside the axles and the wheels."""

SIZES: tuple[str, ...] = (N_("wheelbase"), N_("length"), N_("width"), N_("hub offset front"), N_("hub offset rear"))
"""Dimensions of a car that a rule never supplies, or only for readings."""

HEIGHT_STARTS: tuple[str, ...] = (N_("floor at target"), N_("wheels"))
"""Where a height may start."""

STATUS: tuple[str, ...] = (N_("demonstration"), N_("transcribed"), N_("verified"), N_("not verified"))

MAY: tuple[str, ...] = (N_("may be calibrated"), N_("do not calibrate yet"), N_("cannot tell yet"))
"""The one verdict of a set-up, in a word."""

DRIVING: tuple[str, ...] = (N_("push"), N_("skates"), N_("forward"), N_("reverse"), N_("slide"), N_("turn"))
"""Modes and gears, beside `drive`."""

BLOCKS: tuple[str, ...] = (N_("lift"), N_("all"))
"""What a wait blocks, beside `drive`."""

EQUIPMENT: tuple[str, ...] = (
    N_("aligner"),
    N_("target frame"),
    N_("reflector"),
    N_("simulator"),
    N_("mat"),
    N_("target board"),
    N_("scan tool"),
)

PROPULSION: tuple[str, ...] = (
    N_("gasoline"),
    N_("diesel"),
    N_("hybrid"),
    N_("plug-in hybrid"),
    N_("battery electric"),
    N_("fuel cell"),
)

CONDITIONS: tuple[str, ...] = (
    N_("tire pressure"),
    N_("fuel"),
    N_("fuel level"),
    N_("load"),
    N_("ride height"),
    N_("battery support"),
    N_("doors"),
    N_("temperature"),
    N_("light"),
    N_("state of charge"),
)

MEASURES: tuple[str, ...] = (N_("distance"), N_("offset"), N_("height"), N_("angle"), N_("lean"))

VERDICTS: tuple[str, ...] = (
    N_("fits"),
    N_("does not fit"),
    N_("cannot tell"),
    N_("in tolerance"),
    N_("out of tolerance"),
    N_("too close to the limit"),
    N_("met"),
    N_("not met"),
    N_("not recorded"),
    N_("not measured"),
    N_("same"),
    N_("differs"),
    N_("yes"),
    N_("no"),
    N_("undecided"),
)

DOCUMENTS: tuple[str, ...] = (
    N_("site"),
    N_("vehicle"),
    N_("procedure"),
    N_("rules"),
    N_("job"),
    N_("mix"),
    N_("study"),
    N_("survey"),
    N_("setup"),
    N_("bay"),
    N_("door"),
    N_("set-up"),
    N_("equipment"),
    N_("variant"),
    N_("alternative"),
    N_("support class"),
)
"""Kinds of documents, and of things that a question names; beside `lift`."""
