"""Tables as programs in several countries save them: one table, one mix."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from standtrue.work.ask import UnansweredError
from standtrue.work.mix.cells import decoded, numbers_of
from standtrue.work.mix.files import read_table
from standtrue.work.mix.table import MixTable, read_mix_table

HEAD = ("Name", "Count", "Length (mm)", "WIDTH mm", "Wheelbase [m]", "mass kg")
ROWS = (("Low sedan, long", "12", "4620", "1840", "2.71", "1560"), ("Hauler", "1200", "5850.5", "2010", "3.68", "2450"))


def table(divider: str, comma: bool = False, thousands: str = "") -> str:
    def cell(text: str) -> str:
        whole, point, part = text.partition(".")
        if thousands and whole.isdecimal() and len(whole) > 3:
            whole = f"{whole[:-3]}{thousands}{whole[-3:]}"
        said = f"{whole}{',' if comma and point else point}{part}"
        return f'"{said}"' if divider in said else said

    return "\r\n".join(divider.join(map(cell, row)) for row in (HEAD, *ROWS)) + "\r\n"


def sizes(made: MixTable) -> list[tuple[object, ...]]:
    assert made.aside == ()
    fields = ("name", "length", "width", "wheelbase", "mass")
    return [tuple(car[field] for field in fields) for car in made.vehicles]


MEANT = sizes(read_mix_table(table(","), "year"))


def test_a_unit_in_a_heading_is_that_of_its_column() -> None:
    assert MEANT == [
        ("Low sedan, long", "4620 mm", "1840 mm", "2.71 m", "1560 kg"),
        ("Hauler", "5850.5 mm", "2010 mm", "3.68 m", "2450 kg"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        table(";"),
        table("\t"),
        table(";", comma=True),
        table("\t", comma=True),
        table(",", comma=True),
        table(",", thousands=","),
        table(";", comma=True, thousands="."),
        table(";", comma=True, thousands=" "),
        table("\t", comma=True, thousands="\u202f"),
        "sep=;\r\n" + table(";", comma=True),
        "\ufeff" + table(";"),
        table(";").replace("Count", "COUNT").replace("Name", "name"),
        table(",").replace("\r\n", "\r\n\r\n"),
    ],
)
def test_one_table_is_one_mix_however_it_is_saved(text: str) -> None:
    made = read_mix_table(text, "year")
    assert sizes(made) == MEANT
    cars: Any = made.mix["vehicles"]
    assert [entry["share"] for entry in cars] == pytest.approx([12 / 1212, 1200 / 1212])


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_a_table_is_read_in_the_encodings_of_spreadsheets(encoding: str, tmp_path: Path) -> None:
    (tmp_path / "cars.csv").write_bytes("name\r\nAño\r\n".encode(encoding))
    assert read_table(tmp_path / "cars.csv").lstrip("\ufeff").startswith("name")
    assert "Año" in decoded("name\nAño".encode(encoding))


def test_a_heading_may_be_named_in_either_case() -> None:
    made = read_mix_table(table(";").replace("Name", "Car model"), "year", ["name=car MODEL"])
    assert sizes(made) == MEANT


def test_a_number_that_may_be_two_is_set_aside_and_says_both() -> None:
    text = 'name,length,width,wheelbase\nOne,"2,500 m",2 m,1.7 m\nTwo,"5,000 m",2 m,3 m\n'
    made = read_mix_table(text, "year")
    assert made.aside == ()
    assert [car["length"] for car in made.vehicles] == ["2.500 m", "5.000 m"], "2500 m is no car"
    assert numbers_of("2,500 m") == ("2500 m", "2.500 m")
    with pytest.raises(UnansweredError):
        read_mix_table("name;length;width;wheelbase\nOne;4620;1840;2710\n", "year")


@pytest.mark.parametrize(
    ("cell", "ways"),
    [
        ("4620", ("4620",)),
        ("4,62", ("4.62",)),
        ("4.620", ("4.620", "4620")),
        ("1.234.567,8", ("1234567.8",)),
        ("1,234,567.8", ("1234567.8",)),
        ("0,250", ("0.250",)),
        (",5 m", (".5 m",)),
        ("14 ft 9 1/2 in", ("14 ft 9 1/2 in",)),
        ("n/a", ("n/a",)),
        ("", ("",)),
    ],
)
def test_a_cell_is_read_in_every_way_it_can_mean(cell: str, ways: tuple[str, ...]) -> None:
    assert numbers_of(cell) == ways
