"""`python -m benchmarks`: measure, print, and write `docs/benchmarks.md`."""

from __future__ import annotations

import platform
import sys
from pathlib import Path

import numba
import numpy

from benchmarks import aim, drive, place, study

HEAD = """# Benchmarks

Written by `./check --long` on the machine that ran it; ratios matter, absolute times are its own. Each figure is
measured beside the alternative in the same run.
"""


def main() -> None:
    """Run every benchmark."""
    rows = place.measure()
    about = f"Python {platform.python_version()}, numba {numba.__version__}, numpy {numpy.__version__}"
    lines = [HEAD, about, "", "## Where a car can stand", "", "| what | measured |", "|---|---|"]
    lines += [f"| {what} | {value} |" for what, value in rows]
    lines += ["", "## How a car gets there", "", "| what | measured |", "|---|---|"]
    lines += [f"| {what} | {value} |" for what, value in drive.measure()]
    lines += ["", "## What a room can do for a year's cars", "", "| what | measured |", "|---|---|"]
    lines += [f"| {what} | {value} |" for what, value in study.measure()]
    lines += ["", "## Whether the targets got there", "", "| what | measured |", "|---|---|"]
    lines += [f"| {what} | {value} |" for what, value in aim.measure()]
    text = "\n".join(lines) + "\n"
    sys.stdout.write(text)
    (Path(__file__).parents[1] / "docs" / "benchmarks.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
