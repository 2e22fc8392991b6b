"""What can be read and cannot be meant: each is told as a warning, once, with where it stands and how to mend it."""

from __future__ import annotations

from hands import Hand

PIT = '[[voids]]\nname = "pit"\n'
ROOM = '[[0, 0], [44, 0], [44, "30 ft 6 in"], [0, "30 ft 6 in"]]'
LIFT_AT = "at = [8, 15]\nheading = 0"


def added(what: str, text: str, file: str = "site") -> Hand:
    """Something typed at the end of a file."""
    return Hand(what).typed(file, "", "\n" + text)


ROOMS = (
    Hand("a room of 388 feet")
    .typed("site", ROOM, '[[0, 0], [388, 0], [388, "30 ft 6 in"], [0, "30 ft 6 in"]]')
    .typed("site", "[44, 9]", "[388, 9]")
    .typed("site", "[44, 21]", "[388, 21]")
    .typed("site", "[44, 4, 60", "[388, 4, 404")
    .warning("size-unusual", "outline", "388 ft"),
    Hand("a room smaller than a car")
    .typed("site", ROOM, "[[0, 0], [11, 0], [11, 10], [0, 10]]")
    .typed("site", "[44, 9]", "[11, 1]")
    .typed("site", "[44, 21]", "[11, 9]")
    .typed("site", "[44, 4, 60, 26]", "[11, 0, 30, 10]")
    .fault("outside-floor", "outline", "workbench", "trench drain"),
    Hand("a room in the wrong unit")
    .typed("site", 'units = "ft"', 'units = "in"')
    .typed("site", '"30 ft 6 in"], [0, "30 ft 6 in"]', "31], [0, 31]")
    .warning("size-unusual", "outline", "unit"),
    Hand("a ceiling of one foot")
    .typed("site", '"13 ft 1 1/2 in"', '"1 ft 3 in"')
    .warning("size-unusual", "clear_height"),
    Hand("a ceiling of a hundred feet")
    .typed("site", '"13 ft 1 1/2 in"', '"131 ft"')
    .warning("size-unusual", "clear_height"),
    Hand("a door beside the outline").typed("site", "[44, 21]", "[45, 21]").fault("not-on-outline", "doors[0].to"),
    Hand("a door wider than its wall").typed("site", "[44, 21]", "[44, 33]").fault("not-on-outline", "doors[0].to"),
    Hand("a door higher than the ceiling")
    .typed("site", 'height = "12 ft"', 'height = "14 ft"')
    .warning("height-above-ceiling", "doors[0].height", "13 ft"),
    Hand("a door as narrow as a person").typed("site", "[44, 21]", "[44, 11]").warning("size-unusual", "doors[0].to"),
    added("a column wholly outside", '[[obstacles]]\nname = "column"\nbox = [50, 28, 51, 29]\ntop = 10').fault(
        "outside-floor", "obstacles[2].box"
    ),
    added("a column half through a wall", '[[obstacles]]\nname = "column"\nbox = [20, 30, 21, 32]\ntop = 10').warning(
        "stands-in-wall", "obstacles[2].box", "column"
    ),
    Hand("a mark outside")
    .typed("site", "at = [22, 2]", "at = [22, -2]")
    .warning("stands-in-wall", "marks[0].at", "brass stud"),
    Hand("a bay that runs through a wall")
    .typed("site", "[0, 3, 44, 27]", "[0, 3, 54, 27]")
    .warning("stands-in-wall", "bays[0].box", "long bay"),
    Hand("a lift half through a wall")
    .typed("site", LIFT_AT, "at = [8, 28]\nheading = 0")
    .warning("stands-in-wall", "lifts[0].at", "lift 1", "ft"),
    Hand("a lift wholly outside")
    .typed("site", LIFT_AT, "at = [80, 15]\nheading = 0")
    .fault("outside-floor", "lifts[0].at"),
    added("a lift over a pit", PIT + "box = [10, 12, 24, 16]").warning("stands-over-void", "lifts[0].at", "pit"),
    added("a pit through a wall", PIT + "box = [20, 28, 24, 34]").warning("stands-in-wall", "voids[0].box", "pit"),
    added(
        "a cover beside its pit", PIT + 'box = [26, 5, 30, 8]\ncovers = [{ name = "boards", box = [34, 5, 36, 8] }]'
    ).fault("value-impossible", "voids[0].covers[0].box"),
    added(
        "a cover that reaches beside its pit",
        PIT + 'box = [26, 5, 30, 8]\ncovers = [{ name = "boards", box = [28, 5, 36, 8] }]',
    ).warning("cover-beyond-void", "voids[0].covers[0].box", "boards"),
    added("two lifts at one place", '[[lifts]]\nname = "lift 2"\ntype = "low rise"\nat = [8, 15]\nheading = 0').warning(
        "same-place", "lifts[1].at", "lift 1"
    ),
    added("an obstacle copied and not moved", '[[obstacles]]\nname = "cart"\nbox = [1, 26, 4, 28]\ntop = 3').warning(
        "same-place", "obstacles[2].box", "tool cart"
    ),
    added(
        "a column in the middle of a lift's deck", '[[obstacles]]\nname = "column"\nbox = [12, 16.9, 13, 18]\ntop = 10'
    ).warning("same-place", "obstacles[2].box", "lift 1"),
    Hand("equipment stored in the wall")
    .typed("site", "store = [3, 4, 90]", "store = [3, 0, 90]")
    .warning("stands-in-wall", "equipment[0].store", "target frame"),
    Hand("a name twice")
    .typed("site", 'name = "tool cart"', 'name = "workbench"')
    .fault("name-repeated", "obstacles[1].name"),
    Hand("people, and no hours")
    .typed("site", '[hours]\n"monday-friday" = ["08:00", "17:00"]\n', "")
    .warning("nobody-has-hours", "people", "hours"),
    Hand("a pace as on the road").typed("site", '"1 m/s"', '"30 mph"').warning("size-unusual", "pace.drive"),
)

LIFTS = (
    Hand("a lift in the wrong unit")
    .typed("lift", 'units = "mm"', 'units = "in"')
    .warning("size-unusual", "units", "length of the lift"),
    Hand("a lift typed in centimeters").typed("lift", 'units = "mm"', 'units = "cm"').warning("size-unusual", "units"),
    Hand("a capacity in pounds, read as kilograms")
    .typed("lift", 'capacity = "9000 lb"', "capacity = 9000")
    .warning("mass-in-pounds", "capacity", "lb"),
    Hand("decks narrower apart than any car")
    .typed(
        "lift",
        "550, 4400, 1100] }, { box = [-600, -1100, 4400, -550]",
        "50, 4400, 300] }, { box = [-600, -300, 4400, -50]",
    )
    .warning("decks-too-narrow", "states[0].decks"),
    Hand("travel in seconds, read as minutes")
    .typed("lift", '["40 s", "60 s"]', "[40, 60]")
    .warning("size-unusual", "travel", "min"),
    Hand("a lock above what the lift reaches")
    .typed("lift", "[0, 600, 1200]", "[0, 600, 2200]")
    .warning("lock-out-of-reach", "locks"),
)

CARS = (
    Hand("pounds, read as kilograms")
    .typed("vehicle", "mass = 1560 ", "mass = 3440 ")
    .warning("mass-in-pounds", "mass", "lb"),
    Hand("a car of another unit")
    .typed("vehicle", 'units = "mm"', 'units = "cm"')
    .fault("value-impossible", "length", "units"),
    Hand("a wheelbase longer than the car")
    .typed("vehicle", "wheelbase = 2710", "wheelbase = 4710")
    .fault("value-impossible", "wheelbase"),
    Hand("a car wider than a road car")
    .typed("vehicle", "width = 1840", "width = 2840")
    .warning("size-unusual", "width", "9 ft"),
    Hand("a tire width of half of it")
    .typed("vehicle", "tire_width = 215", "tire_width = 21.5")
    .warning("size-unusual", "tire_width"),
    Hand("a track beyond the body")
    .typed("vehicle", "track_front = 1564", "track_front = 1964")
    .fault("value-impossible", "track_front"),
    Hand("a turning circle given as a radius")
    .typed("vehicle", '"11.2 m"', '"5.6 m"')
    .fault("value-impossible", "turning_circle", "diameter"),
    Hand("a sensor in meters where the rest is millimeters")
    .typed("vehicle", "[1850, 0, 1300]", "[1.85, 0, 1.3]")
    .warning("size-unusual", "sensors[0].at", "height"),
    Hand("a sensor ahead of the car")
    .typed("vehicle", "[3560, 0, 480]", "[35600, 0, 480]")
    .warning("sensor-off-car", "sensors[1].at"),
    Hand("a left sensor on the right")
    .typed("vehicle", "[-760, 700, 620]", "[-760, -700, 620]")
    .warning("sensor-on-other-side", "sensors[2].at", "left"),
    Hand("a model year of the next century")
    .typed("vehicle", "[2021, 2024]", "[2021, 2124]")
    .warning("date-ahead", "years"),
)

CARDS = (
    Hand("a target at 27 meters")
    .typed("camera", '"8 ft", 0, 1.2', '"27 m", 0, 1.2')
    .warning("size-unusual", "targets[0].at", "88 ft"),
    Hand("a target 12 meters up")
    .typed("camera", '"8 ft", 0, 1.2', '"8 ft", 0, 12')
    .warning("size-unusual", "targets[0].at", "height"),
    Hand("a board that looks away")
    .typed("camera", "facing = 180 ", "facing = 0 ")
    .warning("target-looks-away", "targets[0].facing", "board"),
    Hand("a tolerance of 10 meters")
    .typed("camera", 'along = "10 mm"', "along = 10")
    .warning("size-unusual", "targets[0].tolerance.along"),
    Hand("a zone whose top is below its bottom")
    .typed("radar", "bottom = 12", "bottom = 50")
    .fault("value-impossible", "zones[0].top"),
    Hand("a zone of another unit").typed("radar", 'units = "in"', 'units = "ft"').warning("size-unusual", "units"),
    Hand("a card read tomorrow").typed("camera", "2026-01-15", "2062-01-15").warning("date-ahead", "source.read_on"),
    Hand("a set-up of a day")
    .typed("camera", "run = [5, 10]", "run = [500, 1000]")
    .warning("size-unusual", "minutes.run"),
    Hand("a light of a lamp, not of a room")
    .typed("camera", "light = 300", "light = 30000")
    .warning("size-unusual", "light"),
)

ORDERS = (
    Hand("promised before it comes")
    .typed("job", "2026-03-02T16:00:00", "2026-03-01T16:00:00")
    .fault("range-reversed", "promised"),
    Hand("nothing was done to the car")
    .written(
        "two.toml",
        b"""kind = "job"\nschema = 1\nname = "order 1002"
site = "Tamarack Street"\nvehicle = "Pellworth Carder"\n""",
    )
    .warning("order-says-nothing", "events", "[[events]]"),
    Hand("a number plate as a chassis number")
    .typed("job", 'order_number = "1001"', 'order_number = "1001"\nvin = "ABC 1234"')
    .warning("vin-length", "vin", "17"),
    Hand("shares that add up to 1.4")
    .typed("mix", "share = 1.0", "share = 1.4")
    .warning("shares-not-whole", "vehicles", "1.4"),
    Hand("shares in percent").typed("mix", "share = 1.0", "share = 100"),
    Hand("a year's orders in one day")
    .typed("study", "per_year = 120", "per_year = 120000")
    .warning("size-unusual", "work[0].per_year"),
    Hand("orders below nothing")
    .typed("study", "per_year = 120", "per_year = -120")
    .fault("value-impossible", "work[0].per_year"),
)

READINGS = (
    Hand("a survey of the future")
    .typed("survey", 'site = "Tamarack Street"', 'site = "Tamarack Street"\ndate = 2062-03-02')
    .warning("date-ahead", "date"),
    Hand("a survey beside the room")
    .typed("survey", '[8, 9, "0 mm"], [16, 9,', '[8, 90, "0 mm"], [16, 90,')
    .warning("stands-in-wall", "points", "2"),
    Hand("heights in feet").typed("survey", '[32, 21, "7 mm"]', "[32, 21, 7]").warning("size-unusual", "points[13]"),
    Hand("a height of a lift that is not there")
    .typed("survey", '"lift 1" = "down"', '"lift 7" = "down"')
    .fault("unknown-reference", "state.lift 7", "lift 1"),
    Hand("a reading with a digit too many")
    .typed("setup", "value = 5184", "value = 51840")
    .warning("size-unusual", "readings[0].value"),
    Hand("a toe of eight degrees")
    .typed("setup", "value = 0.08", "value = 8")
    .warning("size-unusual", "alignment[0].value"),
    Hand("known to nothing").typed("survey", 'u = "0.8 mm"', 'u = "0 mm"').fault("value-impossible", "u"),
    Hand("a distance from a point to itself")
    .typed("setup", 'to = "board left"', 'to = "hub rear left"')
    .warning("reading-to-itself", "readings[0].to", "hub rear left"),
)

OTHERS = (
    Hand("two doors in one opening")
    .typed("site", "", '\n[[doors]]\nname = "second door"\nfrom = [44, 15]\nto = [44, 25]\nheight = "10 ft"\n')
    .warning("same-place", "doors[1].to", "second door", "street door"),
    Hand("a datum outside")
    .typed("site", "at = [0, 0]", "at = [-10, 0]")
    .warning("stands-in-wall", "datum.at", "datum"),
    Hand("a limit by a name that nothing reads")
    .typed("vehicle", '"thrust angle"', '"trust angle"')
    .warning("limit-never-read", "alignment.trust angle", "thrust angle"),
    Hand("a limit for both sides at once").typed("vehicle", "[alignment]", "[alignment]\ncamber = [-1.5, 0.5]"),
    Hand("a tolerance of nothing")
    .typed("camera", 'across = "5 mm"', "across = 0")
    .warning("tolerance-of-nothing", "targets[0].tolerance.across"),
    Hand("one limit in another unit")
    .typed("camera", 'low = "2.2 bar"', 'low = "32 psi"')
    .fault("fields-conflict", "conditions[0].high", "one unit"),
    Hand("a set-up on a lift without its state")
    .typed("setup", 'on = "floor"', 'on = "lift 1"')
    .fault("unknown-reference", "stance.on", "lift 1/down"),
    Hand("a set-up on a lift in no state of it")
    .typed("setup", 'on = "floor"', 'on = "lift 1/raised"')
    .fault("unknown-reference", "stance.on", "lift 1/up"),
)

DECKS = "decks = [{ box = [-600, 550, 4400, 1100] }, { box = [-600, -1100, 4400, -550] }]"
SECOND_RADAR = '\n[[sensors]]\nkind = "front radar"\nat = [3560, 0, 480]\n'
GLASS = '\n[[work]]\nname = "glass"\nminutes = 20\nskills = ["aligment"]\n'

LISTED = (
    added(
        "a diagonal that the corners contradict", '[[taped]]\nfrom = [0, 0]\nto = [44, "30 ft 6 in"]\nlength = "54 ft"'
    ).warning("taped-otherwise", "taped[0].length", "53 ft 6 7/16 in", "5 9/16 in"),
    added("a diagonal that agrees", '[[taped]]\nfrom = [0, 0]\nto = [44, "30 ft 6 in"]\nlength = "53 ft 6 7/16 in"'),
    added(
        "a duct above the ceiling", '[[obstacles]]\nname = "duct"\nbox = [20, 5, 22, 7]\nbottom = 14\ntop = 16'
    ).warning("height-above-ceiling", "obstacles[2].top", "duct", "16 ft", "13 ft"),
    added(
        "a column that stands from the floor to above the ceiling",
        '[[obstacles]]\nname = "column"\nbox = [20, 5, 21, 6]\ntop = 30',
    ).warning("height-above-ceiling", "obstacles[2].top", "30 ft"),
    Hand("a skill misspelled on a card")
    .typed("camera", 'skills = ["calibration"]', 'skills = ["calibraton"]')
    .warning("skill-unknown", "skills[0]", "calibration"),
    added("a skill misspelled in an order", GLASS, "job").warning("skill-unknown", "work[1].skills[0]", "alignment"),
    Hand("a skill misspelled where it is somebody's")
    .typed("site", '"calibration"', '"calibraton"')
    .warning("skill-unknown", "skills[0]", "calibraton", file="camera.toml"),
    Hand("a skill that nobody has").typed("camera", 'skills = ["calibration"]', 'skills = ["glass"]'),
    Hand("a sensor listed twice, on one side")
    .typed("vehicle", 'side = "right"', 'side = "left"')
    .warning("sensor-twice", "sensors[3].kind", "sensors[2]"),
    added("a sensor listed twice, once with its option", SECOND_RADAR, "vehicle").warning(
        "sensor-twice", "sensors[4].kind", "sensors[1]"
    ),
    added("a sensor that either of two options brings", SECOND_RADAR + 'option = "convoy"\n', "vehicle"),
    added("two of a kind, at their places", SECOND_RADAR.replace("480", "600"), "vehicle"),
    Hand("a corner radar without its side")
    .typed("vehicle", 'side = "right"\n', "")
    .warning("sensor-without-side", "sensors[3].side", "right"),
    Hand("a raised lift without decks")
    .typed("lift", "[300, 1200]\n" + DECKS, "[300, 1200]")
    .warning("raised-without-decks", "states[1].decks", "up", "decks"),
    Hand("a raised lift that takes the body")
    .typed("lift", "[300, 1200]\n" + DECKS, "[300, 1200]")
    .typed("lift", 'carries = "wheels"', 'carries = "body"'),
)

MEANT = (*ROOMS, *LIFTS, *CARS, *CARDS, *ORDERS, *READINGS, *OTHERS, *LISTED)
