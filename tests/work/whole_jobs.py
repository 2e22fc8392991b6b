"""Small random jobs in small random shops: what the planner is asked, and what an enumeration is told of it.

A shop has its places found once, for all that is ever done in it; each job does some of that. All names are invented.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import TYPE_CHECKING

import work_makers as make
from attrs import evolve, field, frozen

from standtrue.drive.engine import drive
from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, End, Mode
from standtrue.model.asking import Asking
from standtrue.model.basics import Place, Range, SupportClass
from standtrue.model.basis import basis_of
from standtrue.model.job import Event, Job, Work
from standtrue.model.lift import PlacedLift
from standtrue.model.order import Blocks
from standtrue.model.procedure import Method, Minutes, Procedure, Source, Target, Variant, Zone
from standtrue.model.reason import Text
from standtrue.model.rules import Calibrate, Rule, Rules
from standtrue.model.site import Bay, Door, Equipment, SentOut, Site
from standtrue.model.stance import FLOOR, Stance
from standtrue.model.vehicle import Sensor, Vehicle
from standtrue.needs import find_needs, order_of_work
from standtrue.work.needs.jobs import Needs
from standtrue.work.place.level import LevelFloors
from standtrue.work.plan.clock import JobClock
from standtrue.work.plan.floors import Floors
from standtrue.work.plan.from_here import Begun
from standtrue.work.plan.moves import Paths
from standtrue.work.plan.operations import draft_operations
from standtrue.work.plan.question import JobQuestion

if TYPE_CHECKING:
    from standtrue.work.plan.stances import Candidates

BOX = make.box(-0.3, -0.5, 0.3, 0.5)
FLOOR_OR_DECKS: tuple[SupportClass, ...] = ("floor", "lift down")
SENSORS = {"camera": "forward camera", "radar": "front radar", "rear": "rear camera", "zero": "steering-angle sensor"}
SENSORS |= {"lidar": "lidar"}


class Tabled(Paths):
    """Moves that take what a table says, made up as they are asked for: never less than they must."""

    def __init__(self, site: Site, vehicle: Vehicle, seed: int) -> None:
        super().__init__(site, vehicle)
        self.seed = seed
        found = drive(site, vehicle, End(door="door"), End(Place(5.0, 3.0, 0.0)), quick=True)
        self.like = evolve(found, outcome=Outcome.SOLVED)

    def find(self, start: End, goal: End, mode: Mode) -> Answer:
        """A found way between two ends, a place being where it is, whatever carries the car there."""
        chance = random.Random(f"{self.seed} {start.door or start.place} {goal.door or goal.place} {mode}")
        seconds = 10.0 * chance.randint(30, 60) + (0.0 if mode == "drive" else 100.0)
        return evolve(self.like, mode=mode, seconds=(seconds, seconds))


@frozen(eq=False)
class Shop:
    """A shop, the car, and all that is ever done to it there."""

    seed: int
    site: Site
    car: Vehicle
    cards: tuple[Procedure, ...]
    works: tuple[Work, ...]
    paths: Tabled


@frozen(eq=False)
class WholeJob:
    """A job in a shop. `sends`: what cannot be done there is sent out as far as somebody else does it."""

    shop: Shop
    question: JobQuestion
    sends: bool
    stands: Place | None = None
    works: tuple[Work, ...] = field(default=())


def span(chance: random.Random, low: int, high: int) -> Range:
    """A range in whole tens of seconds with a midpoint in whole tens."""
    least = 10.0 * chance.randint(low, high)
    return least, least + 20.0 * chance.randint(0, 4)


def random_shop(seed: int) -> Shop:
    """A hall of two bays, in half of them with a lift; a frame, a reflector and a lamp to set up."""
    chance = random.Random(seed)
    long, wide = chance.uniform(9.5, 14.0), chance.uniform(5.0, 8.0)
    lift_x = None if chance.random() < 0.5 else chance.uniform(1.5, long - 7.0)
    lifts = () if lift_x is None else (PlacedLift("lift", (lift_x, wide / 2), 0.0, make.LIFT),)
    tools = [
        Equipment(name, name, footprint=BOX, height_m=1.8, set_up_s=span(chance, 6, 30), put_away_s=span(chance, 6, 30))
        for name in ("frame", "reflector", "lamp")
    ]
    half = long / 2
    bays = (Bay("near", make.box(0, 0, half, wide)), Bay("far", make.box(half, 0, long, wide)))
    site = evolve(
        make.site(wide, long),
        lifts=lifts,
        bays=bays,
        doors=(Door("door", (0.0, wide / 2 - 1.6), (0.0, wide / 2 + 1.6), 3.5),),
        equipment=tuple(tools),
        sent_out=tuple(_offers(chance)),
    )
    car = evolve(make.car(), sensors=tuple(Sensor(kind, None) for kind in SENSORS.values()))
    works = (
        Work("new strut", span(chance, 30, 90), supports=("lift up",) if lifts else ("floor",), stage="mechanical"),
        Work("paint", span(chance, 30, 90), zones=(make.ahead(1.0),), stage="body and paint"),
        Work("toe in", span(chance, 30, 90), equipment=("aligner",), stage="alignment"),
    )
    return Shop(seed, site, car, tuple(_cards(chance)), works, Tabled(site, car, seed))


def _offers(chance: random.Random) -> Iterator[SentOut]:
    if chance.random() < 0.7:
        yield SentOut((), span(chance, 300, 600), (80.0, 120.0), work=("alignment",))
    if chance.random() < 0.7:
        fetched = span(chance, 100, 200) if chance.random() < 0.5 else None
        yield SentOut(("lidar",), span(chance, 300, 600), (80.0, 120.0), transport_s=fetched)


def _cards(chance: random.Random) -> Iterator[Procedure]:
    """A camera in up to three forms, two sensors with things before and behind the car, a zero, a drive."""
    reach = chance.uniform(1.5, 3.0)
    near = (Target("board", "front", (reach, 0.0, 1.2), 0.0, "frame"),)
    far = (Target("board", "front", (reach + chance.uniform(-0.5, 2.5), 0.0, 1.2), 0.0, "frame"),)
    boards = chance.choice([{}, {"far": far}, {"far": far, "slow": near}])
    forms = tuple(Variant(name, targets=t, minutes=Minutes(run_s=span(chance, 6, 90))) for name, t in boards.items())
    yield _card(chance, "camera", near, variants=forms)
    room = make.ahead(chance.uniform(1.0, 4.0), 3.0) if chance.random() < 0.7 else None
    side = (Target("post", "front", (chance.uniform(1.0, 3.0), chance.uniform(-1.5, 1.5), 0.7), 0.0, "reflector"),)
    yield _card(chance, "radar", side, zones=() if room is None else (room,))
    back = (
        Target(
            "post",
            "rear",
            (-chance.uniform(2.0, 4.0), chance.uniform(-1.0, 1.0), 0.7),
            0.0,
            chance.choice(["reflector", "frame"]),
        ),
    )
    lamp = ("lamp",) if chance.random() < 0.3 else ()
    yield evolve(_card(chance, "rear", back), equipment=lamp)
    yield _card(chance, "zero", method="electronic")
    if chance.random() < 0.5:
        yield _card(chance, "lidar", method="drive")
    else:
        yield _card(chance, "lidar", zones=(make.ahead(40.0),))


def _card(
    chance: random.Random,
    name: str,
    targets: tuple[Target, ...] = (),
    *,
    method: Method = "static",
    zones: tuple[Zone, ...] = (),
    variants: tuple[Variant, ...] = (),
) -> Procedure:
    return Procedure(
        name,
        SENSORS[name],
        method,
        Source("notes"),
        supports=FLOOR_OR_DECKS,
        targets=targets,
        zones=zones,
        variants=variants,
        minutes=Minutes(run_s=span(chance, 6, 90)),
    )


def all_of_it(shop: Shop) -> WholeJob:
    """The job that does everything: for its places."""
    return _asked(shop, list(SENSORS), shop.works, "yes", sends=False)


def random_whole_job(shop: Shop, candidates: Candidates, seed: int) -> WholeJob:
    """Some of what is ever done there, some of it after other of it, with cures; now and then the car stands inside."""
    chance = random.Random(seed)
    names = chance.sample(list(SENSORS), chance.randint(1, 3))
    works = []
    for work in chance.sample(shop.works, chance.randint(0, 3)):
        wait = span(chance, 30, 120) if chance.random() < 0.4 else (0.0, 0.0)
        blocks: Blocks | None = chance.choice(["drive", "lift", "all"])
        after = (chance.choice(names),) if chance.random() < 0.15 else ()
        works.append(evolve(work, wait_s=wait, blocks=blocks if wait[1] else None, after=after))
    drivable = chance.choice(["yes", "yes", "no", *(w.name for w in works)])
    job = _asked(shop, names, tuple(works), drivable, sends=chance.random() < 0.5)
    floor = [c.place for c in candidates.found if c.lift is None]
    if floor and chance.random() < 0.25:
        place = chance.choice(floor)
        begun = evolve(job.question.begun, stance=Stance(place, FLOOR))
        return evolve(job, question=evolve(job.question, begun=begun), stands=place)
    return job


def _asked(shop: Shop, names: list[str], works: tuple[Work, ...], drivable: str, *, sends: bool) -> WholeJob:
    cards = tuple(card for card in shop.cards if card.name in names)
    car = evolve(shop.car, sensors=tuple(Sensor(SENSORS[name], None) for name in names))
    rules = tuple(Rule("minor collision", (Calibrate(card.sensor),), "required", Text("Hit.")) for card in cards)
    job = Job("R-1", "shop", "car", drivable=drivable, events=(Event("minor collision"),), work=works)
    answer = find_needs(job, car, cards, (Rules("own", rules),))
    needs = Needs(job, car, answer, cards, order_of_work(answer, job), basis_of((), (), ()))
    drafts = draft_operations(needs, shop.site)
    floors = Floors(LevelFloors(None, shop.site))
    question = JobQuestion(needs, shop.site, drafts, shop.paths, floors, Asking(), JobClock(), Begun(drafts, {}))
    return WholeJob(shop, question, sends, works=works)
