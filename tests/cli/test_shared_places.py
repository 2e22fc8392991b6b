"""Shared places as a person and a program see them."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema

from command_runner import Run
from standtrue.show.answers.index import answer_schemas

QUESTION = ("--site", "Tanbark Row", "--vehicle", "Oskerra Nib")


def test_every_card_that_fits_has_a_use_at_a_shared_place(run: Run, shop: Path) -> None:
    answer = json.loads(run("place", shop, *QUESTION, "--json").out)
    jsonschema.validate(answer, answer_schemas()["place"])
    fitting = {(a["procedure"], a["side"]) for a in answer["answers"] if a["fits"] is True}
    uses = [u for p in answer["shared"] for u in p["uses"]]
    assert sorted(fitting, key=str) == sorted(((u["procedure"], u["side"]) for u in uses), key=str)
    assert answer["shared_proven"] is True
    for place in answer["shared"]:
        assert place["margin_m"] == min(u["margin_m"] for u in place["uses"])
    best = {(a["procedure"], a["side"], a["support"]): a["margin_bound_m"] for a in answer["answers"]}
    assert all(u["margin_m"] <= best[u["procedure"], u["side"], u["support"]] + 1e-9 for u in uses)


def test_the_table_says_how_many_places_and_whether_that_is_proven(run: Run, shop: Path) -> None:
    ran = run("place", shop, *QUESTION, "--units", "us")
    assert ran.status == 0
    assert "1 place serves all 2 procedures (proven: no fewer do)" in ran.out
