"""The command `sizes` on the demonstration shop: its answer's shape, its files, and its frontiers held to `place`."""

from __future__ import annotations

import csv
from pathlib import Path

from command_runner import Run, answered
from standtrue.documents import read_folder
from standtrue.model.fits import Fits
from standtrue.model.procedure import Procedure
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance
from standtrue.study.sizes import Size
from standtrue.work.study.sized_rooms import Rooms, standing


def test_sizes_of_an_empty_room(run: Run, shop: Path, tmp_path: Path) -> None:
    table, chart = tmp_path / "sizes.csv", tmp_path / "sizes.svg"
    ran = run("sizes", shop, "--json", "--out", table, "--out", chart, "--units", "us")
    assert ran.status == 0
    answer = answered("sizes", ran.out)
    assert answer["demonstration"]
    assert not answer["partial"]
    assert answer["lift"] is None
    shares = [bay["share"] for bay in answer["least_bays"]]
    areas = [b["least_area"]["width_m"] * b["least_area"]["length_m"] for b in answer["least_bays"] if b["least_area"]]
    assert areas == sorted(areas), f"more work never needs less: {shares}"
    rows = list(csv.DictReader(table.read_text().splitlines()))
    assert len(rows) == sum(len(f["corners"]) for f in answer["frontiers"])
    assert "feet" in chart.read_text()
    assert "the repair orders of the study" in answer["rules"][1]


def test_place_agrees_on_both_sides_of_the_frontiers_with_a_lift(run: Run, shop: Path) -> None:
    """Just inside each checked corner `place` finds a stance, by its search for the best; just outside it proves none.

    Frontiers are told to 5 mm, and count as not fitting what is within 2 mm of the limit.
    """
    ran = run(
        "sizes", shop, "--mix", "last year", "--lift", "flush lift", "--json", "--widest", "5 m", "--longest", "8 m"
    )
    answer = answered("sizes", ran.out)
    found = read_folder(shop)
    site = found.sites[answer["site"]]
    (placed,) = (p for p in site.lifts if p.name == "flush lift")
    rooms = Rooms(site, standing(site, placed, "centered"))
    cards = {c.key: c for c in found.procedures}
    checked = [f for f in answer["frontiers"] if f["corners"]][::6]
    assert len(checked) >= 3
    for frontier in checked:
        car, card = found.vehicles[frontier["vehicle"]], cards[frontier["procedure"]]
        corner = frontier["corners"][0]
        wide, long = corner["width_m"], corner["length_m"]
        assert placed_in(rooms, Size(wide + 0.003, long + 0.003), car, card) is Fits.YES
        assert placed_in(rooms, Size(wide - 0.006, long), car, card) is not Fits.YES
        assert placed_in(rooms, Size(wide, long - 0.006), car, card) is not Fits.YES


def placed_in(rooms: Rooms, size: Size, car: Vehicle, card: Procedure) -> Fits:
    grounds = rooms.grounds(size)
    if grounds is None:
        return Fits.NO
    answers = [best_stance(grounds, car, [card], support).fits for support in card.all_supports]
    return Fits.any_of(answers)


def test_a_size_that_is_no_length_is_refused(run: Run, shop: Path) -> None:
    for bad in ("9", "much", "1 m", "90 m"):
        ran = run("sizes", shop, "--widest", bad, "--json")
        assert ran.status == 2
        assert '"--widest"' in ran.out


def test_ahead_tells_each_car_on_each_support(run: Run, shop: Path, tmp_path: Path) -> None:
    table = tmp_path / "ahead.csv"
    asked = ("ahead", shop, "--vehicle", "Oskerra Nib", "--equipment", "target frame", "--support", "lift-down")
    ran = run(*asked, "--json", "--out", table)
    assert ran.status == 0
    answer = answered("ahead", ran.out)
    (row,) = answer["reaches"]
    assert row["ahead_m"] > 2.0
    (told,) = csv.DictReader(table.read_text().splitlines())
    assert float(told["ahead_m"]) == row["ahead_m"]
    shown = run(*asked, "--units", "us").out
    assert "Oskerra Nib" in shown
    assert " ft " in shown


def test_reach_is_the_old_name_of_ahead_and_says_so(run: Run, shop: Path) -> None:
    asked = (shop, "--vehicle", "Oskerra Nib", "--support", "lift-down", "--json")
    old, new = run("reach", *asked), run("ahead", *asked)
    assert old.status == 0
    assert old.out == new.out
    assert "`reach` is now called `ahead`" in old.err
    assert "called" not in new.err
