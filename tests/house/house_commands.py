"""Runs every command on the demonstration shop as a reader would, and collects all that it says."""

from __future__ import annotations

import contextlib
import fcntl
import io
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from unittest import mock

from kept_answers import commands_ask_once
from standtrue.cli import main
from standtrue.demo import write_demo

COMMANDS: dict[str, tuple[str, ...]] = {
    "help": ("--help",),
    "place help": ("place", "--help"),
    "serve help": ("serve", "--help"),
    "read": ("read", "SHOP"),
    "card": ("card", "list", "SHOP"),
    "card compare": ("card", "compare", "SHOP", "front radar reflector", "front radar close reflector"),
    "needs, why": ("needs", "SHOP", "--job", "corrow front", "--why"),
    "needs": ("needs", "SHOP", "--job", "corrow front"),
    "place": ("place", "SHOP", "--vehicle", "Tavlin Corrow", "--out", "OUT/place.svg", "--reach", "--fail-on-no"),
    "place, no remedies": ("place", "SHOP", "--vehicle", "Tavlin Brask", "--no-remedies", "--why"),
    "job": ("job", "SHOP", "--job", "nib windshield", "--out", "OUT/job.svg"),
    "drive": (
        *(
            "drive",
            "SHOP",
            "--vehicle",
            "Tavlin Corrow",
            "--from",
            "door:long bay door",
            "--to",
            "32 ft 2 in, 15 ft 5 in, 90",
        ),
        *("--out", "OUT/drive.svg"),
    ),
    "plan": ("plan", "SHOP", "--job", "corrow front", "--out", "OUT/plan.svg", "--out", "OUT/plan.html"),
    "plan, why": ("plan", "SHOP", "--job", "nib windshield", "--no-alternatives", "--why"),
    "sheet": ("sheet", "SHOP", "--job", "nib windshield", "--out", "OUT/sheet.pdf"),
    "targets": ("targets", "SHOP", "--setup", "corrow camera", "--out", "OUT/targets.svg"),
    "targets least": ("targets", "SHOP", "--setup", "corrow camera", "--checked", "least", "--why"),
    "measured": (
        "measured",
        "SHOP",
        "--setup",
        "corrow camera, moved",
        "--out",
        "OUT/measured.svg",
        "--out",
        "OUT/m.pdf",
    ),
    "measured, why": ("measured", "SHOP", "--setup", "corrow camera", "--why"),
    "floor": ("floor", "SHOP", "--out", "OUT/floor.svg"),
    "alignment": ("alignment", "SHOP", "--setup", "corrow camera"),
    "loads": ("loads", "SHOP", "--vehicle", "Tavlin Corrow", "--lift", "post lift"),
    "reflector": (
        "reflector",
        "--frequency",
        "77",
        "--leg",
        "80 mm",
        "--distance",
        "2 m",
        "--higher",
        "200 mm",
        "--tip",
        "30",
        "--turn",
        "2",
    ),
    "study": ("study", "SHOP", "--out", "OUT/study.pdf", "--no-places", "--why"),
    "sizes": ("sizes", "SHOP", "--study", "a year at Tanbark Row", "--out", "OUT/sizes.svg", "--why"),
    "mix": (
        "mix",
        "TABLE",
        "SHOP",
        "--unit",
        "in",
        "--name",
        "counted cars",
        "--column",
        "name=car",
        "--column",
        "count=jobs",
    ),
    "new": ("new", "OUT/new"),
    "rules": ("rules", "OUT/rules"),
    "set": ("set", "--paper", "letter"),
    "ahead": ("ahead", "SHOP", "--vehicle", "Tavlin Corrow"),
    "import": ("import", "SHOP", "--store", "SHOP.db", "--by", "Ana"),
    "export": ("export", "SHOP", "OUT/shop", "--store", "SHOP.db"),
    "history": ("history", "SHOP", "--store", "SHOP.db", "--kind", "job"),
    "needs, kept": ("needs", "SHOP", "--store", "SHOP.db", "--job", "corrow front", "--by", "Person A"),
    "measured, kept": ("measured", "SHOP", "--store", "SHOP.db", "--setup", "corrow camera", "--by", "Person A"),
    "keep": (
        *("keep", "SHOP", "--store", "SHOP.db", "--job", "corrow front", "--what", "note", "--text", "A B"),
        *("--by", "Person C"),
    ),
    "sign": ("sign", "SHOP", "--store", "SHOP.db", "--job", "corrow front", "--by", "Person B"),
    "records": ("records", "SHOP", "--store", "SHOP.db", "corrow"),
    "records, by days": ("records", "SHOP", "--store", "SHOP.db", "--from", "2026-01-01", "--to", "2099-12-31"),
    "records, at length": ("records", "SHOP", "--store", "SHOP.db", "--job", "corrow front", "--why"),
    "records, one": ("records", "SHOP", "--store", "SHOP.db", "--job", "corrow front", "--out", "OUT/record.zip"),
    "record": ("record", "SHOP", "--store", "SHOP.db", "--job", "corrow front", "--out", "OUT/record.pdf"),
    "verify": ("verify", "SHOP", "--store", "SHOP.db"),
    "anchor": ("anchor", "SHOP", "--store", "SHOP.db"),
    "backup": ("backup", "SHOP", "--store", "SHOP.db", "--out", "SHOP-copy.db"),
    "restore": ("restore", "SHOP-copy.db", "OUT/again"),
    "move": ("move", "SHOP", "--store", "OUT/../restore/again/standtrue.db", "--to", "SHOP-moved.db"),
    "remove": (
        *("remove", "SHOP", "--store", "SHOP.db", "--job", "corrow front", "--because", "A B", "--keep-years", "0"),
        *("--by", "Person C"),
    ),
    "faults": ("place", "SHOP", "--vehicle", "nobody", "--site", "Zzyx"),
}

TABLE = """\
car,jobs,length,width,wheelbase,height
Tavlin Plover,30,180,71,105,58
Tavlin Heron,0,185,72,108,60
Tavlin Stork,4,18,72,108,60
"""
"""A table of cars, one of which cannot be meant."""


def answered_once(folder: Path, units: str, language: str) -> dict[str, dict[str, str]]:
    """What every command prints and writes, by its name here and the file's; what it prints stands under "".

    `folder` is the same for all processes of a run of the tests: the first that comes answers for all.
    """
    own = folder / f"{units}-{language}"
    kept = own.with_suffix(".json")
    with own.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            own.mkdir()
            # What `set` writes here is not what whoever else tests in this process has set.
            with mock.patch.dict(os.environ, {"XDG_CONFIG_HOME": str(own / "settings")}), commands_ask_once():
                kept.write_text(json.dumps(_answer_all(own, units, language)), encoding="utf-8")
    told: dict[str, dict[str, str]] = json.loads(kept.read_text(encoding="utf-8"))
    return told


def _answer_all(folder: Path, units: str, language: str) -> dict[str, dict[str, str]]:
    shop = folder / "shop"
    write_demo(shop)
    table = folder / "table.csv"
    table.write_text(TABLE, encoding="utf-8")
    told = {}
    for name, words in COMMANDS.items():
        out = folder / name.replace(" ", "-")
        out.mkdir()
        argv = [w.replace("SHOP", str(shop)).replace("OUT", str(out)).replace("TABLE", str(table)) for w in words]
        said = _run([*argv, *([] if "--help" in argv else ["--units", units, "--language", language])], language)
        told[name] = {"": said.replace(str(folder), "")}
        told[name] |= {file.name: _text(file) for file in sorted(f for f in out.iterdir() if f.is_file())}
    return told


def _run(words: list[str], language: str) -> str:
    if "--help" in words:
        # The library that reads the command line speaks the language in which it was loaded.
        env = {"STANDTRUE_LANGUAGE": language, "PYTHONPATH": ":".join(sys.path), "PATH": "", "HOME": str(Path.home())}
        return subprocess.run(
            [sys.executable, "-m", "standtrue", *words], capture_output=True, text=True, env=env, check=True
        ).stdout
    said = io.StringIO()
    with (
        mock.patch.object(sys, "argv", ["standtrue", *words]),
        contextlib.redirect_stdout(said),
        contextlib.redirect_stderr(said),
        contextlib.suppress(SystemExit),
    ):
        main()
    return said.getvalue()


def _text(file: Path) -> str:
    if file.suffix == ".zip":
        return ""
    if file.suffix != ".pdf":
        return file.read_text(encoding="utf-8")
    tool = shutil.which("pdftotext")
    assert tool is not None, "poppler-utils is not installed"
    return subprocess.run([tool, str(file), "-"], capture_output=True, text=True, check=True).stdout
