"""One verdict of everything: each thing that is known to stand against calibrating, or not known, shuts the gate."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from attrs import evolve
from work_makers import ahead, card

from standtrue.demo import write_demo
from standtrue.model.procedure import FloorLevel
from standtrue.show.words.gate import gate_line
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.aim.aiming import judge_measured
from standtrue.work.aim.gate import Gate, May
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.ask import open_shop

SETUP, CARD = "setup-corrow-camera-moved.toml", "card-wide-board.toml"
MOVED = "corrow camera, moved"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    write_demo(tmp_path / "shop")
    return tmp_path / "shop"


def change(folder: Path, file: str, old: str, new: str | Callable[[re.Match[str]], str]) -> None:
    """Put `new` in place of the pattern `old`, wherever it stands in the file."""
    text = (folder / file).read_text(encoding="utf-8")
    changed = re.sub(old, new, text)
    assert changed != text
    (folder / file).write_text(changed, encoding="utf-8")


def gate(folder: Path, setup: str = MOVED) -> Gate:
    found = open_shop(folder)
    return judge_measured(found, found.setups[setup]).gate


def card_file(folder: Path) -> str:
    return next(f.name for f in folder.iterdir() if 'name = "forward camera wide board"' in f.read_text("utf-8"))


def test_where_nothing_stands_against_it_the_card_and_the_stance_are_named(shop: Path) -> None:
    found = gate(shop)
    assert found.verdict is May.YES
    assert gate_line(found, ENGLISH) == (
        "May be calibrated by this card (invented for demonstration), as the car stands now on the floor."
    )
    assert gate_line(found, Reader(language="es")).startswith("Puede calibrarse según esta ficha")


NO, UNSURE = May.NO, May.CANNOT_TELL
KINDS = {
    "condition not met": (NO, SETUP, r"510 lux", "5 lux", "conditions-not-met"),
    "alignment out": (NO, SETUP, r'("toe rear left", value = )0\.13', r"\g<1>0.73", "alignment-not-kept"),
    "condition not recorded": (UNSURE, SETUP, r'what = "light"', 'what = "darkness"', "conditions-not-recorded"),
    "alignment not measured": (UNSURE, SETUP, r".*toe front left.*\n", "", "alignment-partly-known"),
    "height not measured": (UNSURE, SETUP, r'.*what = "height", from.*\n', "", "target-not-measured"),
    "not tied": (UNSURE, SETUP, r'.*from = "stud.*\n', "", "stance-not-measured"),
    "read once": (UNSURE, SETUP, r".*value = 1421 .*\n", "", "readings-checked-by-no-other"),
    "misread": (UNSURE, SETUP, r"value = 6483 ", "value = 6533 ", "a-reading-contradicts"),
    "impossible": (UNSURE, SETUP, r"value = 6483 ", "value = 66483 ", "readings-questioned"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_thing_alone_shuts_the_gate(shop: Path, kind: str) -> None:
    verdict, file, old, new, code = KINDS[kind]
    change(shop, file, old, new)
    found = gate(shop)
    assert found.verdict is verdict
    assert code in [hold.what.code for hold in found.holds]
    begin = "Do not calibrate yet: " if verdict is NO else "Cannot tell yet: "
    assert gate_line(found, ENGLISH).startswith(begin)


def test_one_statement_says_where_the_car_stands(shop: Path) -> None:
    """Without any reading from a mark: the wheels on the painted marks, to 20 mm."""
    change(shop, SETUP, r'.*from = "stud.*\n', "")
    tie = 'tie = { what = "wheels on the painted marks", within = "20 mm" }'
    change(shop, SETUP, r"(?m)^alignment = \[", f"{tie}\nalignment = [")
    assert gate(shop).verdict is May.YES


def test_only_cards_that_ask_something_of_the_room_rest_on_where_the_car_stands() -> None:
    bare, near = card(), card(ahead(2.0))
    assert not bare.rests_on_place
    assert near.rests_on_place
    assert not card(ahead(2.0, needs="plain")).rests_on_place
    assert evolve(bare, floor_level=FloorLevel(0.005)).rests_on_place


def test_a_target_out_of_tolerance(shop: Path) -> None:
    found = gate(shop, "corrow camera")
    assert found.verdict is NO
    assert gate_line(found, ENGLISH).startswith("Do not calibrate yet: the wide board is out of tolerance; ")


def test_a_floor_that_nobody_surveyed_is_not_known(shop: Path) -> None:
    (shop / "survey.toml").unlink()
    found = gate(shop)
    assert found.verdict is UNSURE
    assert gate_line(found, ENGLISH) == (
        "Cannot tell yet: whether the floor under the car is level enough is not known, survey it."
    )


def test_a_floor_height_that_looks_misread_is_read_again(shop: Path) -> None:
    """50 mm too high in one height beside the rear wheels."""
    change(shop, "survey.toml", r'\[29, 8, "18 mm"\]', '[29, 8, "68 mm"]')
    line = gate_line(gate(shop), ENGLISH)
    assert line.startswith(
        "Cannot tell yet: whether the floor under the car is level enough rests on heights that look "
    )
    assert " again" in line


def test_a_height_taped_from_floor_that_is_higher_is_not_the_boards(shop: Path) -> None:
    """The floor under the board 6.5 mm higher than under the wheels, the height taped from there as planned on flat
    floor: the board stands that much too high, and what is to be taped from there is that much less."""
    level, planned = _height(shop), _to_tape(shop)
    change(shop, "survey.toml", r'(\[(?:8|15), (?:8|15)), "([\d.]+) mm"', _raised)
    assert _height(shop) - level == pytest.approx(0.0065, abs=1e-4)
    assert _to_tape(shop) - planned == pytest.approx(-0.0065, abs=1e-4)
    assert gate(shop).verdict is not May.YES


def _raised(found: re.Match[str]) -> str:
    return f'{found[1]}, "{float(found[2]) + 6.5} mm"'


def _height(folder: Path) -> float:
    """How much too high the board of the set-up stands, by its readings."""
    found = open_shop(folder)
    return judge_measured(found, found.setups[MOVED]).setup.targets[0].part("height").deviation


def _to_tape(folder: Path) -> float:
    """The height that is to be read."""
    found = open_shop(folder)
    plan = lay_targets_out(found, found.setups[MOVED]).plan
    assert plan is not None
    (height,) = {one.value for one in plan.planned if one.reading.what == "height"}
    return height


def test_the_line_names_everything_what_is_known_first(shop: Path) -> None:
    """The board is in tolerance, the floor is not level enough, and nobody measured the alignment."""
    change(shop, "survey.toml", r"u = .*", 'u = "0.05 mm"')
    change(shop, card_file(shop), r"within = .*?,", 'within = "0.2 mm",')
    line = gate_line(gate(shop), ENGLISH)
    assert line.startswith("Do not calibrate yet: the floor under the car is not level enough")
    assert line.endswith(" The wide board is in tolerance.")
    change(shop, SETUP, r"(?s)alignment = \[.*?\n\]\n", "")
    line = gate_line(gate(shop), ENGLISH)
    assert line.startswith(
        "Do not calibrate yet: the floor under the car is not level enough; the alignment is not known"
    )
    assert "in tolerance" not in line  # the thrust line that it stands on is not known


def test_contradicting_alignment_readings_are_read_again(shop: Path) -> None:
    """The toes make 0.04 degrees of thrust angle; 0.90 typed beside them shuts the gate and is not overwritten."""
    more = '{ what = "thrust angle", value = 0.90, u = 0.02 },'
    change(shop, SETUP, r"(alignment = \[\n)", rf"\g<1>    {more}\n")
    found = gate(shop)
    assert found.verdict is UNSURE
    assert gate_line(found, ENGLISH) == (
        "Cannot tell yet: alignment readings contradict each other, "
        "read thrust angle, toe rear left and toe rear right again."
    )


def test_an_overdue_check_is_told_beside_the_verdict(shop: Path) -> None:
    """Of an instrument that the set-up uses; on its last day it is not overdue."""
    site = next(f.name for f in shop.iterdir() if 'kind = "site"' in f.read_text("utf-8"))
    rule = '[[instruments]]\nname = "{}"\nwhat = "offset"\nu = "1 mm"\nchecked_on = 2026-01-10\ncheck_every = 30\n'
    text = (shop / site).read_text(encoding="utf-8")
    (shop / site).write_text(text + "\n" + rule.format("old rule") + rule.format("unused rule"), encoding="utf-8")
    change(shop, SETUP, r'(what = "offset", .*value = -109)', r'\g<1>, instrument = "old rule"')
    found = open_shop(shop)
    setup = found.setups[MOVED]
    lines = [gate_line(judge_measured(found, setup, datetime.date(2026, 2, day)).gate, ENGLISH) for day in (9, 12)]
    assert "overdue" not in lines[0]
    assert lines[1].endswith(" on the floor. Told with it: the check of the old rule is 3 days overdue.")


def test_estimated_dimensions_are_told_beside_the_verdict(shop: Path) -> None:
    change(shop, "vehicle-tavlin-corrow.toml", r"(?m)^ground_clearance = .*\n", "")
    found = gate(shop)
    assert found.verdict is May.YES
    assert gate_line(found, ENGLISH).endswith("Told with it: estimated, not measured: ground clearance.")


def test_readings_that_no_other_checks_are_told_where_the_shop_wishes_the_least(shop: Path) -> None:
    change(shop, SETUP, r".*value = 1421 .*\n", "")
    site = next(f.name for f in shop.iterdir() if 'kind = "site"' in f.read_text("utf-8"))
    change(shop, site, r"\[readings\]\n", '[readings]\nchecked = "least"\n')
    found = gate(shop)
    assert found.verdict is May.YES
    assert gate_line(found, ENGLISH).endswith("Told with it: one reading is checked by no other.")


def test_under_an_alarm_no_target_is_called_out_of_tolerance(shop: Path) -> None:
    change(shop, SETUP, r"value = 6483 ", "value = 6533 ")
    codes = {hold.what.code for hold in gate(shop).holds}
    assert codes == {"a-reading-contradicts"}


def test_a_verdict_has_no_truth_of_its_own() -> None:
    with pytest.raises(TypeError, match="compare"):
        bool(May.CANNOT_TELL)


def doubts(folder: Path) -> list[tuple[str, str]]:
    """What is not known, and what ends that, as codes."""
    return [(hold.what.code, "" if hold.do is None else hold.do.code) for hold in gate(folder).ordered]


def test_a_board_too_close_to_a_limit_is_to_be_shifted_as_told(shop: Path) -> None:
    """Both offsets 3 mm farther right: 4 mm off, at most 5. No single reading settles that, and a shift does."""
    change(shop, SETUP, r"value = -109 ", "value = -112 ")
    change(shop, SETUP, r"value = 95 ", "value = 92 ")
    (code, do) = next(d for d in doubts(shop) if d[0] == "target-too-close")
    assert (code, do) == ("target-too-close", "shift-it")


def test_a_tolerance_narrower_than_what_is_known_takes_better_readings(shop: Path) -> None:
    change(shop, card_file(shop), r"(tolerance = .*across = )[^,}]*", r'\g<1>"1 mm"')
    assert ("target-too-close", "measure-these-closer") in doubts(shop)
    assert "measure more closely where it stands (across)" in gate_line(gate(shop), ENGLISH)


def test_an_alignment_too_close_to_its_limits_is_set_or_read_more_closely(shop: Path) -> None:
    """Reading 0.095 of at most 0.100 degrees again, as well known as before, would end nothing."""
    change(shop, SETUP, r'("toe rear left", value = )0\.13', r"\g<1>0.24")
    assert ("alignment-too-close", "set-or-read-closer") in doubts(shop)


def test_without_rear_toes_no_board_is_called_out_for_standing_on_the_thrust_line(shop: Path) -> None:
    """The centerline stands in for it: 18 mm beside that, at most 5, says nothing before the toes are known."""
    change(shop, SETUP, r"value = -109 ", "value = -121 ")
    change(shop, SETUP, r"value = 95 ", "value = 83 ")
    change(shop, SETUP, r"(?s)alignment = \[.*?\n\]\n", "")
    found = gate(shop)
    assert found.verdict is UNSURE
    assert "targets-out" not in [hold.what.code for hold in found.ordered]
    assert ("thrust-line-not-known", "measure-rear-toes") in doubts(shop)
