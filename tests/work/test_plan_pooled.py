"""The plan is the best of all places, forms and supports; equipment stays up until its room or the car is wanted."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from attrs import evolve

from standtrue.documents import read_folder
from standtrue.model.order import Front, Plan, Problem, Stand, Step
from standtrue.model.reason import Reason, Speed
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.ordered import Ordered
from standtrue.work.plan.plans import find_plan

OWN = Path(__file__).parent / "plan_shop"

HALL = """
kind = "site"
schema = 1
demonstration = true
name = "hall"
units = "m"
box = [0, 0, {long}, {wide}]
[[doors]]
name = "door"
from = [0, 2.0]
to = [0, 6.0]
height = 3.6
[[bays]]
name = "near"
box = [0, 0, {half}, {wide}]
[[bays]]
name = "far"
box = [{half}, 0, {long}, {wide}]
[[equipment]]
name = "frame"
kind = "target frame"
footprint = {{ box = [-0.3, -0.6, 0.3, 0.6] }}
height = 2.0
set_up = [4, 6]
put_away = [2, 4]
[[equipment]]
name = "reflector"
kind = "reflector"
footprint = {{ box = [-0.3, -0.3, 0.3, 0.3] }}
height = 1.2
set_up = [3, 5]
put_away = [1, 3]
"""

JOB = """
kind = "job"
schema = 1
demonstration = true
name = "hall"
units = "m"
site = "hall"
vehicle = "middling car"
[[events]]
event = "windshield replaced"
[[events]]
event = "rear bumper removed"
"""

CARD = """
kind = "procedure"
schema = 1
demonstration = true
name = "{name}"
units = "m"
sensor = {{ kind = "{sensor}"{side} }}
method = "static"
supports = ["floor"]
minutes = {{ run = {minutes} }}
[source]
title = "invented for demonstration"
status = "demonstration"
"""

BOARD = """
[[targets]]
name = "board"
equipment = "target frame"
anchor = "front"
at = [2.3, 0, 1.2]
facing = 180
"""

BEHIND = """
[[targets]]
name = "reflector"
equipment = "reflector"
anchor = "rear"
at = [-2.0, 2.2, 0.7]
facing = 0
"""

FAR_BOARD = """
[[zones]]
name = "board near by"
needs = "stand"
anchor = "front"
box = [2.0, -0.6, 2.6, 0.6]
top = 2.0
[[variants]]
name = "far board"
minutes = { run = 15 }
[[variants.zones]]
name = "board far off"
needs = "stand"
anchor = "front"
box = [7.0, -0.6, 7.6, 0.6]
top = 2.0
"""


def planned(folder: Path, files: Mapping[str, str], *, alternatives: bool = False) -> PlanAnswer:
    for name in ("vehicle.toml", "rules.toml"):
        (folder / name).write_text((OWN / name).read_text())
    for name, text in {"job": JOB, **files}.items():
        (folder / f"{name}.toml").write_text(text)
    read = read_folder(folder)
    assert not read.faults, read.faults
    return find_plan(read.shop(), read.jobs["hall"], alternatives=alternatives)


def camera(more: str, minutes: int = 60) -> str:
    return CARD.format(name="camera", sensor="forward camera", side="", minutes=minutes) + more


def radar(more: str) -> str:
    return CARD.format(name="radar", sensor="rear corner radar", side=', side = "each"', minutes=10) + more


def hall(long: float, wide: float) -> str:
    return HALL.format(long=long, wide=wide, half=long / 2)


def kinds(plan: Plan) -> list[str]:
    return [step.kind for step in plan.steps if step.kind not in ("scan", "confirm")]


def test_a_form_that_takes_less_time_is_taken_though_another_has_more_room(tmp_path: Path) -> None:
    """Near by there is room to spare; with the board far off the car must stand at the end of the hall, and is done
    in a quarter of the time."""
    answer = planned(tmp_path, {"site": hall(16, 9), "camera": camera(FAR_BOARD), "radar": radar(BEHIND)})
    assert answer.plan is not None
    (aimed,) = [s for s in answer.plan.steps if s.choice is not None and s.choice.variant is not None]
    assert aimed.choice is not None
    assert (aimed.choice.variant, aimed.choice.run_s) == ("far board", (900.0, 900.0))


def test_a_frame_stays_up_while_a_stand_is_set_behind_the_car(tmp_path: Path) -> None:
    """Each is set up once and put away before the car leaves; the other side's reflector is carried over."""
    answer = planned(tmp_path, {"site": hall(16, 12), "camera": camera(BOARD), "radar": radar(BEHIND)})
    assert answer.plan is not None
    assert answer.plan.moves == 0
    assert kinds(answer.plan)[-2:] == ["put away", "leave"]
    assert sorted(kinds(answer.plan)) == sorted(
        ["enter", *2 * ["set up"], "carry", *3 * ["calibration"], "put away", "leave"]
    )
    least, _, most = answer.plan.elapsed_s
    handled = sum(s.end_s[1] - s.start_s[1] for s in answer.plan.steps if s.kind in ("set up", "carry", "put away"))
    assert handled == 60.0 * (5 + 4 + 4 + 3 + 2)
    assert least < most


@pytest.mark.parametrize("needs", ["clear", "walk", "stand", "metal-free", "plain"])
def test_a_frame_is_put_away_where_another_card_wants_its_room(tmp_path: Path, needs: str) -> None:
    """Before the car, where the frame stands, the radars' card wants room too: nothing then stands there."""
    wanted = f"""
[[zones]]
name = "room before the car"
needs = "{needs}"
anchor = "front"
box = [1.0, -1.0, 4.0, 1.0]
top = 1.5
"""
    cards = {"camera": camera(BOARD), "radar": radar(BEHIND + wanted)}
    answer = planned(tmp_path, {"site": hall(18, 12), **cards})
    assert answer.plan is not None
    up: set[str] = set()
    for step in answer.plan.steps:
        names = {f.equipment for f in step.fittings}
        up = up - names if step.kind == "put away" else up | names
        if step.operation is not None and "radar" in answer.ordered.problem.operations[step.operation].name:
            assert "frame" not in up
    assert kinds(answer.plan).count("put away") == 2


def test_what_pushing_takes_is_told_where_a_car_is_pushed(tmp_path: Path) -> None:
    """People and pace; and that the site lists too few of them."""
    people = "".join(f'[[people]]\nname = "{name}"\nskills = ["scan tool"]\n' for name in ("Ash", "Birch"))
    files = {"site": hall(16, 12) + people, "camera": camera(BOARD), "radar": radar(BEHIND)}
    dead = JOB.replace("[[events]]", 'drivable = "no"\n[[events]]', 1)
    told = {w.code: w for w in planned(tmp_path, {**files, "job": dead}).basis.warnings if isinstance(w, Reason)}
    assert told["pushing-counted"]["people"] == 3
    assert told["pushing-counted"]["slow"] == Speed(0.4)
    assert told["too-few-to-push"]["listed"] == 2
    driven = planned(tmp_path, files).basis.warnings
    assert not any(isinstance(w, Reason) and "push" in w.code for w in driven)


def test_no_bay_alone_beats_the_plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In no room of these, for no alternative that only keeps the car in a bay."""
    monkeypatch.setattr("standtrue.work.plan.plans.BUDGET_S", 600.0)
    compared = 0
    for number, (long, wide) in enumerate([(12, 7), (20, 8), (30, 7)]):
        folder = tmp_path / str(number)
        folder.mkdir()
        cards = {"camera": camera(FAR_BOARD), "radar": radar(BEHIND)}
        answer = planned(folder, {"site": hall(long, wide), **cards}, alternatives=True)
        for other in answer.alternatives:
            if other.change.code == "only-in-bay":
                compared += 1
                assert not other.ordered.beats(answer.ordered)
    assert compared == 6


def ordered(*plans: tuple[float, int]) -> Ordered:
    """An answer with such a front: seconds and moves."""
    made = []
    for seconds, moves in plans:
        step = Step("leave", (0.0, 0.0, 0.0), (seconds, seconds, seconds), Stand(0))
        made.append(Plan((step,), moves))
    return Ordered(Problem((), 1), (), Front(tuple(made), True), (), {})


def test_the_plan_is_ready_first_and_of_those_ready_in_one_minute_the_one_with_fewest_moves() -> None:
    found = ordered((3600.0, 3), (3612.0, 2), (3900.0, 0)).plan
    assert found is not None
    assert found.moves == 2


def test_what_is_better_in_everything_beats_and_nothing_else_does() -> None:
    plan = ordered((3600.0, 1))
    assert ordered((3500.0, 1)).beats(plan)
    assert ordered((3600.0, 0)).beats(plan)
    assert not ordered((3600.0, 1)).beats(plan)
    assert not ordered((3500.0, 2)).beats(plan)
    assert not ordered((3700.0, 0)).beats(plan)
    assert not evolve(plan, front=Front((), True)).beats(plan)
    assert plan.beats(evolve(plan, front=Front((), True)))
