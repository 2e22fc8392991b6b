"""`python -m benchmarks`: measure, print, and write `docs/benchmarks.md`."""

from __future__ import annotations

import platform
import sys
from pathlib import Path

import numba
import numpy

from benchmarks import aim, door, draw, drive, pictures, place, sequence, store, study, web
from benchmarks.place_region import region_curves

HEAD = """# Benchmarks

Written by `./check --long` on the machine that ran it; ratios matter, absolute times are its own. Each figure is
measured beside the alternative in the same run.
"""


PARTS = (
    ("Where a car can stand", place.measure),
    ("How a car gets there", drive.measure),
    ("Whether the targets got there", aim.measure),
    ("The order of a job", sequence.measure),
    ("What a room can do for a year's cars", study.measure),
    ("Asked from Python", door.measure),
    ("The record", store.measure),
    ("The app", web.measure),
    ("Drawing a floor", draw.measure),
)


def main() -> None:
    """Run every benchmark, or those whose title holds the word given, and tell each part as soon as it is measured."""
    wanted = sys.argv[1] if len(sys.argv) > 1 else ""
    about = f"Python {platform.python_version()}, numba {numba.__version__}, numpy {numpy.__version__}"
    parts = [HEAD, about, ""]
    for title, measure in PARTS:
        if wanted in title:
            rows = [f"| {what} | {value} |" for what, value in measure()]
            parts += [f"## {title}", "", "| what | measured |", "|---|---|", *rows, ""]
            print("\n".join(parts[-len(rows) - 5 :]), flush=True)
    if wanted:
        return
    (Path(__file__).parents[1] / "docs" / "benchmarks.md").write_text("\n".join(parts), encoding="utf-8")
    curves = {**region_curves(), **place.scaling()}
    (pictures.FOLDER / "place-cost.svg").write_text(pictures.cost(curves), encoding="utf-8")


if __name__ == "__main__":
    main()
