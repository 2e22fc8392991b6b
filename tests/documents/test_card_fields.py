"""Two cards field by field: every changed value is found, and nothing else; how it was written does not matter."""

from __future__ import annotations

import copy
import random
from typing import Any

import pytest
from document_makers import whole
from random_cards import Card, changed, field_path, leaves, random_card

from standtrue.documents import read_document
from standtrue.documents.editions import cards_of
from standtrue.documents.procedure import ProcedureForm
from standtrue.model.card_fields import CardField, CardFields, CardList, Difference, differences
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.cards import field_words


def fields(card: Card) -> CardFields:
    document = read_document(card, "card")
    assert not document.faults, document.faults
    return cards_of([document])[0].fields


def found(one: Card, other: Card) -> list[Difference]:
    return list(differences(fields(one), fields(other)))


@pytest.mark.parametrize("seed", range(12))
def test_every_changed_value_is_found_and_nothing_else(seed: int) -> None:
    rng = random.Random(seed)
    card = random_card(rng)
    assert found(card, copy.deepcopy(card)) == []
    every = list(leaves(card))
    assert len(every) > 40
    for path in every:
        other = changed(card, path, rng)
        told = found(card, other)
        assert [one.path for one in told] == [field_path(card, path)], path
        assert told[0].first != told[0].second
        assert [(one.second, one.first) for one in found(other, card)] == [(told[0].first, told[0].second)]


@pytest.mark.parametrize("seed", range(12))
def test_a_value_left_out_is_found_and_nothing_else(seed: int) -> None:
    rng = random.Random(seed)
    card = random_card(rng)
    for path in leaves(card):
        if path[-1] in ("name", "what", "needs", "anchor", "top", "at", "facing", "title", "method", "vehicles") or (
            path[-1] in ("box", "circle", "sector", "outline", "supports", "within")
        ):
            continue  # cannot be left out, or stands for a value then
        other = copy.deepcopy(card)
        at: Any = other
        for part in path[:-1]:
            at = at[part]
        del at[str(path[-1])]
        told = found(card, other)
        wheels = path[-1] == "people"  # without it one person does
        assert [one.path for one in told] == [field_path(card, path)], path
        assert wheels or told[0].second is None or path[0] in ("minutes", "zones", "variants")


@pytest.mark.parametrize("seed", range(12))
def test_an_item_that_only_one_has_differs_in_all_that_it_says(seed: int) -> None:
    rng = random.Random(seed)
    card = random_card(rng)
    other = copy.deepcopy(card)
    lost = other["zones"].pop(rng.randrange(len(other["zones"])))
    told = found(card, other)
    assert {one.path[:2] for one in told} == {("zones", lost["name"])}
    assert all(one.second is None for one in told)
    assert {"name", "needs", "anchor", "top", "outline"} <= {one.path[2] for one in told}
    back = found(other, card)
    assert [(one.path, one.second, one.first) for one in back] == [(one.path, one.first, one.second) for one in told]


def test_how_it_was_written_does_not_matter() -> None:
    card = random_card(random.Random(3))
    card["zones"] = [{"name": "z", "needs": "walk", "anchor": "front", "box": [0, 0, 2.54, 1.27], "top": 2.54}]
    other = copy.deepcopy(card)
    other["zones"][0]["top"] = "100 in"
    other["zones"][0]["bottom"] = 0
    del other["zones"][0]["box"]
    other["zones"][0]["outline"] = [["100 in", "50 in"], [2.54, 0], [0, 0], [0, 1.27]]
    other["supports"].reverse()
    other["skills"] = [f" {other['skills'][0].upper()} "]
    other["drive"]["road"] = other["drive"]["road"].title()
    other["conditions"] = [{**one, "what": one["what"].upper()} for one in reversed(other["conditions"])]
    other["targets"] = [{**one, "facing": one["facing"] - 360} for one in reversed(other["targets"])]
    assert found(card, other) == []
    other["name"], other["source"]["transcribed_by"] = "another", "Ben Ode"
    assert found(card, other) == []


def test_a_pressure_in_another_unit_is_the_same() -> None:
    card = random_card(random.Random(1))
    card["conditions"] = [{"what": "tire pressure", "low": 2.2, "unit": "bar"}]
    other = copy.deepcopy(card)
    other["conditions"] = [{"what": "tyre pressure", "low": "220 kPa"}]
    assert found(card, other) == []
    other["conditions"] = [{"what": "tyre pressure", "low": "32 psi"}]
    assert [one.path for one in found(card, other)] == [("conditions", "tire pressure", "low")]


def test_every_field_of_a_card_is_compared_and_has_a_name() -> None:
    card = fields(whole("procedure"))
    paths = list(_paths(card, ()))
    for reader in (Reader(), Reader(language="es")):
        assert len({field_words(path, reader) for path in paths}) == len(set(paths))
    names = {path[-1].rpartition(".")[2] for path in paths}
    form = set(ProcedureForm.model_fields) - {"kind", "schema_version", "units", "demonstration", "name"}
    tables = {
        "sensor",
        "source",
        "minutes",
        "floor_level",
        "conditions",
        "causes",
        "drive",
        "zones",
        "targets",
        "variants",
    }
    assert form - tables <= names
    assert {"title", "edition", "within", "over", "speed", "along", "lean", "outline", "swept"} <= names


def _paths(card: CardFields, at: tuple[str, ...]) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = []
    for one in card:
        if isinstance(one, CardField):
            found.append((*at, one.name))
        else:
            assert isinstance(one, CardList)
            for i, item in enumerate(one.items, 1):
                found += _paths(item.fields, (*at, one.name, item.called or str(i)))
    return found
