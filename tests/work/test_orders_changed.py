"""A foreman's changes of an order: comments stay, a stale one is refused, one sent twice is made once."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from standtrue.documents import load_text
from standtrue.model.basics import UnansweredError
from standtrue.model.job import Event, FittedSensor
from standtrue.model.reason import Text
from standtrue.show.answers.exchange import of_saved_alone, of_taken_in
from standtrue.show.answers.kept import said_of
from standtrue.store.documents import history
from standtrue.work.exchange.folders import TakenIn
from standtrue.work.keep.answers import Said
from standtrue.work.keep.once import Request
from standtrue.work.keep.versions import Saved
from standtrue.work.orders import changes
from standtrue.work.orders.changes import Change
from standtrue.work.orders.saving import Desk, SeenOlderError
from standtrue.work.served import Served, serve_folder
from standtrue.work.where import IN_FOLDER

ORDER = b"""# A front-end collision.
kind = "job"
schema = 1
name = "one"
site = "hall"
vehicle = { name = "car", fitted = ["front radar"] }  # the build sheet says so
fitted = ["rear camera"]

[[events]]
event = "front bumper removed"  # to reach the radar
where = "front"
note = { en = "cracked", es = "roto" }

[[events]]
event = "wheel alignment"

# Somebody decided.
[[decisions]]
procedure = "front radar"
verdict = "drop"
because = "not touched"
by = "A"
"""


def said(source: bytes) -> dict[str, Any]:
    return load_text(source, "job.toml").content


def test_a_decision_replaces_the_one_before_and_leaves_all_else() -> None:
    now = changes.decide({"procedure": "front radar"}, "keep", "it was", "B", "2026-03-02")(ORDER, "job.toml")
    own = {"procedure": "front radar", "verdict": "keep", "because": "it was", "by": "B", "on": "2026-03-02"}
    assert said(now) == {**said(ORDER), "decisions": [own]}
    assert b"# to reach the radar" in now
    assert b"# the build sheet says so" in now


def test_a_decision_on_an_event_stands_beside_others_and_is_taken_back() -> None:
    more = changes.decide({"event": "ladder fell"}, "drop", "only paint", "B", "")(ORDER, "job.toml")
    assert len(load_text(more, "job.toml").content["decisions"]) == 2
    less = changes.take_back({"procedure": "front radar"})(more, "job.toml")
    assert [one["because"] for one in load_text(less, "job.toml").content["decisions"]] == ["only paint"]
    assert changes.take_back({"procedure": "rear camera"})(ORDER, "job.toml") == ORDER


def test_what_was_done_is_added_changed_and_taken_out() -> None:
    more = changes.add_event(Event("rear bumper removed"))(ORDER, "job.toml")
    other = changes.change_event(0, Event("front bumper replaced", "front", "cover"))(more, "job.toml")
    less = changes.remove_event(1)(other, "job.toml")
    assert load_text(less, "job.toml").content["events"] == [
        {"event": "front bumper replaced", "where": "front", "part": "cover"},
        {"event": "rear bumper removed"},
    ]


def test_a_note_in_two_languages_stays_where_it_was_not_touched() -> None:
    kept = changes.change_event(0, Event("front bumper removed", "front", None, Text("cracked")))(ORDER, "job.toml")
    assert load_text(kept, "job.toml").content["events"][0]["note"] == {"en": "cracked", "es": "roto"}


@pytest.mark.parametrize("fitted", [True, False])
def test_whether_a_sensor_is_fitted_stands_in_one_list(fitted: bool) -> None:
    now = said(changes.look(FittedSensor("front radar"), fitted=fitted)(ORDER, "job.toml"))
    then = said(changes.look(FittedSensor("front radar"), fitted=not fitted)(ORDER, "job.toml"))
    for told, has in ((now, fitted), (then, not fitted)):
        car = told["vehicle"]
        here = [*car.get("fitted", []), *told["fitted"]]
        gone = [*car.get("not_fitted", []), *told.get("not_fitted", [])]
        assert ("front radar" in here, "front radar" in gone) == (has, not has)


def test_a_side_is_told() -> None:
    now = said(changes.look(FittedSensor("front corner radar", "left"), fitted=True)(ORDER, "job.toml"))
    assert now["fitted"] == ["rear camera", {"kind": "front corner radar", "side": "left"}]


def test_an_order_is_put_aside_and_taken_up_again() -> None:
    aside = changes.put_aside("waits for the customer")(ORDER, "job.toml")
    assert said(aside)["put_aside"] == "waits for the customer"
    assert said(changes.take_up(aside, "job.toml")) == said(ORDER)
    assert changes.take_up(ORDER, "job.toml") == ORDER


def test_the_same_in_json() -> None:
    source = b'{"kind": "job", "name": "one", "events": [{"event": "a"}, {"event": "b"}]}'
    less = changes.remove_event(0)(source, "job.json")
    more = changes.add_event(Event("c"))(less, "job.json")
    assert load_text(more, "job.json").content["events"] == [{"event": "b"}, {"event": "c"}]


def taken_in(one: TakenIn) -> Said:
    return said_of(of_taken_in(one))


def saved(one: Saved) -> Said:
    return said_of(of_saved_alone(one))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shop")
    whole = Path(__file__).parents[1] / "documents" / "whole"
    for file in whole.glob("*.toml"):
        shutil.copy(file, folder)
    serve_folder(folder, IN_FOLDER, "A", taken_in).close()
    return folder


@pytest.fixture
def served(made: Path, tmp_path: Path) -> Served:
    shutil.copytree(made, tmp_path / "shop")
    return serve_folder(tmp_path / "shop", IN_FOLDER, "A", taken_in)


def mark_of(served: Served) -> str:
    return next(m.digest for m in served.shop().written.marks if (m.kind, m.name) == ("job", "whole job"))


def change(served: Served, seen: str, key: str, what: Change) -> None:
    Desk(served, "B", saved).change("whole job", seen, what, Request("B", key, "whole job", b"x"))


def test_a_change_is_a_new_version_by_whoever_made_it_and_once(served: Served) -> None:
    seen = mark_of(served)
    for _ in range(2):
        change(served, seen, "one", changes.add_event(Event("tires replaced")))
    with served.store.reading() as connection:
        versions = history(connection, "job", "whole job")
    assert [(v.version, v.saved_by) for v in versions] == [(1, "A"), (2, "B")]
    assert [e.event for e in served.shop().written.jobs["whole job"].events].count("tires replaced") == 1


def test_a_change_of_an_older_version_is_refused_and_says_by_whom(served: Served) -> None:
    seen = mark_of(served)
    change(served, seen, "one", changes.put_aside("later"))
    with pytest.raises(SeenOlderError, match="B"):
        change(served, seen, "two", changes.put_aside("never"))
    assert served.shop().written.jobs["whole job"].put_aside.en == "later"


def test_a_change_to_no_sound_order_saves_nothing(served: Served) -> None:
    seen = mark_of(served)
    with pytest.raises(UnansweredError):
        change(served, seen, "one", changes.decide({"event": "nothing of that name"}, "drop", "why", "B", ""))
    assert mark_of(served) == seen


def test_an_order_begins_with_a_number_and_a_car(served: Served) -> None:
    site, car = next(iter(served.shop().written.sites)), next(iter(served.shop().written.vehicles))
    desk = Desk(served, "B", saved)
    fields = {"plate": "DEMO 9", "promised": "2026-03-09"}
    assert desk.begin(" TR  9 ", site, car, fields, Request("B", "1", "", b"")) == "TR 9"
    made = served.shop().written.jobs["TR 9"]
    assert (made.order_number, made.plate, made.vehicle, made.events) == ("TR 9", "DEMO 9", car, ())
    with pytest.raises(UnansweredError):
        desk.begin("TR 9", site, car, {}, Request("B", "2", "", b""))
    with pytest.raises(UnansweredError):
        desk.begin("  ", site, car, {}, Request("B", "3", "", b""))
