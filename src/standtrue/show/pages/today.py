"""Today: what waits for whom."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Literal
from urllib.parse import quote

import shapely
from attrs import frozen

from standtrue.model.basics import Place
from standtrue.model.job import Job
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.today import Standing, TodayFloor, today_floor
from standtrue.show.words.days import of_day
from standtrue.show.words.pages import today as words
from standtrue.show.words.reader import Reader
from standtrue.work.orders.planned import PlannedStep
from standtrue.work.today.standing import title_of
from standtrue.work.today.values import Person, Row, Today, Wait

MOST_WAITS, MOST_TIME, MANY_ROWS, THEN = 6, 3, 12, 3
"""So many things that wait are shown open, so many that only time helps; from so many orders on the timetable parts;
so many steps that come then are named."""

SHAPES: Mapping[str, str] = {
    "late": "late", "decide": "look", "time": "wait", "now": "now", "done": "done", "planned": "wait", "aside": "wait",
}  # fmt: skip
"""The shape of each state."""


@frozen
class WaitLine:
    """Something that waits: since or until when, whose, for whom, what, and what somebody does about it."""

    shape: str
    when: str
    order: str
    who: str
    notes: tuple[str, ...]
    act: str
    href: str
    page: str


@frozen
class CarLine:
    """An order in the timetable."""

    number: str
    page: str
    car: str
    plate: str
    stands: str
    shape: str
    now: str
    then: str
    ready: str
    promised: str
    comes: str


@frozen
class Spot:
    """A name on the floor: where, in shares of the picture, whose, and one line of state."""

    x: float
    y: float
    number: str
    short: str
    page: str
    state: str


@frozen(eq=False)
class TodayPage:
    """The page. `groups` are the parts of the timetable, each with its name ("" for one that needs none)."""

    date: str
    time: str
    question: str
    answer: str
    labels: Mapping[str, str]
    floor: TodayFloor | None
    spots: tuple[Spot, ...]
    caption: str
    waits: tuple[WaitLine, ...]
    more_waits: tuple[WaitLine, ...]
    more_waits_words: str
    times: tuple[WaitLine, ...]
    more_times: tuple[WaitLine, ...]
    more_times_words: str
    people: tuple[tuple[str, str, str], ...]
    groups: tuple[tuple[str, tuple[CarLine, ...]], ...]
    coming: tuple[CarLine, ...]
    coming_name: str
    aside: tuple[CarLine, ...]
    find: bool
    found: str
    orders: str
    quiet: str


def today_page(
    today: Today, site: Site | None, cars: Mapping[str, Vehicle], reader: Reader, *, decides: bool, find: str = ""
) -> TodayPage:
    """The page of the day. `find`: only orders with this in their number, car or plate stand in the timetable."""
    tell = _Teller(today.now, site, reader, decides)
    people = dict.fromkeys(row for row, wait in today.waits if wait.urgency != "time")
    times = [tell.wait(row, [wait]) for row, wait in today.waits if wait.urgency == "time"]
    every = [(row, [wait for of, wait in today.waits if of is row and wait.urgency != "time"]) for row in people]
    waits = [tell.wait(row, own) for row, own in every]
    rows = [row for row in today.in_hand if is_called(row.job, find)]
    here, coming = [row for row in rows if row.here], [row for row in rows if not row.here]
    many = len(today.in_hand) > MANY_ROWS
    floor, spots = tell.floor([row for row in today.in_hand if row.here], cars)
    now = of_day(today.now, reader)
    return TodayPage(
        date=words.date_words(today.now, reader),
        time=now,
        question=words.today_question(reader),
        answer=words.answer_words(today, reader, decides=decides),
        labels=words.today_labels(reader),
        floor=floor,
        spots=spots,
        caption=words.caption_words(f"{now}, {words.date_words(today.now, reader)}", reader),
        waits=tuple(waits[:MOST_WAITS]),
        more_waits=tuple(waits[MOST_WAITS:]),
        more_waits_words=words.more_waits(len(waits) - MOST_WAITS, reader),
        times=tuple(times[:MOST_TIME]),
        more_times=tuple(times[MOST_TIME:]),
        more_times_words=words.folded_words(len(times) - MOST_TIME, reader),
        people=tuple(tell.person(one) for one in today.people),
        groups=tell.groups(here, many=many),
        coming=tuple(map(tell.line, coming)),
        coming_name=words.group_words("coming", len(coming), reader) if many else words.today_labels(reader)["coming"],
        aside=tuple(tell.line(row) for row in today.of("aside") if is_called(row.job, find)),
        find=many or today.quiet > 0,
        found=find,
        orders=words.orders_words(len(today.rows), reader),
        quiet=words.quiet_words(today.quiet, reader) if today.quiet else "",
    )


def is_called(job: Job, find: str) -> bool:
    """Whether an order has each of these words in its number, car or plate."""
    said = " ".join((job.order_number or job.name, job.vehicle, job.plate)).casefold()
    return all(word in said for word in find.casefold().split())


def page_of(row: Row) -> str:
    """Where an order's page is."""
    return f"/orders/{quote(row.number.replace('/', '-'), safe='')}"


def at_the_car(row: Row) -> str:
    """Where it is worked on."""
    return f"/car/{quote(row.number, safe='')}"


def _short(number: str, others: Sequence[str]) -> str:
    """A number without what it begins with, where that still tells the cars apart."""
    tails = [one.rpartition("-")[2] for one in others]
    return number.rpartition("-")[2] if len(set(tails)) == len(set(others)) else number


@frozen(eq=False)
class _Teller:
    now: datetime
    site: Site | None
    reader: Reader
    decides: bool

    def wait(self, row: Row, waits: Sequence[Wait]) -> WaitLine:
        """All that an order waits for, told by what is most urgent."""
        wait = waits[0]
        act = words.act_words(wait, self.reader)
        page = page_of(row)
        named = next((one.name for one in wait.what if hasattr(one, "name")), "")
        hrefs = {"reader": f"/documents/procedure/{quote(named, safe='')}", "sign": at_the_car(row)}
        shapes: Mapping[str, str] = {"late": "late", "decide": "look", "time": "wait"}
        return WaitLine(
            shapes[wait.urgency],
            words.when_words(wait, self.now, self.reader),
            f"{row.number} {row.job.vehicle}",
            words.who_words(wait, self.reader, decides=self.decides),
            tuple(words.note_words(one, self.reader) for one in waits),
            act,
            hrefs.get(wait.kind, page),
            page,
        )

    def line(self, row: Row) -> CarLine:
        reader = self.reader
        then = tuple(self.step(row, one) for one in row.then[:THEN])
        begins = row.then[0].starts if row.then and row.now is None else None
        if begins is not None and begins[0] > self.now:
            then = (f"{self._moment(begins[0])} {then[0]}", *then[1:])
        ready = words.unknown_words(reader)
        if row.ready is not None:
            first, last = map(self._moment, row.ready)
            ready = words.span_words(first, last, reader)
        return CarLine(
            row.number,
            page_of(row),
            row.job.vehicle,
            row.job.plate,
            self.stands(row),
            SHAPES[row.state],
            self.state(row),
            words.then_words(then, max(0, len(row.then) - THEN), reader),
            ready,
            words.promised_words(row, self.now, reader),
            "" if row.arrives is None else self._moment(row.arrives),
        )

    def state(self, row: Row) -> str:
        step = row.now or (row.then[0] if row.then else None)
        return words.state_words(row, "" if step is None else self.step(row, step), self.reader)

    def step(self, row: Row, step: PlannedStep) -> str:
        return words.title_words(title_of(row.order, step.operation or step.kind), self.reader)

    def stands(self, row: Row) -> str:
        """The bay that a car is in, or what it stands on."""
        if row.at is None:
            return words.outside_words(self.reader) if row.here else ""
        inside = self._bay(row.at)
        return inside or row.on

    def _bay(self, at: Place) -> str:
        bays = () if self.site is None else self.site.bays
        point = shapely.Point(at.x_m, at.y_m)
        return next((bay.name for bay in bays if shapely.Polygon(bay.outline).covers(point)), "")

    def person(self, one: Person) -> tuple[str, str, str]:
        reader = self.reader
        following, begins = "", ""
        if one.next is not None:
            row, step = one.next
            ahead = step.starts is not None and step.starts[0] > self.now
            begins = self._moment(step.starts[0]) if ahead and step.starts is not None else ""
            following = words.next_words(begins, self.step(row, step), row.number, reader)
        if one.now is None:
            return one.name, words.free_words(begins, reader), following
        row, step = one.now
        return one.name, words.person_words(self.step(row, step), row.number, reader), following

    def groups(self, here: Sequence[Row], *, many: bool) -> tuple[tuple[str, tuple[CarLine, ...]], ...]:
        if not many:
            return (("", tuple(map(self.line, here))),) if here else ()
        keys: tuple[Literal["floor", "outside"], ...] = ("floor", "outside")
        parts = {key: [row for row in here if (row.at is not None) == (key == "floor")] for key in keys}
        return tuple(
            (words.group_words(key, len(rows), self.reader), tuple(map(self.line, rows)))
            for key, rows in parts.items()
            if rows
        )

    def floor(self, here: Sequence[Row], cars: Mapping[str, Vehicle]) -> tuple[TodayFloor | None, tuple[Spot, ...]]:
        """The floor with the cars on it, and up to three of those outside."""
        if self.site is None:
            return None, ()
        inside = [row for row in here if row.at is not None and row.job.vehicle in cars]
        outside = [row for row in here if row.at is None and row.job.vehicle in cars][:3]
        shown = [*inside, *outside]
        told = tuple(words.car_at(r.number, self.stands(r), self.state(r), self.reader) for r in shown)
        said = words.floor_words(of_day(self.now, self.reader), told, self.reader)
        drawn = today_floor(
            self.site, [Standing(cars[row.job.vehicle], row.at, row.dashed) for row in shown], said, self.reader
        )
        numbers = [row.number for row in shown]
        spots = (
            Spot(x, y, row.number, _short(row.number, numbers), page_of(row), self.state(row))
            for (x, y), row in zip(drawn.spots, shown, strict=True)
        )
        return drawn, tuple(spots)

    def _moment(self, when: datetime) -> str:
        return words.moment(when, self.now, self.reader)
