"""Slips of a second round: signs of other notations, names that stand for nothing, two things in one place."""

from __future__ import annotations

from hands import Hand

LIGHT = "light = 480 "

WRITTEN = (
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

MEANT_OTHERWISE = (
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

SLIPS = (*WRITTEN, *MEANT_OTHERWISE)
