"""The commands of aiming, on the starter shop and changes of it."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from command_runner import Run, answered
from standtrue.aim.layout import hub_spots, marks_of
from standtrue.documents import read_folder, write_starter
from standtrue.model.basics import Place
from standtrue.model.ground import Grounds
from standtrue.place.margin.stated import stated_stance

CARD = "forward camera, targets ahead"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    write_starter(tmp_path / "shop")
    return tmp_path / "shop"


def change(shop: Path, file: str, old: str, new: str) -> None:
    text = (shop / file).read_text(encoding="utf-8")
    assert old in text
    (shop / file).write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.usefixtures("asked_once")
def test_targets(run: Run, shop: Path) -> None:
    ran = run("targets", shop, "--json")
    answer = answered("targets", ran.out)
    assert ran.status == 0
    (board,) = answer["targets"]
    assert board["x_m"] == pytest.approx(15 * 0.3048 + 2.71 + 8 * 0.3048, abs=1e-3)
    assert {o["mark"] for o in board["offsets"]} == {"datum", "brass stud"}
    assert len(board["hubs"]) == len(board["diagonals"]) == 4
    assert answer["plan"]["enough"]
    plan = answer["plan"]
    assert plan["checked"] == "every"
    assert all(r["checked_by"] and r["smallest_blunder"] is not None for r in plan["readings"])
    least = answered("targets", run("targets", shop, "--checked", "least", "--json").out)["plan"]
    assert least["checked"] == "least"
    assert [r["title"] for r in least["readings"]] == [r["title"] for r in plan["least"]]
    assert len(least["readings"]) < len(plan["readings"])
    assert answer["thrust_line"]["heading_deg"] == pytest.approx(-0.01)
    table = run("targets", shop, "--units", "us", "--why").out
    assert "plumbed to the floor" in table
    assert "ft" in table


def test_measured(run: Run, shop: Path) -> None:
    ran = run("measured", shop, "--json")
    answer = answered("measured", ran.out)
    assert ran.status == 5
    assert answer["verdict"] == "accept"
    assert answer["may_calibrate"] is False
    assert answer["gate"]["verdict"] == "cannot tell yet"
    assert "nobody measured where the car stands" in answer["gate"]["because"]
    assert answer["car"] is None
    assert any("not checked by any other" in w for w in answer["warnings"])
    assert all(p["probability"] >= 0.95 for t in answer["targets"] for p in t["parts"] if p["verdict"] == "accept")
    table = run("measured", shop).out
    assert table.startswith(
        "Cannot tell yet: nobody measured where the car stands, measure it from marks on the floor;"
    )
    spanish = run("measured", shop, "--language", "es", "--units", "us").out
    assert spanish.startswith("Todavía no se puede saber: nadie midió dónde está el auto,")


def tape_from_marks(shop: Path, place: Place) -> None:
    """Add the distances from both floor marks to all hubs, as a tape on the floor would tell them of a car there."""
    folder = read_folder(shop)
    (site,), car = folder.sites.values(), folder.vehicles["Pellworth Carder"]
    readings = [
        f'[[readings]]\nwhat = "distance"\nfrom = "{mark.name}"\nto = "{wheel}"\n'
        f"value = {1000 * math.dist(mark.at, at[:2]):.4f}\nu = 1\n"
        for mark in marks_of(site)
        for wheel, at in hub_spots(car, place).items()
    ]
    file = shop / "setup.toml"
    file.write_text(file.read_text(encoding="utf-8") + "\n" + "\n".join(readings), encoding="utf-8")


@pytest.mark.usefixtures("asked_once")
def test_zones_and_margins_again_where_the_car_stands(run: Run, shop: Path) -> None:
    """A car found a little off its plan is measured where it is: its margin shrinks by what it came nearer."""
    planned = answered("measured", run("measured", shop, "--json").out)["stance"]
    assert planned["planned"] is True
    assert planned["u_m"] is None
    assert planned["fits"] is True
    assert planned["verdict"] == "accept"
    original = (shop / "setup.toml").read_text(encoding="utf-8")
    feet = 0.3048
    for down, fits in ((0.0, True), (0.2, True), (13 * feet, False)):
        (shop / "setup.toml").write_text(original, encoding="utf-8")
        tape_from_marks(shop, Place(15 * feet, 15 * feet - down, 0.0))
        answer = answered("measured", run("measured", shop, "--json").out)
        stance = answer["stance"]
        assert stance["planned"] is False
        assert stance["place"]["y_m"] == pytest.approx(15 * feet - down, abs=1e-3)
        assert answer["car"]["left_m"] == pytest.approx(-down, abs=1e-3)
        assert stance["fits"] is fits
        (corrected,) = answer["corrected"]
        assert corrected["y_m"] == pytest.approx(15 * feet - down, abs=2e-3)
        if fits:
            assert 0.0 < stance["u_m"] < 0.003
            assert stance["probability"] > 0.99
            lateral = folder_margin(shop, Place(15 * feet, 15 * feet - down, 0.0))
            assert stance["margin_m"] == pytest.approx(lateral, abs=2e-3)
        else:
            assert stance["margin_m"] is None
            assert answer["may_calibrate"] is False
            assert "the car does not fit where it stands" in answer["warnings"]
            assert "The car does not fit where it stands" in " ".join(run("measured", shop).out.split())


def folder_margin(shop: Path, place: Place) -> float:
    folder = read_folder(shop)
    (site,), car = folder.sites.values(), folder.vehicles["Pellworth Carder"]
    card = next(c for c in folder.procedures if c.key == CARD)
    margin = stated_stance(Grounds(site), car, [card], place).margin_m
    assert margin is not None
    return margin


def test_measured_out_of_place_says_what_to_do(run: Run, shop: Path) -> None:
    change(shop, "setup.toml", "value = 1\n", "value = 13\n")
    answer = answered("measured", run("measured", shop, "--json").out)
    assert answer["verdict"] == "reject"
    (target,) = answer["targets"]
    assert "13 mm to the car's right (toward the wall)" in target["correct"]
    assert {"way": "right", "thing": "wall"} in target["toward"]
    right = next(c["values"] for c in target["correct_coded"] if c["code"] == "shift-right")
    # The floor lets the car roll by 0.26 mm a meter: a bob from 1.42 m up falls 0.4 mm off.
    assert right == {"by_m": pytest.approx(0.0134, abs=1e-4), "toward": {"code": "ref", "values": {"kind": "wall"}}}
    us = answered("measured", run("measured", shop, "--units", "us", "--json").out)
    assert us == answer  # JSON is always US English, metric
    assert "1/2 in to the car's right" in run("measured", shop, "--units", "us").out
    assert "to do: " in run("measured", shop).out


def test_98_inches_in_a_form_set_to_inches(run: Run, shop: Path) -> None:
    """The same set-up typed in inches gives the same answer; typed in the wrong unit it is questioned."""
    text = (shop / "setup.toml").read_text(encoding="utf-8")
    inches = text.replace('units = "mm"', 'units = "in"')
    for mm in ("5184", "5183", "1201"):
        inches = inches.replace(f"value = {mm}\n", f"value = {int(mm) / 25.4:.6f}\n")
    inches = inches.replace("value = 1\n", f"value = {1 / 25.4:.6f}\n").replace("u = 1\n", 'u = "1 mm"\n')
    metric = answered("measured", run("measured", shop, "--json").out)
    (shop / "setup.toml").write_text(inches, encoding="utf-8")
    us = answered("measured", run("measured", shop, "--json").out)
    for one, two in zip(metric["targets"][0]["parts"], us["targets"][0]["parts"], strict=True):
        if one["measured"] and "deviation_m" in one:
            assert two["deviation_m"] == pytest.approx(one["deviation_m"], abs=1e-6)
    (shop / "setup.toml").write_text(inches.replace('units = "in"', 'units = "mm"'), encoding="utf-8")
    wrong = answered("measured", run("measured", shop, "--json").out)
    assert wrong["verdict"] != "accept"
    assert any("was it read in inches and typed as millimeters?" in q["words"] for q in wrong["questions"])


def test_conditions_and_alignment_hold(run: Run, shop: Path) -> None:
    change(shop, "setup.toml", 'value = "2.4 bar"', 'value = "1.8 bar"')
    change(shop, "setup.toml", "value = 0.08", "value = 0.40")
    answer = answered("measured", run("measured", shop, "--json").out)
    assert answer["may_calibrate"] is False
    assert "tire pressure is below 2.2 bar" in answer["warnings"]
    assert answer["conditions"][0]["standing"] == "not met"
    assert any("thrust angle" in held for held in answer["alignment_holds"])
    alignment = answered("alignment", run("alignment", shop, "--json").out)
    assert alignment["may_calibrate"] is False
    assert {c["standing"] for c in alignment["checks"]} == {"reject"}
    assert "Held:" in run("alignment", shop).out


def test_a_doubt_names_the_reading_that_settles_it(run: Run, shop: Path) -> None:
    offset = '[[readings]]\nwhat = "offset"\nfrom = "thrust line"\nto = "board"\nvalue = 1\n'
    tape = '[[readings]]\nwhat = "distance"\nfrom = "wheel rear left"\nto = "board right"\nvalue = 5261\n'
    change(shop, "setup.toml", offset, tape)
    answer = answered("measured", run("measured", shop, "--json").out)
    assert answer["verdict"] == "cannot tell"
    (settling,) = answer["settling"]
    assert settling["reading"]["what"] == "offset"
    assert "to settle it, read the offset" in " ".join(run("measured", shop).out.split())


def test_floor(run: Run, shop: Path) -> None:
    ran = run("floor", shop, "--procedure", CARD, "--vehicle", "Pellworth Carder", "--at", "7.5,4.572,0", "--json")
    answer = answered("floor", ran.out)
    assert ran.status == 5
    assert answer["plane"]["slope_deg"] == pytest.approx(0.05, abs=0.01)
    assert answer["numbers"][0]["ff"] > 20
    assert all(f["ok"] for f in answer["flatness"])
    assert answer["level"]["to_m"] - answer["level"]["from_m"] == pytest.approx(0.010)
    assert "10 mm" in answer["level"]["because"]
    standing = answer["standing"]
    assert standing["pitch_deg"] < 0  # the floor rises ahead
    assert min(s["shim_m"] for s in standing["shims"]) == 0
    assert standing["unknown"]
    assert standing["verdict"] == "cannot tell"
    assert standing["stands"] == []
    there = run("floor", shop, "--procedure", CARD, "--vehicle", "Pellworth Carder", "--at", "5.5,4.572,0", "--json")
    told = answered("floor", there.out)["standing"]
    assert told["sensor"]["sensor"] == "forward camera"
    assert told["sensor"]["pitch_deg"] == pytest.approx(told["pitch_deg"])
    assert told["sensor"]["at_100_m_m"] == pytest.approx(100 * math.tan(math.radians(told["pitch_deg"])))
    (stand,) = told["stands"]
    # The floor rises 0.68 mm a meter along x, and the car pitches with it: 3.8 m ahead of the middle of the wheels the
    # floor is in their plane, but for its own unevenness of about a millimeter.
    assert stand["target"] == "board"
    assert stand["above_wheels_m"] == pytest.approx(0.0, abs=0.0013)
    assert 0.0005 < stand["u_m"] < 0.003
    alone = answered("floor", run("floor", shop, "--json").out)
    assert alone["level"] is None
    assert alone["standing"] is None
    assert "shim under" in run("floor", shop, "--at", "5.5,4.572,0", "--units", "us").out


@pytest.mark.usefixtures("asked_once")
def test_pictures(run: Run, shop: Path, tmp_path: Path) -> None:
    """Each is drawn beside the table or the JSON."""
    change(shop, "setup.toml", "value = 1\n", "value = 13\n")
    floor = ("floor", shop, "--procedure", CARD, "--at", "5.5,4.572,0", "--vehicle", "Pellworth Carder")
    for words, said, status in (
        (("targets", shop), "To lay out", 0),
        (("measured", shop), "13 mm to the car", 4),
        (floor, "rises by 0.84 mm a meter", 0),
        ((*floor, "--units", "us"), "rises by 1/8 in in 10 ft", 0),
    ):
        file = tmp_path / f"{words[0]}.svg"
        ran = run(*words, "--out", file)
        assert ran.status == status, ran.err
        assert f"Picture: {file}" in ran.err
        assert said in file.read_text(encoding="utf-8")
        answered(words[0], run(*words, "--json", "--out", file).out)
    assert run("targets", shop, "--out", shop).status == 2


def test_loads(run: Run, shop: Path) -> None:
    answer = answered("loads", run("loads", shop, "--json").out)
    assert answer["loads"][0]["ok"] is True
    assert answer["may_lift"] is False
    assert answer["missing"] == ["the lift's capacity for one axle"]
    change(shop, "lift.toml", "capacity", 'axle_capacity = "4000 lb"\ncapacity')
    answer = answered("loads", run("loads", shop, "--lift", "lift 1", "--json").out)
    assert answer["may_lift"] is True
    assert "within" in run("loads", shop).out


def test_reflector(run: Run) -> None:
    # rcs.76.5.0.08: Doerry, SAND2014-0882; published, seen quoted.
    answer = answered("reflector", run("reflector", "--leg", "80 mm", "--frequency", "76.5", "--json").out)
    assert answer["section_dbsm"] == pytest.approx(10.48, abs=0.01)
    answer = answered("reflector", run("reflector", "--dbsm", "10", "--json").out)
    assert answer["leg_m"] == pytest.approx(0.0776, abs=5e-5)
    assert "3 1/16 in" in run("reflector", "--dbsm", "10", "--units", "us").out
    assert answer["tip_deg"] == pytest.approx(35.2644, abs=1e-4)
    aimed = run("reflector", "--leg", "80 mm", "--distance", "2 m", "--higher", "200 mm", "--tip", "35.26", "--json")
    answer = answered("reflector", aimed.out)
    assert answer["tip_deg"] == pytest.approx(29.5538, abs=1e-4)
    assert answer["off_axis_deg"] == pytest.approx(5.7062, abs=1e-4)
    assert 0.0 < answer["loss_db"] < 1.0
    assert answer["aperture_far_field_m"] == pytest.approx(2 * answer["far_field_m"])
    assert "too far off the axis" in " ".join(run("reflector", "--leg", "80 mm", "--turn", "40").out.split())


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("reflector", "--json"), "fields-conflict"),
        (("reflector", "--leg", "80", "--json"), "unknown-unit"),
        (("reflector", "--leg", "80 kg", "--json"), "unknown-unit"),
        (("reflector", "--leg", "-8 mm", "--json"), "value-impossible"),
        (("reflector", "--leg", "8 mm", "--frequency", "0", "--json"), "value-impossible"),
        (("reflector", "--leg", "1e300 mm", "--json"), "value-impossible"),
        (("reflector", "--leg", "8 mm", "--frequency", "1e308", "--json"), "value-impossible"),
        (("reflector", "--leg", "8 mm", "--frequency", "1e-300", "--json"), "value-impossible"),
        (("reflector", "--dbsm", "10000", "--json"), "value-impossible"),
        (("reflector", "--leg", "8 mm", "--higher", "8 mm", "--json"), "missing-field"),
        (("reflector", "--leg", "8 mm", "--distance", "0 m", "--json"), "value-impossible"),
        (("reflector", "--leg", "8 mm", "--turn", "nan", "--json"), "value-impossible"),
        (("reflector", "--dbsm", "nan", "--json"), "value-impossible"),
        (("floor", "SHOP", "--at", "here", "--json"), "not-a-stance"),
        (("floor", "SHOP", "--at", "1,nan,3", "--json"), "not-finite"),
        (("measured", "SHOP", "--setup", "camra", "--json"), "unknown-name"),
        (("loads", "SHOP", "--lift", "lift 9", "--json"), "unknown-name"),
    ],
)
def test_bad_questions(run: Run, shop: Path, words: tuple[str, ...], code: str) -> None:
    ran = run(*(shop if word == "SHOP" else word for word in words))
    assert ran.status == 2
    assert [f["code"] for f in answered("faults", ran.out)["faults"]] == [code]


def test_too_few_points_are_counted(run: Run, shop: Path) -> None:
    text = (shop / "survey.toml").read_text(encoding="utf-8")
    head, _, rest = text.partition("points = [")
    tail = rest.partition("\n]")[2]
    (shop / "survey.toml").write_text(f"{head}points = [[1, 1, 0], [2, 2, 0]]{tail}", encoding="utf-8")
    ran = run("floor", shop, "--json")
    assert ran.status == 2
    fault = answered("faults", ran.out)["faults"][0]
    assert (fault["code"], fault["what"]) == ("list-empty", "the list holds 2 of at least 3 items")


def test_what_a_folder_lacks(run: Run, shop: Path) -> None:
    change(shop, "setup.toml", f'procedure = "{CARD}"', 'procedure = "rear corner radar, reflector"')
    ran = run("measured", shop, "--json")
    assert ran.status == 2
    assert answered("faults", ran.out)["faults"][0]["code"] == "side-missing"
    change(shop, "survey.toml", "points = [", "points = [\n    [90, 9, 0],")
    assert run("floor", shop, "--json").status == 0


def test_a_stance_beyond_the_room_is_refused(run: Run, shop: Path) -> None:
    text = (shop / "setup.toml").read_text(encoding="utf-8")
    (shop / "setup.toml").write_text(re.sub(r"(?m)^at = \[.*?\]", 'at = ["500 ft", "9 ft"]', text), encoding="utf-8")
    for command in ("targets", "measured"):
        ran = run(command, shop, "--json")
        assert ran.status == 2
        (fault,) = answered("faults", ran.out)["faults"]
        assert fault["code"] == "value-impossible"
        assert "beyond the room, at 152.400 m" in fault["what"]
