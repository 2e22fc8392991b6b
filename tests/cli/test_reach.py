"""Fits, and can be driven to from the door: or another stance can, or none, and it is said which."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
from attrs import evolve

from command_runner import Run
from standtrue.demo import write_demo
from standtrue.drive.question.answer import End
from standtrue.model.basics import Outline
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift, LiftState, PlacedLift
from standtrue.model.site import Datum, Door, Site, Void
from standtrue.model.stance import Carrier
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance
from standtrue.place.question.answer import Answer
from standtrue.show.answers.drive import of_reached
from standtrue.show.answers.index import answer_schemas
from standtrue.show.words.drive import reached_words
from standtrue.work.drive.arrivals import Reaching, goal_of

CAR = Vehicle("car", 4.2, 1.8, 1.9, 1.5, 2.6, 0.8, 1.5, 1.5, 0.2, 0.65, 0.15, turning_circle_m=11.0)


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def hall(*voids: Void, height: float = 3.0) -> Site:
    """16 x 6 m, with a door in the right wall."""
    door = Door("front door", (16.0, 1.5), (16.0, 4.5), height)
    return Site("hall", box(0.0, 0.0, 16.0, 6.0), Datum((0.0, 0.0)), voids=voids, doors=(door,))


def stance(site: Site) -> Answer:
    return best_stance(Grounds(site), CAR, [], "floor")


def test_the_best_stance_is_reached() -> None:
    site = hall()
    reached = Reaching(site, CAR, ["front door"]).reach(stance(site))
    assert reached is not None
    assert reached.best
    told = of_reached(reached).to_json()
    assert (told["from"], told["found"], told["search"], told["tried"]) == ("front door", True, "solved", 1)
    assert told["minutes"][0] <= told["minutes"][1]
    assert any("The car can get there" in line for line in reached_words(reached))


def test_where_the_best_stance_is_beyond_a_pit_another_is_told() -> None:
    # 8.4 m beyond the pit and 6.8 m before it: the roomier part is the one that cannot be reached.
    site = hall(Void("pit", box(8.4, 0.0, 9.2, 6.0)))
    best = stance(site)
    assert best.place is not None
    assert best.place.x_m < 8.4
    reached = Reaching(site, CAR, ["front door"]).reach(best)
    assert reached is not None
    assert reached.way.found
    assert not reached.best
    assert reached.tried > 1
    other = reached.answer
    assert other.place is not None
    assert other.place.x_m > 9.2
    assert other.margin_m is not None
    assert best.margin_m is not None
    assert 0.0 <= other.margin_m <= best.margin_m + 1e-9
    first = next(reached_words(reached))
    assert first.startswith("The stance chosen was not reached; another that fits can be:")


def test_where_no_stance_is_reached_that_is_told_with_the_reason() -> None:
    site = hall(height=1.4)
    reached = Reaching(site, CAR, ["front door"]).reach(stance(site))
    assert reached is not None
    assert not reached.way.found
    assert reached.best
    words = " ".join(reached_words(reached))
    assert "No way found" in words
    assert "other stances that fit were tried as well" in words
    assert "front door lintel" in words


def test_what_does_not_fit_cannot_be_reached() -> None:
    site = evolve(hall(), outline=box(0.0, 0.0, 16.0, 1.7), doors=())
    assert Reaching(site, CAR, []).reach(stance(site)) is None


def test_a_raised_stance_is_driven_to_at_rest() -> None:
    decks = (box(0.0, -1.05, 5.0, -0.45), box(0.0, 0.45, 5.0, 1.05))
    states = (LiftState("down", (0.0, 0.0), decks, 0.1, drive_on=True), LiftState("up", (1.2, 1.8), decks, 0.1))
    site = evolve(hall(), lifts=(PlacedLift("lift", (5.0, 3.0), 0.0, Lift("two decks", states)),))
    answer = best_stance(Grounds(site), CAR, [], "lift up")
    assert answer.fits is Fits.YES
    goal = goal_of(answer)
    assert goal == End(answer.place, Carrier("lift", "down", 0.0))
    reached = Reaching(site, CAR, ["front door"]).reach(answer)
    assert reached is not None
    assert reached.way.found


def test_the_command_tells_and_draws_the_way(run: Run, tmp_path: Path) -> None:
    write_demo(tmp_path)
    words = ("--vehicle", "Oskerra Nib", "--procedure", "rear camera board", "--support", "floor")
    told = run("place", tmp_path, *words, "--door", "lift bay door", "--json")
    answer = json.loads(told.out)
    jsonschema.validate(answer, answer_schemas()["place"])
    reached = answer["answers"][0]["reached"]
    assert reached["from"] == "lift bay door"
    assert reached["found"]
    assert any("guide the driver" in caution for caution in answer["cautions"])
    picture = tmp_path / "there.svg"
    told = run("place", tmp_path, *words, "--reach", "--out", picture)
    assert "Can it be driven there?" in told.out
    assert "The way there from" in "".join(ElementTree.parse(picture).getroot().itertext())
    refused = run("place", tmp_path, *words, "--door", "back door", "--json")
    assert refused.status == 2
    assert json.loads(refused.out)["faults"][0]["field"] == "--door"
