"""The study of 93 cars in the published single bay, with an open pit, a covered one, and none; and its figure.

Run it to write numbers, figure and page anew: `python tests/facts/single_bay_study.py` (about half a minute).
"""

from __future__ import annotations

import csv
import math
import os
from importlib.resources import as_file, files
from pathlib import Path

from attrs import evolve
from facts_shop import FACTS, HERE, open_cars
from single_bay_study_figure import draw

from standtrue.documents import Folder, read_folder
from standtrue.model.asking import Asking
from standtrue.model.basics import SUPPORT_CLASSES
from standtrue.model.fits import Fits
from standtrue.model.job import Mix, MixEntry
from standtrue.model.site import Cover, Site, Void
from standtrue.model.study import RepairOrder, Study
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.work.study.answer import StudyAnswer
from standtrue.work.study.studies import find_study

NUMBERS = HERE / "e" / "single-bay-study.csv"
EXPLANATION = HERE.parents[1] / "docs" / "explanation"
FIGURE = EXPLANATION / "single-bay-study.svg"
PAGE = EXPLANATION / "single-bay-study.md"
BEGIN, END = "<!-- numbers: begin -->", "<!-- numbers: end -->"

BAYS = ("no pit", "pit covered", "pit open")
CARDS = (
    "forward camera board",
    "forward camera two positions",
    "forward camera wide board",
    "front radar close reflector",
    "front radar reflector",
    "front corner radar reflector/left",
    "front corner radar reflector/right",
    "rear corner radar near reflector/left",
    "rear corner radar near reflector/right",
    "rear corner radar reflector/left",
    "rear corner radar reflector/right",
    "tail lamp radar reflector/left",
    "tail lamp radar reflector/right",
    "rear camera board",
    "surround-view learning",
    "surround-view mats",
)
"""Of the demonstration shop's: those for cameras and radars that look out of the car."""

SUPPORTS = ("any", *SUPPORT_CLASSES)

Row = tuple[str, str, str]
"""A bay, a card, a support."""

Numbers = dict[Row, int]
"""How many of the 93 cars fit."""


def bays() -> dict[str, Site]:
    """The published single bay, its flush lift 3 ft from the door; the pit lies between the decks, as long as they are.

    A pit between the decks, 0.76 m wide: common practice, no source.
    """
    plain = FACTS.sites["single bay, lift toward the door"]
    (x, y), deck = plain.lifts[0].at, 4.5
    outline = ((x, y - 0.38), (x + deck, y - 0.38), (x + deck, y + 0.38), (x, y + 0.38))
    pit = Void("pit", outline, (Cover("cover", outline),))
    pits = ((), (evolve(pit, closed=("cover",)),), (pit,))
    return {name: _bay(name, plain, voids) for name, voids in zip(BAYS, pits, strict=True)}


def _bay(name: str, plain: Site, voids: tuple[Void, ...]) -> Site:
    """The bay with the demonstration shop's equipment, which is stored elsewhere."""
    equipment = demo().sites["Tanbark Row"].equipment
    return evolve(
        plain, name=name, voids=voids, equipment=tuple(evolve(e, store=None, used_at=None) for e in equipment)
    )


def demo() -> Folder:
    with as_file(files("standtrue.demo") / "shop") as folder:
        return read_folder(Path(folder))


def folder() -> Folder:
    """The 93 cars, the cards for any car, and the three bays."""
    cars = {f"row {row}": with_sensors(evolve(car, name=f"row {row}")) for row, car in open_cars().items()}
    cards = tuple(evolve(c, vehicles=("*",)) for c in demo().procedures if c.key in CARDS)
    mix = Mix("open cars of 1993", tuple(MixEntry(name, 1.0) for name in cars))
    return Folder(sites=bays(), vehicles=cars, procedures=cards, mixes={mix.name: mix})


def with_sensors(car: Vehicle) -> Vehicle:
    """The car with radars where such cars have them, behind the bumpers: common practice, no source."""
    front, rear, side = car.front_x_m, car.rear_x_m, 0.42 * car.width_m
    turn = math.radians(40.0)
    return evolve(
        car,
        sensors=(
            Sensor("front radar", None, (front - 0.1, 0.0, 0.45)),
            Sensor("front corner radar", "left", (front - 0.25, side, 0.5), turn),
            Sensor("front corner radar", "right", (front - 0.25, -side, 0.5), -turn),
            Sensor("rear corner radar", "left", (rear + 0.2, side, 0.6), math.pi - turn),
            Sensor("rear corner radar", "right", (rear + 0.2, -side, 0.6), turn - math.pi),
            *(Sensor(kind) for kind in ("forward camera", "rear camera", "surround-view camera")),
        ),
    )


def answer() -> StudyAnswer:
    """Every card is a kind of order of its own."""
    found = folder()
    orders = tuple(RepairOrder(key, 93.0, procedures=(key,)) for key in CARDS)
    study = Study("single bay", BAYS, "open cars of 1993", orders)
    return find_study(found.shop(), study, places=False, asking=Asking(workers=os.cpu_count() or 1))


def numbers_of(told: StudyAnswer) -> Numbers:
    found: Numbers = {}
    for room in told.rooms:
        for key in CARDS:
            fits = [dict(room.table[car, key]) for car in told.cars]
            found[room.room.name, key, "any"] = sum(any(fit is Fits.YES for fit in f.values()) for f in fits)
            for support in SUPPORT_CLASSES:
                if support in fits[0]:
                    found[room.room.name, key, support] = sum(f[support] is Fits.YES for f in fits)
    return found


def read_numbers(path: Path = NUMBERS) -> Numbers:
    with path.open(newline="", encoding="utf-8") as file:
        return {(r["bay"], r["card"], r["support"]): int(r["cars"]) for r in csv.DictReader(file)}


def write_numbers(numbers: Numbers, path: Path = NUMBERS) -> None:
    path.parent.mkdir(exist_ok=True)
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["bay", "card", "support", "cars"])
        out.writerows([*row, count] for row, count in numbers.items())


def table(numbers: Numbers) -> str:
    """The page's table, in Markdown: cars on the floor and on the lift, in each bay."""
    heads = ["card", *(f"{bay}: {on}" for bay in BAYS for on in ("floor", "lift"))]
    lines = [f"| {' | '.join(heads)} |", "|---" * len(heads) + "|"]
    for key in CARDS:
        cells = [key]
        for bay in BAYS:
            lifts = [numbers[bay, key, s] for s in SUPPORT_CLASSES[1:] if (bay, key, s) in numbers]
            cells += [str(numbers.get((bay, key, "floor"), "")), str(max(lifts)) if lifts else ""]
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines)


def with_table(page: str, numbers: Numbers) -> str:
    before, rest = page.split(BEGIN)
    return f"{before}{BEGIN}\n{table(numbers)}\n{END}{rest.split(END)[1]}"


BARS = {
    "on the lift": ("pit open", "lift down"),
    "on the floor, pit covered": ("pit covered", "floor"),
    "on the floor, pit open": ("pit open", "floor"),
}


def figure(numbers: Numbers) -> str:
    counts = {
        (name, key): numbers.get((bay, key, support), 0) for name, (bay, support) in BARS.items() for key in CARDS
    }
    return draw(CARDS, tuple(BARS), counts, 93)


if __name__ == "__main__":
    counted = numbers_of(answer())
    write_numbers(counted)
    FIGURE.write_text(figure(counted), encoding="utf-8")
    if PAGE.exists():
        PAGE.write_text(with_table(PAGE.read_text(encoding="utf-8"), counted), encoding="utf-8")
