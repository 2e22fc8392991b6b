"""What the Python door answers is what the command writes as JSON for the same question, of the same documents."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from door_shops import ROOM, as_folder, small_shop
from picture_laws import faults, read_picture

import standtrue
from command_runner import Run
from standtrue.demo import write_demo
from standtrue.show.words.reader import Reader

Asked = Callable[[standtrue.Shop], standtrue.Answer[Any]]

OF_DEMONSTRATION: dict[str, tuple[Asked, tuple[str, ...]]] = {
    "needs": (lambda shop: standtrue.needs(shop, job="corrow front"), ("needs", "--job", "corrow front")),
    "place": (
        lambda shop: standtrue.place(
            shop,
            vehicle=shop.vehicles["Tavlin Corrow"],
            procedures=[shop.cards["forward camera board"]],
            support="floor",
            headings=[90],
            remedies=False,
            reach=True,
        ),
        (
            *("place", "--vehicle", "Tavlin Corrow", "--procedure", "forward camera board"),
            *("--support", "floor", "--region", "90", "--no-remedies", "--reach"),
        ),
    ),
    "plan": (
        lambda shop: standtrue.plan(shop, job="nib windshield", alternatives=False),
        ("plan", "--job", "nib windshield", "--no-alternatives"),
    ),
    "targets": (
        lambda shop: standtrue.targets(shop, setup="corrow camera", checked="least"),
        ("targets", "--setup", "corrow camera", "--checked", "least"),
    ),
    "measure": (
        lambda shop: standtrue.measure(shop, setup=shop.setups["corrow camera, moved"]),
        ("measured", "--setup", "corrow camera, moved"),
    ),
    "floor": (lambda shop: standtrue.floor(shop), ("floor",)),
}

OF_VALUES: dict[str, tuple[Asked, tuple[str, ...]]] = {
    "place": (lambda shop: standtrue.place(shop, vehicle="low car"), ("place", "--vehicle", "low car")),
    "drive": (
        lambda shop: standtrue.drive(shop, "door:front door", (2.4, 3.0, 90), vehicle="low car"),
        ("drive", "--vehicle", "low car", "--from", "door:front door", "--to", "2.4,3,90"),
    ),
    "study": (lambda shop: standtrue.study(shop, places=False), ("study", "--no-places")),
}


@pytest.fixture(scope="module")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("door") / "shop"
    write_demo(folder)
    return folder


@pytest.mark.parametrize("name", OF_DEMONSTRATION)
def test_of_a_shop_that_was_read(name: str, demonstration: Path, run: Run) -> None:
    asked, (command, *words) = OF_DEMONSTRATION[name]
    wanted = json.loads(run(command, demonstration, *words, "--json").out)
    assert json.loads(asked(standtrue.read(demonstration)).json()) == wanted


@pytest.mark.parametrize("name", OF_VALUES)
def test_of_a_shop_made_of_values(name: str, tmp_path: Path, run: Run) -> None:
    """Its documents written as files are the same documents, to the digest."""
    shop = small_shop()
    asked, (command, *words) = OF_VALUES[name]
    wanted = json.loads(run(command, as_folder(shop, tmp_path / "shop"), *words, "--json").out)
    answer = asked(shop)
    assert answer.to_dict() == wanted
    if "drive" in name:
        assert answer.svg().startswith("<svg")
        assert answer.data.found


def test_cards_and_two_of_them_side_by_side(demonstration: Path, run: Run) -> None:
    shop = standtrue.read(demonstration)
    listed = json.loads(run("card", "list", demonstration, "--json").out)
    assert standtrue.card(shop).to_dict() == listed
    pair = ("lidar wall", "front radar reflector")
    compared = json.loads(run("card", "compare", demonstration, *pair, "--json").out)
    answer = standtrue.card(shop, older=pair[0], newer=shop.cards[pair[1]])
    assert answer.to_dict() == compared
    assert answer.data.differences
    with pytest.raises(standtrue.Refused, match="newer"):
        standtrue.card(shop, older="lidar wall")


def test_the_packaged_demonstration_is_the_one_written(demonstration: Path) -> None:
    read, packaged = standtrue.read(demonstration), standtrue.demonstration()
    assert [d.read.mark for d in read.documents] == [d.read.mark for d in packaged.documents]
    assert sorted(read.sites) == sorted(packaged.sites)


def test_an_answer_is_told_in_the_readers_words() -> None:
    answer = standtrue.place(small_shop(), vehicle="low car", remedies=False)
    metric, us = answer.text(), answer.text(standtrue.reader(units="us"))
    try:
        assert " m " in metric
        assert " ft " in us
        assert str(answer) == us
        assert standtrue.reader(language="es").units == "us"
        assert str(answer) != us
        assert "<img" in answer._repr_html_()
        assert answer._repr_svg_() == answer.svg()
    finally:
        standtrue.reader(units="metric", language="en")


def test_a_room_draws_itself() -> None:
    for who in (Reader("metric", "en"), Reader("us", "es")):
        picture = ROOM.svg(reader=who)
        assert faults(read_picture(picture)) == []
        assert "long room" in picture
    assert ROOM._repr_svg_() == ROOM.svg()


def test_an_answer_is_saved_by_its_ending(tmp_path: Path) -> None:
    answer = standtrue.place(small_shop(), vehicle="low car", remedies=False)
    assert answer.save(tmp_path / "a.svg").read_text() == answer.svg()
    assert json.loads(answer.save(tmp_path / "a.json").read_text()) == answer.to_dict()
    assert answer.save(tmp_path / "a.txt").read_text() == f"{answer}\n"
    with pytest.raises(standtrue.Refused, match=r"\.svg"):
        answer.save(tmp_path / "a.pdf")
