"""Surveys and set-ups read into the model, and the units of what was typed."""

from __future__ import annotations

import math

import pytest
from document_makers import WHOLE, put, whole

from standtrue.documents import Folder, read_document, read_folder
from standtrue.documents.setup import SetupForm, to_setup
from standtrue.model.setup import Setup
from standtrue.model.survey import SurveyPoint


@pytest.fixture(scope="module")
def folder() -> Folder:
    return read_folder(WHOLE)


def changed(path: str, value: object) -> Setup:
    document = read_document(put(whole("setup"), path, value), "setup.toml")
    assert document.faults == ()
    assert isinstance(document.form, SetupForm)
    return to_setup(document.form)


def test_survey(folder: Folder) -> None:
    survey = folder.surveys["whole survey"]
    assert survey.site == "whole site"
    assert survey.states == (("lift a", "down"),)
    assert survey.points[0] == SurveyPoint((1.0, 1.0), 0.0, 0.0005)
    assert survey.points[1] == SurveyPoint((5.0, 1.0), 0.003, 0.001)
    assert survey.lines[0].heights_m == (0.0, 0.001, 0.002, 0.001)


def test_setup(folder: Folder) -> None:
    setup = folder.setups["whole set-up"]
    assert (setup.place.x_m, setup.place.y_m, setup.place.heading_deg) == (3.0, 5.0, 90.0)
    assert (setup.on, setup.height_m, setup.variant) == ("lift a/up", 0.4, "short")
    tape = setup.instruments[0]
    assert (tape.u, tape.plumbed, tape.effort, tape.lines) == (0.001, True, 2.0, ("centerline",))
    first, second, offset, height, angle, lean = setup.readings
    assert first.value == pytest.approx(110.5 * 0.0254)
    assert first.u == pytest.approx(0.0254 / 16)
    assert not first.plumbed
    assert (second.u, second.plumbed) == (0.001, True)  # the instrument's
    assert offset.start == ("rear axle", "thrust line")
    assert (height.start, height.value) == ((), 0.6)
    assert (angle.value, angle.u) == pytest.approx((-math.pi / 2, math.radians(0.1)))
    assert lean.u == pytest.approx(math.radians(0.1))
    assert setup.alignment[1].value_rad == pytest.approx(math.radians(5 / 60))
    assert setup.conditions[0].unit == "bar"


@pytest.mark.parametrize(
    ("units", "metres"), [("in", 98 * 0.0254), ("mm", 0.098), ("m", 98.0), ("ft", 98 * 0.3048), ("cm", 0.98)]
)
def test_98_typed_into_a_form_set_to_inches_is_98_inches(units: str, metres: float) -> None:
    """The document's unit holds for every bare length in it; a quoted one says its own."""
    setup = changed("units", units)
    document = put(put(whole("setup"), "units", units), "readings[1].value", 98)
    form = read_document(document, "x").form
    assert isinstance(form, SetupForm)
    assert to_setup(form).readings[1].value == pytest.approx(metres)
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
