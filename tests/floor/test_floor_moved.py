"""A thing that is moved lies in the document where it lies in the model, and nothing else changes."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
import shapely
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.demo import write_demo
from standtrue.documents import load_text
from standtrue.documents.held import LISTS, NotThereError, moved
from standtrue.documents.site import SiteForm, to_site
from standtrue.model.shift import Shift, allowed, find_thing, handle_of, moved_site, outline_of
from standtrue.work.ask import open_shop

ROUND_M = 0.05
"""A circle is a polygon about itself that is not turned with it: its corners may lie half a side elsewhere."""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("moved") / "shop"
    write_demo(folder)
    return folder


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_document_and_model_agree(demo: Path, data: st.DataObject) -> None:
    shop = open_shop(demo)
    read = load_text((demo / "site.toml").read_bytes(), "site.toml")
    assert isinstance(read.form, SiteForm)
    lifts = shop.written.lifts
    site = to_site(read.form, lifts)
    held = [(where, t.name) for where in LISTS for t in getattr(site, where) if outline_of(t)]
    where, name = data.draw(st.sampled_from(held))
    by = data.draw(st.tuples(*[st.floats(-0.4, 0.4)] * 2))
    turn = data.draw(st.sampled_from([0.0, math.pi / 2, -math.pi / 2, 0.2]))
    shift = allowed(site, where, name, by, turn)
    said = load_text(json.dumps(moved(read.content, read.form, where, name, shift), default=str), "site.json")
    assert isinstance(said.form, SiteForm)
    as_written, as_moved = to_site(said.form, lifts), moved_site(site, where, name, shift)
    one, other = (find_thing(s, where, name) for s in (as_written, as_moved))
    apart = shapely.MultiPoint(outline_of(one)).hausdorff_distance(shapely.MultiPoint(outline_of(other)))
    assert apart < (3e-5 if name != "wash drain" else ROUND_M)
    nothing: Any = {where: ()}
    assert evolve(as_written, **nothing) == evolve(as_moved, **nothing) == evolve(site, **nothing)
    others = [t for t in getattr(site, where) if t.name != name]
    assert [t for t in getattr(as_written, where) if t.name != name] == others


def test_a_closed_edge_stays_the_same_edge_when_a_bay_is_turned(demo: Path) -> None:
    shop = open_shop(demo)
    read = load_text((demo / "site.toml").read_bytes(), "site.toml")
    site = to_site(read.form, shop.written.lifts)  # type: ignore[arg-type] # a sound site has a form
    back = find_thing(site, "bays", "back bay")
    shift = Shift((0.0, -2.0), math.pi, handle_of(back))
    said = load_text(json.dumps(moved(read.content, read.form, "bays", "back bay", shift), default=str), "s.json")  # type: ignore[arg-type] # as above
    turned = find_thing(to_site(said.form, shop.written.lifts), "bays", "back bay")  # type: ignore[arg-type] # as above
    (edge,) = turned.closed_edges
    (was,) = back.closed_edges
    assert _edge(turned.outline, edge) == pytest.approx(
        [v for p in map(shift.of, _pairs(back.outline, was)) for v in p], abs=1e-4
    )


def _pairs(outline: tuple[tuple[float, float], ...], edge: int) -> list[tuple[float, float]]:
    return [outline[edge], outline[(edge + 1) % len(outline)]]


def _edge(outline: tuple[tuple[float, float], ...], edge: int) -> list[float]:
    return [value for point in _pairs(outline, edge) for value in point]


def test_what_is_not_there_is_said(demo: Path) -> None:
    read = load_text((demo / "site.toml").read_bytes(), "site.toml")
    with pytest.raises(NotThereError):
        moved(read.content, read.form, "lifts", "a third", Shift())  # type: ignore[arg-type] # as above
