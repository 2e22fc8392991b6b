"""Exit statuses: 4 for a no, 5 where it cannot be told, 0 for a yes; on wish where the question is for no verdict."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from command_runner import Run
from standtrue.documents import write_starter
from standtrue.study.tally import Share, Tally
from standtrue.work.study.answer import RoomAnswer, StudyAnswer

NOT_LOOKED_AT: Any = None
CAR = "Pellworth Carder"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    write_starter(tmp_path / "shop")
    return tmp_path / "shop"


def change(folder: Path, file: str, old: str, new: str) -> None:
    text = (folder / file).read_text(encoding="utf-8")
    changed = re.sub(old, new, text, count=1)
    assert changed != text
    (folder / file).write_text(changed, encoding="utf-8")


def test_place_fails_on_a_no_where_it_is_asked_to(run: Run, shop: Path) -> None:
    assert run("place", shop, "--vehicle", CAR, "--fail-on-no").status == 0
    change(shop, "site.toml", r"clear_height = .*", 'clear_height = "3 ft"')
    assert run("place", shop, "--vehicle", CAR).status == 0
    assert run("place", shop, "--vehicle", CAR, "--fail-on-no", "--json").status == 4


def test_needs_fails_on_a_required_calibration_without_a_card(run: Run, shop: Path) -> None:
    assert run("needs", shop, "--fail-on-no").status in (0, 5)
    for file in shop.glob("*.toml"):
        if 'kind = "procedure"' in file.read_text("utf-8") or 'kind = "setup"' in file.read_text("utf-8"):
            file.unlink()
    assert run("needs", shop).status == 0
    assert run("needs", shop, "--fail-on-no").status == 4


def test_drive_fails_where_there_is_no_way(run: Run, shop: Path) -> None:
    move = ("drive", shop, "--from", "4.5,4.5,0", "--fail-on-no")
    assert run(*move, "--to", "4.6,4.5,0").status == 0
    assert run(*move, "--to", "0.5,4.5,0").status == 4


@pytest.mark.parametrize(
    ("loads", "status"), [('axle_capacity = "4000 lb"', 0), ('axle_capacity = "400 lb"', 4), ("", 5)]
)
def test_loads(run: Run, shop: Path, loads: str, status: int) -> None:
    change(shop, "lift.toml", "capacity", f"{loads}\ncapacity")
    assert run("loads", shop).status == status
    assert run("loads", shop, "--json").status == status


@pytest.mark.parametrize(("left", "u", "status"), [("0.09", "0.005", 0), ("0.9", "0.005", 4), ("0.08", "0.5", 5)])
def test_alignment(run: Run, shop: Path, left: str, u: str, status: int) -> None:
    change(shop, "setup.toml", r"value = 0\.08\nu = 0\.005", f"value = {left}\nu = {u}")
    ran = run("alignment", shop)
    assert ran.status == status
    assert ran.out.startswith(
        {0: "Every limit was measured and is in tolerance", 4: "Do not calibrate yet: ", 5: "Cannot tell yet: "}[status]
    )


def test_a_study_falls_short_where_no_room_does_all() -> None:
    def study(done: float, undecided: float) -> StudyAnswer:
        told = Tally(Share("all", done, 10.0), (), (), (), (), undecided)
        room = RoomAnswer(NOT_LOOKED_AT, {}, told, (), ())
        return StudyAnswer(NOT_LOOKED_AT, (), (), (room,), NOT_LOOKED_AT, (), {})

    assert not study(10.0, 0.0).falls_short
    assert study(8.0, 1.0).falls_short
    assert not study(8.0, 2.0).falls_short
    assert study(8.0, 2.0).undecided
