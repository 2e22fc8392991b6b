"""The committed greatest target distances of 93 cars, and the figure and table that are drawn from them.

Run it to write them anew: `python tests/facts/single_bay_numbers.py` (about a minute).
"""

from __future__ import annotations

import csv
import statistics
from pathlib import Path

from facts_shop import HERE, PLACES, greatest_mm, open_cars, single_bay
from single_bay_figure import draw

NUMBERS = HERE / "a" / "greatest-target-distance.csv"
EXPLANATION = HERE.parents[1] / "docs" / "explanation"
FIGURE = EXPLANATION / "single-bay.svg"
PAGE = EXPLANATION / "single-bay.md"

RUNGS_MM = (1500, 2000, 2500, 3048, 4000)
TEN_FEET_MM = 3048
BEGIN, END = "<!-- numbers: begin -->", "<!-- numbers: end -->"

Numbers = dict[str, dict[int, int]]
"""For each place of the lift: the greatest distance, millimetres, by the car's row number."""


def read_numbers(path: Path = NUMBERS) -> Numbers:
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return {place: {int(row["row"]): int(row[f"{place} (mm)"]) for row in rows} for place in PLACES}


def write_numbers(numbers: Numbers, path: Path = NUMBERS) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["row", *(f"{place} (mm)" for place in PLACES)])
        out.writerows([row, *(numbers[place][row] for place in PLACES)] for row in numbers[PLACES[0]])


def reaching(distances_mm: dict[int, int], rung_mm: int) -> int:
    """How many cars reach a distance."""
    return sum(d >= rung_mm for d in distances_mm.values())


def table(numbers: Numbers) -> str:
    """The page's table, in Markdown."""
    heads = ["lift", *(_length(r) for r in RUNGS_MM), "least", "median", "greatest"]
    lines = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|"]
    for place in PLACES:
        distances = numbers[place]
        counts = [str(reaching(distances, rung)) for rung in RUNGS_MM]
        values = list(distances.values())
        spread = [_length(round(v)) for v in (min(values), statistics.median(values), max(values))]
        lines.append(f"| {place} | {' | '.join([*counts, *spread])} |")
    return "\n".join(lines)


def _length(mm: int) -> str:
    return f"{mm / 1000:.2f} m ({mm / 304.8:.1f} ft)"


def with_table(page: str, numbers: Numbers) -> str:
    before, rest = page.split(BEGIN)
    return f"{before}{BEGIN}\n{table(numbers)}\n{END}{rest.split(END)[1]}"


def figure(numbers: Numbers) -> str:
    """The figure; its three plans show the car of median length."""
    cars = open_cars()
    by_length = sorted(cars, key=lambda row: (cars[row].length_m, row))
    row = by_length[len(by_length) // 2]
    plans = [(place, single_bay(place).site, cars[row], numbers[place][row]) for place in PLACES]
    curves = [(place, sorted(numbers[place].values())) for place in PLACES]
    return draw(plans, curves, RUNGS_MM)


def compute() -> Numbers:
    cars = open_cars()
    return {place: {row: greatest_mm(single_bay(place), car) for row, car in cars.items()} for place in PLACES}


if __name__ == "__main__":
    found = compute()
    write_numbers(found)
    FIGURE.write_text(figure(found), encoding="utf-8")
    PAGE.write_text(with_table(PAGE.read_text(encoding="utf-8"), found), encoding="utf-8")
