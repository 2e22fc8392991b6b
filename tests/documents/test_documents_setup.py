"""Surveys and set-ups read into the model, and the units of what was typed."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from document_makers import GONE, WHOLE, put, whole

from standtrue.documents import Document, Folder, gather, read_document, read_folder
from standtrue.documents.setup import SetupForm, to_setup
from standtrue.documents.vehicle import VehicleForm, to_vehicle
from standtrue.model.setup import (
    FLOOR_START,
    AlignmentReading,
    CarPoint,
    ReadAngle,
    ReadLength,
    Setup,
    Sweep,
)
from standtrue.model.site import Readings, SiteInstrument
from standtrue.model.survey import Sight, SurveyPoint

RULE = SiteInstrument(
    "steel rule", "offset", 0.0005, False, ("left string", "right string"), 2.0, "SR 4", "2026-01-15", 365
)

ALIGNER = SiteInstrument("aligner", "wheel alignment", math.radians(0.02))


@pytest.fixture(scope="module")
def folder() -> Folder:
    return read_folder(WHOLE)


def changed(path: str, value: object) -> Setup:
    document = read_document(put(whole("setup"), path, value), "setup.toml")
    assert document.faults == ()
    assert isinstance(document.form, SetupForm)
    return to_setup(document.form, {"steel rule": RULE})


def test_survey(folder: Folder) -> None:
    survey = folder.surveys["whole survey"]
    assert survey.site == "whole site"
    assert survey.states == (("lift a", "down"),)
    assert survey.points[0] == SurveyPoint((1.0, 1.0), 0.0, 0.0005)
    assert survey.points[1] == SurveyPoint((5.0, 1.0), 0.003, 0.001)
    assert survey.lines[0].heights_m == (0.0, 0.001, 0.002, 0.001)
    assert survey.points[3] == SurveyPoint((1.0, 5.0), 0.002, 0.0005, "A")
    assert survey.leveled == (("B", (3.0, 3.0)), ("C", (3.0, 4.5)))
    (loop,) = survey.loops
    assert (loop.name, loop.u_m) == ("round the pit", 0.0004)
    assert loop.sights[1] == Sight("B", 1.388, 1.405)
    assert loop.sights[3] == Sight("A", None, 1.406)


def survey_faults(changes: dict[str, object], instruments: str = "") -> list[tuple[str, str]]:
    """What is told of the whole survey with changes, at a site that has an instrument."""
    content = whole("survey")
    for path, value in changes.items():
        content = put(content, path, value)
    own = {"name": "our level", "what": instruments or "offset", "u": "0.4 mm"}
    site = put(whole("site"), "instruments[0]", own)
    folder = gather([read_document(content, "survey.toml"), read_document(site, "site.toml"), *lifts()])
    return [(fault.code, fault.field) for fault in folder.faults if fault.file == "survey.toml"]


def lifts() -> list[Document]:
    return [read_document(whole("lift"), "lift.toml")]


def test_a_survey_says_how_well_its_heights_are_known() -> None:
    """Left out it meant exact, in silence: 7.99 of 8 mm was accepted."""
    assert survey_faults({}) == []
    assert survey_faults({"u": GONE}) == [("missing-field", "u")]
    assert survey_faults({"u": GONE, "instrument": GONE}) == [("missing-field", "u")]
    assert survey_faults({"u": GONE, "instrument": "our level"}) == [("missing-field", "u")]
    assert survey_faults({"u": GONE, "instrument": "our level"}, "leveling instrument") == []
    assert survey_faults({"u": 0}) == [("value-impossible", "u")]
    assert survey_faults({"points[0]": [1, 1, 0, 0]}) == [("value-impossible", "points[0]")]


def test_setup(folder: Folder) -> None:
    setup = folder.setups["whole set-up"]
    assert (setup.place.x_m, setup.place.y_m, setup.place.heading_deg) == (3.0, 5.0, 90.0)
    assert (setup.on, setup.height_m, setup.variant) == ("lift a/up", 0.4, "short")
    tape = setup.instruments[0]
    assert (tape.u, tape.plumbed, tape.effort, tape.lines) == (0.001, True, 2.0, ("centerline",))
    first, second, offset, height, angle, lean, from_string = setup.readings
    assert first.value == pytest.approx(110.5 * 0.0254)
    assert first.u == pytest.approx(0.0254 / 16)
    assert not first.plumbed
    assert (second.u, second.plumbed) == (0.001, True)  # the instrument's
    assert offset.start == ("thrust line near", "thrust line far")
    assert (height.start, height.value) == ((FLOOR_START,), 0.6)
    assert (from_string.start, from_string.u) == (("left string rear", "left string front"), 0.0005)
    assert (angle.value, angle.u) == pytest.approx((-math.pi / 2, math.radians(0.1)))
    assert lean.u == pytest.approx(math.radians(0.1))
    toe, sweep, camber, set_back = setup.alignment[1:]
    assert toe == AlignmentReading("toe rear right", ReadLength(0.00059, 0.0002), 16 * 0.0254)
    assert sweep.read == Sweep(*map(math.radians, (1.5, -1.2, 20, 0.02, 0.2)))
    assert (camber.read, camber.instrument) == (ReadAngle(math.radians(-0.5), math.radians(0.02)), "aligner")
    assert set_back.read == ReadLength(0.005, 0.001)
    assert setup.conditions[0].unit == "bar"
    assert setup.conditions[0].u == pytest.approx(0.5 * 0.0689475729)


@pytest.mark.parametrize(
    ("units", "metres"), [("in", 98 * 0.0254), ("mm", 0.098), ("m", 98.0), ("ft", 98 * 0.3048), ("cm", 0.98)]
)
def test_98_typed_into_a_form_set_to_inches_is_98_inches(units: str, metres: float) -> None:
    """The document's unit holds for every bare length in it; a quoted one says its own."""
    setup = changed("units", units)
    document = put(put(whole("setup"), "units", units), "readings[1].value", 98)
    form = read_document(document, "x").form
    assert isinstance(form, SetupForm)
    assert to_setup(form, {"steel rule": RULE}).readings[1].value == pytest.approx(metres)
    assert setup.readings[0].value == pytest.approx(110.5 * 0.0254)
    assert setup.readings[4].value == pytest.approx(-math.pi / 2)


@pytest.mark.parametrize(
    ("value", "text", "runs"),
    [
        (6482, "6482", ((0, 4, 0.001),)),
        (-11.5, "-11.5", ((1, 5, 0.001),)),
        ("9 ft 2 1/2 in", "9 ft 2 1/2 in", ((0, 1, 0.3048), (5, 6, 0.0254))),
        ("6.482 m", "6.482 m", ((0, 5, 1.0),)),
        ("1/2 in", "1/2 in", ()),
    ],
)
def test_a_reading_keeps_its_figure_as_typed(value: object, text: str, runs: tuple[object, ...]) -> None:
    """Each run of digits with what one of it is worth, so that a slip in it can be looked for."""
    typed = changed("readings.1.value", value).readings[1].typed
    assert typed is not None
    assert (typed.text, typed.runs) == (text, runs)


def test_a_bare_angle_is_degrees_whatever_the_unit_of_length() -> None:
    assert changed("readings[4].value", -90).readings[4].value == pytest.approx(-math.pi / 2)
    assert changed("readings[4].value", "-1.5 rad").readings[4].value == pytest.approx(-1.5)


def test_references(folder: Folder) -> None:
    assert folder.setups["whole set-up"].procedure == "whole card/left"


def test_what_a_set_up_says_of_its_car(folder: Folder) -> None:
    setup = folder.setups["whole set-up"]
    assert setup.points == (CarPoint("hub rear left", 0.095, 0.002), CarPoint("bar front left", 0.9144, 0.001))
    line, plates = setup.ties
    # Anything within 20 mm as likely: standard uncertainty 20 / sqrt(3) (JCGM 100:2008, 4.3.7).
    assert (line.u_m, line.u_turn_rad) == pytest.approx((0.0115470, math.radians(0.577350)))
    assert (line.what, line.along_m, line.fixes) == ("front wheels at the painted line", 0.005, ("along", "turn"))
    assert (plates.u_m, plates.u_turn_rad, plates.fixes) == (0.005, math.radians(0.3), ("along", "across", "turn"))
    assert setup.lines == (("thrust line", 0.002),)
    assert setup.instrument_names == ("old tape", "steel rule", "aligner")


def test_instruments_of_the_site(folder: Folder) -> None:
    site = folder.sites["whole site"]
    assert site.instruments == (ALIGNER, RULE)
    assert site.readings == Readings(("hub face", "axle bar", "clamp"), "least", 0.15, 1.8288)


def test_a_set_up_without_instruments_uses_those_of_its_site() -> None:
    document = {**whole("setup"), "readings": [], "instruments": []}
    form = read_document(document, "x").form
    assert isinstance(form, SetupForm)
    setup = to_setup(form, {"steel rule": RULE})
    assert [(one.name, one.what, one.effort) for one in setup.instruments] == [("steel rule", "offset", 2.0)]


def across(change: Callable[[dict[str, Any]], dict[str, Any]]) -> set[tuple[str, str]]:
    """The faults of the whole folder with its set-up changed."""
    kinds = ("site", "lift", "vehicle", "procedure", "older-card", "job", "setup")
    documents = [read_document(change(whole(k)) if k == "setup" else whole(k), f"{k}.toml") for k in kinds]
    return {(fault.code, fault.field) for fault in gather(documents).faults}


def test_an_instrument_that_the_site_lacks_is_a_fault() -> None:
    assert across(lambda s: s) == set()
    assert across(lambda s: put(s, "readings[6].instrument", "lost rule")) == {
        ("unknown-reference", "readings[6].instrument")
    }
    named = [{"name": "steel rule"}, "lost rule"]
    assert ("unknown-reference", "instruments[1]") in across(lambda s: put(s, "instruments", named))
    none = across(lambda s: put(put(s, "instruments", ["steel rule"]), "readings[6].instrument", GONE))
    assert ("unknown-reference", "readings[1].instrument") in none
    tapes = [{**one, "instrument": "steel rule"} for one in whole("setup")["readings"][1:2]]
    assert across(lambda s: put(s, "readings", tapes)) == {("missing-field", "readings[0].u")}


ALIGNMENT_FAULTS = {
    "no uncertainty": ("alignment[1].u", GONE, {("missing-field", "alignment[1].u")}),
    "no aligner": ("alignment[3].instrument", "lost", {("unknown-reference", "alignment[3].instrument")}),
    "a tape is none": ("alignment[3].instrument", "steel rule", {("missing-field", "alignment[3].u")}),
}


@pytest.mark.parametrize("name", ALIGNMENT_FAULTS)
def test_an_alignment_reading_says_how_well_it_was_read(name: str) -> None:
    path, value, faults = ALIGNMENT_FAULTS[name]
    assert across(lambda s: put(s, path, value)) == faults


def test_the_aligner_of_the_site_says_it_for_those_that_do_not() -> None:
    bare = [{"what": "toe rear left", "value": 0.1}]
    assert across(lambda s: put(s, "alignment", bare)) == set()


def test_how_well_a_car_is_known(folder: Folder) -> None:
    car = folder.vehicles["whole car"]
    assert (car.hub_offset_m("front"), car.hub_offset_m("rear")) == (0.092, 0.097)
    assert (car.u_m("track_rear"), car.u_m("hub_offset_front")) == (0.002, 0.006)
    document = {k: v for k, v in whole("vehicle").items() if k not in ("track_rear", "known_to", "hub_offset_rear")}
    form = read_document(document, "x").form
    assert isinstance(form, VehicleForm)
    bare = to_vehicle(form)
    assert (bare.u_m("wheelbase"), bare.u_m("track_rear"), bare.u_m("hub_offset_rear")) == (0.003, 0.03, 0.008)
    assert bare.hub_offset_m("rear") == pytest.approx(0.44 * 0.225)
