"""A small invented shop made of values."""

from __future__ import annotations

import json
from pathlib import Path

import standtrue

CARD = standtrue.Card(
    "camera board",
    sensor="forward camera",
    vehicles=["*"],
    method="static",
    supports=["floor"],
    minutes=10,
    source={"title": "Invented", "edition": "1", "read_on": "2026-01-01", "status": "demonstration"},
    zones=[{"name": "view", "needs": "clear", "anchor": "front", "box": [0, -1.0, 2.5, 1.0], "top": 2}],
    demonstration=True,
)
ROOM = standtrue.Site(
    "long room",
    box=[0, 0, "16 ft", 9.0],
    doors=[{"name": "front door", "from": [1.0, 0], "to": ["4 m", 0], "height": 3}],
    obstacles=[{"name": "bench", "box": [0, 8, 1.5, 9], "top": "3 ft"}],
    demonstration=True,
)
LOW = standtrue.Vehicle(
    "low car", length=4.2, width="70 in", wheelbase="8 ft 6 in", turning_circle=10.8, demonstration=True
)
LONG = standtrue.Vehicle("long car", length=6.4, width=2.0, wheelbase=3.9, turning_circle=13.0, demonstration=True)
MIX = standtrue.Mix(
    "the cars", vehicles=[{"name": "low car", "share": 0.7}, {"name": "long car", "share": 0.3}], demonstration=True
)
YEAR = standtrue.Study(
    "a year",
    sites=[ROOM],
    mix=MIX,
    work=[{"name": "camera", "per_year": 10, "procedures": [CARD]}],
    demonstration=True,
)


def small_shop() -> standtrue.Shop:
    """One room, two cars, one card, a mix and a study."""
    return standtrue.Shop(LOW, LONG, YEAR)


def as_folder(shop: standtrue.Shop, folder: Path) -> Path:
    """The same shop as files."""
    folder.mkdir()
    for number, document in enumerate(shop.documents):
        (folder / f"{number}.json").write_text(json.dumps(document.fields), encoding="utf-8")
    return folder
