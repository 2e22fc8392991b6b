"""What somebody types that no parser takes, or that only looks like what was meant: 60 mistakes, and a few habits."""

from __future__ import annotations

from hands import Hand

QUOTE = "in quotes"
PHONE = "“long bay”"
LIGHT = "light = 480 "

SIGNS = (
    Hand("feet and inches without quotes")
    .typed("site", "[44, 21]", "[44, 20' 6\"]")
    .fault("toml-syntax", 0, "20' 6\"", QUOTE, '"20 ft 6 in"'),
    Hand("a foot mark alone")
    .typed("site", 'height = "12 ft"', "height = 12'")
    .fault("toml-syntax", 0, QUOTE, '"12 ft"'),
    Hand("a fraction without quotes")
    .typed("vehicle", "length = 4620", "length = 181 7/8")
    .fault("toml-syntax", 0, "181 7/8", QUOTE),
    Hand("a decimal comma without quotes")
    .typed("vehicle", "width = 1840", "width = 184,0")
    .fault("toml-syntax", 0, "184,0", "184.0"),
    Hand("a unit without quotes").typed("site", '"13 ft 1 1/2 in"', "13 ft").fault("toml-syntax", 0, QUOTE, '"13 ft"'),
    Hand("a unit in a list without quotes")
    .typed("site", "at = [8, 15]", "at = [8 ft, 15]")
    .fault("toml-syntax", 0, "8 ft", QUOTE),
    Hand("a mass with its unit, no quotes")
    .typed("vehicle", "mass = 1560 ", "mass = 3440 lb ")
    .fault("toml-syntax", 0, QUOTE),
    Hand("text without quotes")
    .typed("job", 'site = "Tamarack Street"', "site = Tamarack Street")
    .fault("toml-syntax", 0, "Tamarack Street", QUOTE),
    Hand("a unit of the document without quotes")
    .typed("site", 'units = "ft"', "units = ft")
    .fault("toml-syntax", 0, QUOTE),
    Hand("the quotes of a word processor")
    .typed("site", '"long bay"', PHONE)
    .fault("toml-syntax", 0, "straight quotes"),
    Hand("a quote forgotten at the end")
    .typed("site", 'name = "long bay"', 'name = "long bay')
    .fault("toml-syntax", 0, "quote"),
    Hand("a bracket forgotten").typed("site", '[0, "30 ft 6 in"]]', '[0, "30 ft 6 in"]').fault("toml-syntax", 0, "]"),
    Hand("a comma forgotten between two numbers").typed("site", "[44, 9]", "[44 9]").fault("toml-syntax", 0, "comma"),
    Hand("no equals sign").typed("vehicle", "wheelbase = 2710", "wheelbase 2710").fault("toml-syntax", 0, "="),
    Hand("a colon for the equals sign")
    .typed("vehicle", "wheelbase = 2710", "wheelbase: 2710")
    .fault("toml-syntax", 0, "="),
    Hand("yes for true")
    .typed("site", "may_stand_open = true", "may_stand_open = yes")
    .fault("toml-syntax", 0, "true or false"),
    Hand("True with a capital")
    .typed("site", "may_stand_open = true", "may_stand_open = True")
    .fault("toml-syntax", 0, "true or false"),
    Hand("a field twice")
    .typed("vehicle", "width = 1840", "width = 1840\nlength = 4650")
    .fault("toml-syntax", 1, "length", "twice"),
    Hand("a section twice in single brackets")
    .typed("site", "[datum]", "[datum]\nat = [0, 0]\n[datum]")
    .fault("toml-syntax", 2, "datum", "twice"),
    Hand("a date month first").typed("camera", "2026-01-15", "01/15/2026").fault("toml-syntax", 0, "2026-01-15"),
    Hand("hours without quotes")
    .typed("site", '["08:00", "17:00"]', "[8:00, 17:00]")
    .fault("toml-syntax", 0, QUOTE, '"08:00"'),
    Hand("a time without its seconds")
    .typed("job", "2026-03-02T16:00:00", "2026-03-02 16:00")
    .fault("toml-syntax", 0, ":00"),
    Hand("years with a dash").typed("vehicle", "[2021, 2024]", "2021-2024").fault("toml-syntax", 0, "[2021, 2024]"),
    Hand("a note with slashes")
    .typed("vehicle", "width = 1840", "width = 1840 // measured")
    .fault("toml-syntax", 0, "#"),
    Hand("a backslash")
    .typed("job", 'order_number = "1001"', 'order_number = "C:\\orders"')
    .fault("toml-syntax", 0, "backslash"),
    Hand("thousands with a comma").typed("vehicle", "length = 4620", "length = 4,620").fault("toml-syntax", 0, "4620"),
    Hand("two lines wrong in one file, and one in another")
    .typed("site", "[44, 21]", "[44, 20' 6\"]")
    .fault("toml-syntax", 0, QUOTE)
    .typed("vehicle", "width = 1840", "width = 1,84")
    .fault("toml-syntax", 0),
)
"""What TOML does not take: one fault each, with the line, what stands there, and how it is written."""

FILES = (
    Hand("saved with a mark in front, by an editor that does so")
    .written("note.toml", b"\xef\xbb\xbf# nothing yet\n")
    .fault("missing-field", "kind", "empty"),
    Hand("an empty file").written("new.toml", b"").fault("missing-field", "kind", "empty"),
    Hand("a letter called a document")
    .written("letter.toml", b"Dear all,\nplease measure the room again.\nYours\n")
    .fault("toml-syntax", 1),
    Hand("saved as Unicode of two bytes")
    .written("extra.toml", "kind = 'mix'".encode("utf-16"))
    .fault("not-utf8", "", "UTF-8"),
    Hand("saved in an old code page")
    .written("extra.toml", 'kind = "mix"\nname = "año"\n'.encode("latin-1"))
    .fault("not-utf8", 2, "UTF-8"),
    Hand("a picture called a document").written("logo.toml", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR").fault("not-utf8", ""),
    Hand("an ending that the system hid")
    .written("site2.toml.txt", b'kind = "site"\n')
    .warning("file-not-read", "", ".toml"),
    Hand("a copy of a file")
    .written("site (copy).toml", b"COPY OF site.toml")
    .fault("name-repeated", "name", "site (copy).toml", file="site.toml"),
    Hand("an editor's backup").written("site.toml~", b"kind = "),
    Hand("a file far too large").written("big.toml", b"#" * 5_000_001).fault("too-large", ""),
    Hand("lines ended as Windows does").written("site.toml", b"CRLF OF site.toml"),
    Hand("a folder called like a document").written("old.toml/notes.txt", b""),
)

NAMES = (
    Hand("a kind mistyped")
    .typed("vehicle", 'kind = "vehicle"', 'kind = "vehicel"')
    .fault("kind-unknown", "kind", "vehicle"),
    Hand("a kind with a capital").typed("vehicle", 'kind = "vehicle"', 'kind = "Vehicle"'),
    Hand("a kind in another word")
    .typed("vehicle", 'kind = "vehicle"', 'kind = "car"')
    .fault("kind-unknown", "kind", "vehicle"),
    Hand("a kind forgotten").typed("vehicle", 'kind = "vehicle"\n', "").fault("missing-field", "kind", "vehicle"),
    Hand("a kind that is not read")
    .written("monday.toml", b'kind = "day"\nschema = 1\nname = "monday"\n')
    .warning("kind-not-used", "kind", "day"),
    Hand("a field mistyped")
    .typed("vehicle", "length = 4620", "lenght = 4620")
    .fault("unknown-field", "lenght", "length"),
    Hand("a section mistyped")
    .typed("site", "[[obstacles]]", "[[obstacels]]")
    .fault("unknown-field", "obstacels", "obstacles"),
    Hand("a section in the singular").typed("site", "[[doors]]", "[[door]]").fault("unknown-field", "door", "doors"),
    Hand("a section in single brackets")
    .typed("site", "[[doors]]", "[doors]")
    .fault("wrong-type", "doors", "[[doors]]"),
    Hand("a table in double brackets").typed("site", "[gaps]", "[[gaps]]").fault("wrong-type", "gaps", "[gaps]"),
    Hand("a name mistyped where it is used")
    .typed("job", 'vehicle = "Pellworth', 'vehicle = "Pelworth')
    .fault("unknown-reference", "vehicle", "Pellworth Carder"),
    Hand("a name in other capitals")
    .typed("job", '"Tamarack Street"', '"tamarack street"')
    .fault("unknown-reference", "site", "Tamarack Street"),
    Hand("a document renamed, and three that still use the old name")
    .typed("site", 'name = "Tamarack Street"', 'name = "Tamarack St"')
    .fault("unknown-reference", "site", "Tamarack St", "study.toml", "survey.toml", file="job.toml"),
    Hand("a document that nobody wrote")
    .written("lift.toml", None)
    .fault("unknown-reference", "lifts[0].type", "low rise", file="site.toml"),
    Hand("a unit of the document in full").typed("vehicle", 'units = "mm"', 'units = "millimeters"'),
    Hand("a unit of the document as its mark").typed("site", 'units = "ft"', 'units = "\'"'),
    Hand("a unit that is not taken")
    .typed("site", 'units = "ft"', 'units = "furlongs"')
    .fault("unknown-unit", "units", "ft"),
    Hand("no unit at all").typed("vehicle", 'units = "mm"\n', "").fault("units-missing", "units", '"mm"'),
    Hand("an event mistyped")
    .typed("job", 'event = "windshield', 'event = "windsheild')
    .warning("event-unknown", "events[0].event", "windshield replaced"),
    Hand("a sensor in another word")
    .typed("camera", 'sensor = "forward camera"', 'sensor = "forward camra"')
    .fault("unknown-word", "sensor", "forward camera"),
    Hand("a support class in another word")
    .typed("camera", '["floor", "lift down"]', '["flor"]')
    .fault("unknown-word", "supports", "floor"),
    Hand("a side by its letter")
    .typed("vehicle", 'side = "left"', 'side = "L"')
    .fault("unknown-word", "sensors[2].side", "left"),
    Hand("a choice mistyped")
    .typed("camera", 'status = "transcribed"', 'status = "verfied"')
    .fault("unknown-word", "source.status", "verified"),
    Hand("a point of the car mistyped")
    .typed("setup", 'from = "hub rear left"', 'from = "hub raer left"')
    .warning("point-unknown", "readings[0].from", "hub rear left"),
    Hand("a day mistyped").typed("site", '"monday-friday"', '"monday-firday"').fault("unknown-word", "hours", "friday"),
)

TOGETHER = (
    Hand("equipment renamed, that two cards ask for")
    .typed("site", 'kind = "target frame"', 'kind = "board stand"')
    .typed("site", 'name = "target frame"', 'name = "board holder"')
    .typed("radar", 'method = "static"', 'method = "static"\nequipment = ["target frame"]')
    .fault("unknown-reference", "equipment[0]", "radar.toml", file="camera.toml"),
    Hand("three mistakes of three kinds are told at once")
    .typed("site", '"12 ft"', '"12 fet"')
    .fault("unknown-unit", "doors[0].height")
    .typed("vehicle", "length = 4620", "lenght = 4620")
    .fault("unknown-field", "lenght")
    .typed("job", 'vehicle = "Pellworth', 'vehicle = "Pelworth')
    .fault("unknown-reference", "vehicle"),
    Hand("two mistakes in one file, one of them no TOML")
    .typed("vehicle", "mass = 1560 ", "mass = 3440 lb ")
    .typed("vehicle", "width = 1840", "widht = 1840")
    .fault("toml-syntax", 9)
    .fault("unknown-field", "widht", "width"),
    Hand("indented with tabs, as people do").typed("site", 'name = "long bay"', '\tname\t=\t"long bay"'),
)

LENGTHS = (
    Hand("the marks of a word processor, in quotes").typed("site", '"12 ft"', '"12’ 6”"'),
    Hand("prime marks").typed("site", '"12 ft"', '"12′ 6″"'),
    Hand("feet and inches by their marks, in single quotes").typed("site", '"12 ft"', "'12 ft 6\"'"),
    Hand("a fraction in one sign").typed("site", '"12 ft"', '"12 ft 9½ in"'),
    Hand("a dash between feet and inches").typed("site", '"12 ft"', '"12\'-6 in"'),
    Hand("no space before the unit").typed("vehicle", '"11.2 m"', '"11200mm"'),
    Hand("wide digits").typed("vehicle", '"11.2 m"', '"１１.２ m"'),
    Hand("a decimal comma, in quotes").typed("vehicle", '"11.2 m"', '"11,2 m"'),
    Hand("a comma that may be either")
    .typed("vehicle", '"11.2 m"', '"11,200 mm"')
    .fault("not-a-quantity", "turning_circle", "11200", "11.200"),
    Hand("thousands of thousands")
    .typed("vehicle", '"11.2 m"', '"11,200,000 mm"')
    .fault("value-impossible", "turning_circle", file="vehicle.toml"),
    Hand("a number in quotes without a unit")
    .typed("vehicle", "length = 4620", 'length = "4620"')
    .fault("unknown-unit", "length", '"4620 mm"'),
    Hand("a unit mistyped").typed("site", '"12 ft"', '"12 fet"').fault("unknown-unit", "doors[0].height", "feet"),
    Hand("a mass where a length is asked")
    .typed("site", '"12 ft"', '"12 lb"')
    .fault("unknown-unit", "doors[0].height", "a mass"),
    Hand("more than twelve inches")
    .typed("site", '"12 ft"', '"12 ft 14 in"')
    .fault("not-a-quantity", "doors[0].height"),
    Hand("a fraction over nothing").typed("site", '"12 ft"', '"12 1/0 ft"').fault("not-a-quantity", "doors[0].height"),
    Hand("a number below zero").typed("vehicle", "length = 4620", "length = -4620").fault("value-impossible", "length"),
    Hand("not a number").typed("vehicle", "length = 4620", "length = nan").fault("not-finite", "length"),
    Hand("a compass point")
    .typed("site", "heading = 0", 'heading = "north"')
    .fault("not-a-quantity", "lifts[0].heading", "deg"),
    Hand("a degree sign").typed("site", "heading = 0", 'heading = "0°"'),
    Hand("a duration as a clock shows it")
    .typed("job", 'wait = "1 h"', 'wait = "1:30"')
    .fault("not-a-quantity", "work[0].wait", "1 h 30 min"),
    Hand("a range the wrong way round").typed("job", "[60, 90]", "[90, 60]").fault("range-reversed", "work[0].minutes"),
    Hand("a range in words")
    .typed("job", "[60, 90]", '"60-90 min"')
    .fault("not-a-quantity", "work[0].minutes", '["60 min", "90 min"]'),
    Hand("an outline closed by its first point")
    .typed("site", '[0, "30 ft 6 in"]]', '[0, "30 ft 6 in"], [0, 0]]')
    .fault("outline-repeats-point", "outline", "Leave it out"),
    Hand("a date month first, in quotes")
    .typed("camera", "2026-01-15", '"01/15/2026"')
    .fault("value-impossible", "source.read_on", "2026-03-02"),
    Hand("times as people say them").typed("site", '["08:00", "17:00"]', '["8am", "5:00 pm"]'),
    Hand("a promise without its day")
    .typed("job", "2026-03-02T16:00:00", '"4 pm"')
    .fault("value-impossible", "promised", "2026-03-02"),
    Hand("hours that close before they open")
    .typed("site", '["08:00", "17:00"]', '["17:00", "08:00"]')
    .fault("range-reversed", "hours"),
    Hand("a list where one number is asked")
    .typed("vehicle", "length = 4620", "length = [4620, 4650]")
    .fault("wrong-type", "length"),
)

NOTATIONS = (
    Hand("a semicolon between two numbers").typed("site", "[44, 0],", "[44; 0],").fault("toml-syntax", 0, "comma"),
    Hand("a number that begins with a zero").typed("site", LIGHT, "light = 0480 ").fault("toml-syntax", 0, "480"),
    Hand("a comma behind a value").typed("site", LIGHT, "light = 480, ").fault("toml-syntax", 0, "Write 480"),
    Hand("a semicolon behind a value").typed("site", LIGHT, "light = 480; ").fault("toml-syntax", 0, "Write 480"),
    Hand("a field of two words")
    .typed("site", "clear_height =", "clear height =")
    .fault("toml-syntax", 0, "clear_height"),
    Hand("a place without brackets").typed("site", "[22, 2]", "22, 2").fault("toml-syntax", 0, "[22, 2]"),
    Hand("a place in round brackets").typed("site", "[22, 2]", "(22, 2)").fault("toml-syntax", 0, "[22, 2]"),
    Hand("a thirtieth of February").typed("job", "2026-03-02T08:30", "2026-02-30T08:30").fault("toml-syntax", 0, "day"),
    Hand("a plus sign").typed("site", LIGHT, "light = +480 "),
    Hand("the other two corners of a box").typed("site", "[6, 28, 18, 30]", "[18, 30, 6, 28]"),
    Hand("a space behind a name").typed("job", '"Pellworth Carder"', '"Pellworth Carder "'),
    Hand("days in short").typed("site", '"monday-friday"', '"mon-fri"'),
)

CAR = '"Pellworth Carder"'

DIVIDED = (
    Hand("a slash in a lift's name").typed("lift", '"low rise"', '"low/rise"').fault("value-impossible", "name", "/"),
    Hand("a slash in a lift's name, where it stands too")
    .typed("site", '"low rise"', '"low/rise"')
    .typed("lift", '"low rise"', '"low/rise"')
    .fault("value-impossible", "name", "/"),
    Hand("a slash in a car's name").typed("vehicle", CAR, '"Pellworth/Carder"').fault("value-impossible", "name", "/"),
    Hand("a slash in a car's name, and in one of two orders")
    .typed("job", CAR, '"Pellworth/Carder"')
    .typed("vehicle", CAR, '"Pellworth/Carder"')
    .fault("value-impossible", "name", "/"),
    Hand("a slash where a car is asked for")
    .typed("job", CAR, '"Pellworth/Carder"')
    .fault("value-impossible", "vehicle", "/"),
    Hand("a slash in a site's name")
    .typed("site", '"Tamarack Street"', '"Tamarack/Street"')
    .fault("value-impossible", "name", "/"),
    Hand("a slash in an order's name")
    .typed("job", '"order 1001"', '"order/1001"')
    .fault("value-impossible", "name", "/"),
    Hand("a slash in a card's name")
    .typed("camera", '"forward camera, targets ahead"', '"forward camera/targets ahead"')
    .fault("value-impossible", "name", "/"),
    Hand("an at sign in the name of a lift of the site")
    .typed("site", '"lift 1"', '"lift@1"')
    .fault("value-impossible", "lifts[0].name", "@"),
    Hand("a slash in the name of a bench")
    .typed("site", '"workbench"', '"work/bench"')
    .fault("value-impossible", "obstacles[0].name", "/"),
)

TYPED = (*SIGNS, *FILES, *NAMES, *TOGETHER, *LENGTHS, *NOTATIONS, *DIVIDED)
