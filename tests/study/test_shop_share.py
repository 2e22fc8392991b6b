"""What a shop can do of what its room holds: laws, and every place counted driven to by `drive`, asked one by one."""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

from standtrue.demo import write_demo
from standtrue.documents import read_folder
from standtrue.drive.engine import drive
from standtrue.drive.question.answer import End
from standtrue.drive.taken_over import can_take_over
from standtrue.model.asking import Asking
from standtrue.model.basics import Place
from standtrue.model.fits import Fits
from standtrue.model.lift import Obstacle
from standtrue.model.procedure import FloorLevel, Procedure, Source, Target, Zone
from standtrue.model.reason import Ref, because
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Datum, Door, Equipment, Person, Site
from standtrue.model.survey import Survey, SurveyPoint
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance
from standtrue.study.shop_share import Found, shop_tally
from standtrue.study.tally import Share, Table, Task, TaskNeed, tally
from standtrue.work.study.able import ShopShare, find_shop_share
from standtrue.work.study.asker import Asker
from standtrue.work.study.rooms import Room
from standtrue.work.study.year import Year

CAR = Vehicle("mid", 4.5, 1.8, 2.0, 1.5, 2.7, 0.9, 1.55, 1.55, 0.215, 0.65, 0.15, turning_circle_m=11.0)
SMALL = evolve(
    CAR, name="small", length_m=3.7, width_m=1.65, width_over_mirrors_m=1.85, wheelbase_m=2.35, turning_circle_m=9.8
)
LONG = evolve(CAR, name="long", length_m=5.2, wheelbase_m=3.1, turning_circle_m=12.3)
BOARD = Equipment("camera board", "target board", footprint=((-0.3, -0.6), (0.3, -0.6), (0.3, 0.6), (-0.3, 0.6)))


def card(name: str, ahead_m: float, *, level: bool = False, people: int = 1, skills: Sequence[str] = ()) -> Procedure:
    """A card that asks for a board so far ahead of the car, and a free way to it."""
    way = Zone("way", "clear", "front", ((0.0, -0.6), (ahead_m, -0.6), (ahead_m, 0.6), (0.0, 0.6)), 0.0, 1.5)
    board = Target("board", "front", (ahead_m, 0.0, 1.0), 3.14159265, "camera board")
    return Procedure(
        name,
        "forward camera",
        "static",
        Source("test"),
        equipment=("camera board",),
        zones=(way,),
        targets=(board,),
        people=people,
        skills=tuple(skills),
        floor_level=FloorLevel(within_m=0.01) if level else None,
    )


NEAR, FAR = card("near", 1.0), card("far", 2.5)


def room(width: float = 9.0, length: float = 8.0, door: float = 3.0, **more: Any) -> Site:
    """A room with one door in the middle of the wall at its lower side."""
    corners = ((0.0, 0.0), (width, 0.0), (width, length), (0.0, length))
    middle = width / 2
    site = Site(
        "room",
        corners,
        Datum((0.0, 0.0)),
        doors=(Door("street door", (middle - door / 2, 0.0), (middle + door / 2, 0.0), 2.6),),
        equipment=(BOARD,),
        people=(Person("Ana", ("cameras",)),),
    )
    return evolve(site, **more)


def year_of(cars: Sequence[Vehicle], cards: Sequence[Procedure]) -> Year:
    tasks = tuple(Task(c.key, v.name, 10.0, (TaskNeed(Ref("card", c.key), ((c.key,),)),)) for v in cars for c in cards)
    return Year(tasks, {v.name: v for v in cars}, {c.key: c for c in cards})


def asked(
    site: Site, cars: Sequence[Vehicle] = (CAR,), cards: Sequence[Procedure] = (NEAR, FAR), shop: Shop | None = None
) -> tuple[Table, Year, ShopShare]:
    year = year_of(cars, cards)
    table = Asker(year, Asking()).fill(Room(site.name, site))
    share = find_shop_share(shop or Shop(Written()), year, Room(site.name, site), table, Asking())
    assert share is not None
    return table, year, share


def done(share: ShopShare) -> float:
    assert share.told is not None
    return share.told.tally.whole.done


def test_the_shop_does_what_it_can_drive_to() -> None:
    table, year, share = asked(room(), (CAR, SMALL))
    assert tally(year.tasks, table).whole == Share("all", 40.0, 40.0)
    assert done(share) == 40.0
    assert share.taken_over > 0, "the smaller car takes the way of the larger one"


def test_without_its_equipment_entered_it_cannot_be_told() -> None:
    """It was the share of the room: 100 % with every piece of equipment removed."""
    _, _, share = asked(room(equipment=()))
    assert share.told is None
    assert share.missing == (because("no-equipment-entered"),)
    _, _, share = asked(room(equipment=(), people=(), doors=()))
    assert [r.code for r in share.missing] == ["no-equipment-entered", "no-people-entered", "no-door-entered"]


def test_an_empty_table_says_that_there_is_none_and_getting_it_is_a_change() -> None:
    _, _, share = asked(room(equipment=(), entered=frozenset({"equipment"})))
    assert done(share) == 0.0
    assert share.told is not None
    (loss,) = share.told.losses
    assert (loss.why, loss.lost, loss.alone) == (
        because("lacks-equipment", equipment=Ref("equipment", "camera board")),
        20.0,
        20.0,
    )
    (gain,) = share.told.gains
    assert (gain.lacks, gain.won, gain.whole.share) == ((loss.why,), 20.0, 1.0)


def test_a_document_says_which_tables_it_has(tmp_path: Path) -> None:
    def read(more: str) -> Site:
        head = 'kind = "site"\nschema = 1\nname = "s"\nunits = "m"\nbox = [0, 0, 9, 5]\n'
        (tmp_path / "site.toml").write_text(head + more, encoding="utf-8")
        return read_folder(tmp_path).sites["s"]

    assert not read("").lists_equipment
    assert read("equipment = []").lists_equipment
    assert not read("equipment = []").lists_people
    assert read("people = []").lists_people


def test_people_and_skills_that_a_card_needs_are_a_stop() -> None:
    two, skilled = card("two", 1.0, people=2), card("skilled", 1.0, skills=("radars",))
    _, _, share = asked(room(), (CAR,), (NEAR, two, skilled))
    assert share.told is not None
    assert share.told.tally.whole.done == 10.0
    assert {loss.why for loss in share.told.losses} == {
        because("lacks-people", needed=2, listed=1),
        because("lacks-skill", skill="radars"),
    }
    assert [(len(g.lacks), g.won) for g in share.told.gains] == [(2, 20.0), (1, 10.0), (1, 10.0)]


def test_a_form_of_a_card_without_its_equipment_does_not_count() -> None:
    """The card's own form asks for the board that is there, its variant for one that is not."""
    from standtrue.model.procedure import Variant

    tight = room(length=8.0)
    wide = evolve(
        FAR,
        zones=(evolve(FAR.zones[0], outline=((0.0, -0.6), (9.0, -0.6), (9.0, 0.6), (0.0, 0.6))),),
        variants=(Variant("short", NEAR.zones, (evolve(NEAR.targets[0], equipment="short board"),), equipment=()),),
    )
    table, _, share = asked(tight, (CAR,), (wide,))
    assert table["mid", "far"] == (("floor", Fits.YES),)
    assert share.told is not None
    assert [loss.why.code for loss in share.told.losses] == ["not-with-equipment-there"]


@pytest.mark.parametrize("why", ["narrow", "low", "boxed in"])
def test_a_blocked_door_leaves_nothing(why: str) -> None:
    """An order was served across a room that no car could enter."""
    site = room(door=1.9) if why == "narrow" else room()
    if why == "low":
        site = evolve(site, doors=tuple(evolve(d, height_m=1.4) for d in site.doors))
    if why == "boxed in":
        site = evolve(site, obstacles=(Obstacle("post", ((4.4, 0.3), (4.6, 0.3), (4.6, 0.5), (4.4, 0.5)), 0.0, 3.0),))
    table, year, share = asked(site, cards=(NEAR,))
    assert tally(year.tasks, table).whole.done == 10.0
    assert done(share) == 0.0
    assert share.told is not None
    (loss,) = share.told.losses
    proven = why != "boxed in"
    assert (share.told.tally.undecided == 0.0) is proven
    codes = {"narrow": "way-door-too-narrow", "low": "way-under-lintel", "boxed in": "no-way-found"}
    assert loss.why.code == codes[why]


def survey(site: Site, slope: float) -> Shop:
    points = tuple(
        SurveyPoint((x, y), slope * x, 0.0005) for x in (0.0, 3.0, 6.0, 9.0) for y in (0.0, 2.0, 4.0, 6.0, 8.0)
    )
    return Shop(Written(sites={site.name: site}, surveys={"floor": Survey("floor", site.name, points)}))


def test_the_floor_as_surveyed_counts() -> None:
    """`study` looked at no survey and said so nowhere."""
    site, level = room(), card("level", 1.0, level=True)
    _, _, flat = asked(site, (CAR,), (level,), survey(site, 0.0))
    assert done(flat) == 10.0
    _, _, steep = asked(site, (CAR,), (level,), survey(site, 0.05))
    assert done(steep) == 0.0
    assert steep.told is not None
    assert [loss.why.code for loss in steep.told.losses] == ["no-level-place"]
    _, _, unknown = asked(site, (CAR,), (level,))
    assert done(unknown) == 0.0
    assert unknown.told is not None
    assert unknown.told.tally.undecided == 10.0
    assert [loss.why.code for loss in unknown.told.losses] == ["floor-not-surveyed"]


def test_counting_by_hand() -> None:
    """Figures counted by hand: three cars' work, one card lacking, one not driven to."""
    yes = (("floor", Fits.YES),)
    tasks = tuple(Task("order", car, 10.0, (TaskNeed(Ref("card", "a"), (("a",), ("b",))),)) for car in "xyz")
    room_table: Table = {(car, key): yes for car in "xyz" for key in "ab"}  # type: ignore[misc]  # a literal support
    able = {key: Found(Fits.YES) for key in room_table} | {
        ("z", "b"): Found(Fits.UNDECIDED, (because("no-way-found"),))
    }
    lack = because("lacks-skill", skill="radars")
    told = shop_tally(tasks, room_table, able, {"a": (lack,)})
    assert (told.tally.whole.done, told.tally.undecided) == (20.0, 10.0)
    assert [(loss.why, loss.lost) for loss in told.losses] == [(lack, 10.0)]
    assert [(g.lacks, g.won) for g in told.gains] == [((lack,), 10.0)]


def shops(seed: int) -> tuple[Site, tuple[Vehicle, ...]]:
    """A random small shop: a room, its door, posts, and cars of several sizes."""
    rng = random.Random(seed)
    site = room(rng.uniform(4.5, 9.0), rng.uniform(6.0, 9.5), rng.uniform(1.9, 3.0))
    posts = []
    for number in range(rng.randrange(4)):
        x, y = rng.uniform(0.2, site.outline[2][0] - 0.5), rng.uniform(0.2, site.outline[2][1] - 0.5)
        posts.append(Obstacle(f"post {number}", ((x, y), (x + 0.3, y), (x + 0.3, y + 0.3), (x, y + 0.3)), 0.0, 3.0))
    return evolve(site, obstacles=tuple(posts)), (LONG, CAR, SMALL)[rng.randrange(2) :]


def judge(seed: int) -> tuple[int, int]:
    """Whatever is counted must be placed and driven to by the engines one by one; how many were, and were not."""
    site, cars = shops(seed)
    table, year, share = asked(site, cars)
    assert share.told is not None
    told = share.told.tally
    assert told.whole.done <= tally(year.tasks, table).whole.done, "never above what the room holds"
    counted = {(t.order, t.car) for t in year.tasks} - {
        (c, car) for loss in share.told.losses for c in loss.cards for car in loss.cars
    }
    yes = no = 0
    for task in year.tasks:
        vehicle, one = year.vehicles[task.car], year.cards[task.order]
        answer = best_stance(Room(site.name, site).grounds, vehicle, [one], "floor")
        if (task.order, task.car) in counted and table[task.car, task.order] == (("floor", Fits.YES),):
            assert answer.fits is Fits.YES
            yes += 1
        elif answer.fits is Fits.YES:
            place = answer.stands.place
            assert place is not None
            way = drive(site, vehicle, End(door="street door"), End(place), quick=True)
            assert not way.found, (seed, task)
            no += 1
    lesser = evolve(site, equipment=(), entered=frozenset({"equipment"}))
    assert done(asked(lesser, cars)[2]) <= told.whole.done, "removing equipment never raises it"
    return yes, no


def test_random_shops() -> None:
    counts = [judge(seed) for seed in (0, 1, 2, 5, 8, 9)]
    assert sum(yes for yes, _ in counts) >= 6
    assert sum(no for _, no in counts) >= 1


@pytest.mark.long
def test_many_random_shops() -> None:
    counts = [judge(seed) for seed in range(200)]
    assert sum(yes for yes, _ in counts) >= 200
    assert sum(no for _, no in counts) >= 20


def test_a_way_taken_over_is_one_that_drive_finds() -> None:
    """Whoever takes over a way can be driven there by a search of its own; a wider turn or car cannot take it."""
    site = room(5.0, 8.0)
    start, goal = End(door="street door"), End(Place(2.5, 2.0, 1.5707963267948966))
    way = drive(site, CAR, start, goal)
    assert way.found
    assert can_take_over(site, CAR, way, start, goal)
    assert can_take_over(site, SMALL, way, start, goal)
    assert drive(site, SMALL, start, goal).found
    fat = evolve(CAR, width_m=2.95, width_over_mirrors_m=2.95)
    assert not can_take_over(site, fat, way, start, goal)
    blocked = evolve(site, obstacles=(Obstacle("post", ((2.4, 0.6), (2.6, 0.6), (2.6, 0.8), (2.4, 0.8)), 0.0, 3.0),))
    assert not can_take_over(blocked, SMALL, way, start, goal)
    curved = drive(room(), LONG, start, End(Place(7.0, 3.5, 1.5707963267948966)))
    assert curved.found
    lame = evolve(SMALL, turning_circle_m=30.0)
    assert not can_take_over(room(), lame, curved, start, End(Place(7.0, 3.5, 1.5707963267948966)))


def test_the_demonstration_shop(tmp_path: Path) -> None:
    """Its lift bay is entered by the alley: every order that it holds can be driven to."""
    from standtrue.work.study.studies import find_study

    write_demo(tmp_path)
    found = read_folder(tmp_path)
    (study,) = found.studies.values()
    few = evolve(study, work=study.work[:1])
    (one,) = find_study(found.shop(), few, places=False).rooms
    assert one.shop is not None
    assert one.shop.told is not None
    assert one.shop.told.tally.whole == one.tally.whole
    assert one.band is not None
    assert one.band.low <= one.tally.whole.share <= one.band.high
