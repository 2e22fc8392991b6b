"""At the car: one step, one screen at a time; each screen as a frozen value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo

from attrs import field, frozen

from standtrue.model.cautions import Fact, cautions_for, sensor_facts
from standtrue.model.job import Job
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.pictures.at_car import leg_plate
from standtrue.show.pictures.plate import Plate
from standtrue.show.words.pages import car as words
from standtrue.show.words.reader import Reader
from standtrue.work.car.fold import AtCar, AtStep
from standtrue.work.car.happened import STOPS
from standtrue.work.car.steps import CarStep


@frozen
class Act:
    """A button that tells something: its words, what it says by its name, and the fields that go with it.

    `told` explains it. `to` is where it leads in the page as it is (a screen's key), "" for whatever comes next;
    `text` asks for words, `where` is another address to which it is sent.
    """

    words: str
    fields: Mapping[str, str] = field(factory=dict)
    told: str = ""
    to: str = ""
    text: str = ""
    where: str = ""


@frozen
class Screen:
    """One screen. `kind` chooses its layout; `big` and `small` are its figure; `rows` and `notes` what else to know."""

    key: str
    kind: str
    question: str
    over: str = ""
    big: str = ""
    small: str = ""
    lines: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    plates: tuple[tuple[Plate, str], ...] = ()
    rows: tuple[tuple[str, str], ...] = ()
    rows_title: str = ""
    legs: tuple[tuple[int, str], ...] = ()
    notes: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    head: tuple[str, ...] = ()
    verdict: str = ""
    choices: tuple[Act, ...] = ()
    first: Act | None = None
    back: str = ""
    pad: Mapping[str, object] | None = None
    words: Mapping[str, str] = field(factory=dict)
    people: tuple[str, ...] = ()


@frozen
class CarPage:
    """The page: the strip, and every screen of the step that can be shown without the server; `current` is shown."""

    order: str
    plate: str
    car: str
    step_of: str
    who: str
    step: str
    screens: tuple[Screen, ...]
    current: str
    net: Mapping[str, str]
    stop: str
    back: str
    wait: tuple[str, str, str]
    asked: tuple[str, str, str] | None = None
    asker: tuple[str, str] = ("", "")
    old: str = ""
    can_stop: bool = True


@frozen(eq=False)
class Reading:
    """Who looks at which step, and when: what every screen is made with."""

    job: Job
    site: Site
    vehicle: Vehicle
    at: AtStep
    reader: Reader
    now: datetime

    @property
    def zone(self) -> tzinfo | None:
        return self.now.tzinfo


def car_page(
    job: Job,
    told: AtCar | None,
    at: AtStep | None,
    who: str,
    screens: Sequence[Screen],
    reader: Reader,
    *,
    current: str = "",
    old: bool = False,
    device: str = "",
) -> CarPage:
    """The page of a job with the screens of the step in hand."""
    count = 0 if told is None else len(told.handed.steps)
    shown = current or (screens[0].key if screens else "")
    mine = at is not None and at.asker is not None and at.holder is not None and at.holder[0] == device
    return CarPage(
        order=job.order_number or job.name,
        plate=job.plate,
        car=job.vehicle,
        step_of="" if at is None else words.step_of(at.step, count, reader),
        who=who or words.nobody(reader),
        step="" if at is None else at.step.key,
        screens=tuple(screens),
        current=shown,
        net=words.net_words(reader),
        stop=words.stop(reader),
        back=words.back(reader),
        wait=words.wait_words(reader),
        asked=words.asked_for(at.asker[1], reader) if at is not None and mine and at.asker is not None else None,
        asker=at.asker if at is not None and mine and at.asker is not None else ("", ""),
        old=words.out_of_date(reader) if old else "",
        can_stop=at is not None and shown not in ("stop", "who", "look", "back"),
    )


def who_screen(people: Sequence[str], reader: Reader, address: str) -> Screen:
    """Who is at the car, where nobody signed in."""
    choices = tuple(Act(name, {"who": name}, where=f"{address}/who") for name in people)
    return Screen("who", "list", words.who_question(reader), lines=(words.who_told(reader),), choices=choices)


def no_steps_screen(reader: Reader, address: str, doing: str = "") -> Screen:
    """No order of work was handed over; `doing`: what is being done about it."""
    question, told, button = words.not_handed(reader)
    act = Act(button, where=f"{address}/plan")
    return Screen("plan", "list", question, lines=(doing or told,), first=None if doing else act)


def over_screen(told: AtCar, reader: Reader, record: str, address: str) -> Screen:
    """Every step of the order of work is over: what is left all the same, and where the record is."""
    question, nothing, button = words.all_done(reader)
    record_act = Act(button, where=record)
    if not told.waits:
        return Screen("over", "list", question, lines=(nothing,), choices=(record_act,))
    lines, acts = [], []
    for one in told.waits:
        said, come = words.waits_still(words.called(one.step, reader), one.waits, reader)
        fields = {"what": "done"} if one.waits == "send out" else {"what": "next", "name": "again"}
        lines.append(said)
        acts.append(Act(come, {**fields, "step": one.step.key}))
    plan = Act(words.plan_from_here(reader), {}, words.plan_from_here_told(reader), where=f"{address}/plan")
    return Screen("over", "list", question, lines=tuple(lines), choices=(*acts, plan, record_act))


def held_screen(r: Reading, device: str) -> Screen:
    """Another device has the step."""
    at = r.at
    assert at.holder is not None
    when = moment(at.last.at, r.zone) if at.last is not None else r.now
    asked = at.asker is not None and at.asker[0] == device
    (ask, ask_told), (take, take_told) = words.held_choices(r.reader)
    acts = (Act(ask, {"what": "asked"}, ask_told), Act(take, {"what": "taken"}, take_told))
    lines = (words.held_answer(at.holder[1], when, r.reader), *((words.held_asked(r.reader),) if asked else ()))
    return Screen("held", "list", words.held_question(r.reader), lines=lines, choices=acts[1:] if asked else acts)


def resume_screen(r: Reading, of_car: int, of_target: int) -> Screen:
    """Somebody comes back: has anything moved?"""
    at = r.at
    last = at.stopped or at.last
    if last is None:
        over = ""
    elif at.stopped is not None:
        over = words.stopped_over(last.by, at.stopped.name, moment(last.at, r.zone), r.reader)
    else:
        over = words.look_over(last.by, moment(last.at, r.zone), r.reader)
    if not (at.readings or at.stands or at.look):
        return Screen(
            "back", "list", words.resume_question(r.reader), over, first=Act(words.go_on(r.reader), {"what": "back"})
        )
    choices = tuple(
        Act(word, {"what": "moved", "name": name}, told)
        for name, (word, told) in zip(
            ("nothing", "target", "car"), words.look_choices(of_car, of_target, r.reader), strict=True
        )
    )
    return Screen(
        "look", "list", words.look_question(r.reader), over, lines=(words.look_answer(r.reader),), choices=choices
    )


def stop_screen(r: Reading, address: str) -> Screen:
    """Why somebody stops; where what is wrong must be said, in words."""
    wrong, glare = words.stop_fields(r.reader)
    choices = []
    for why in STOPS:
        word, told = words.STOP_WORDS[why]
        said, explained = r.reader.say(word), r.reader.say(told)
        if why == "signed wrong":
            choices.append(Act(said, {}, explained, where=f"{address}?screen=signed"))
            continue
        text = wrong if why == "card wrong" else ""
        choices.append(Act(said, {"what": "stopped", "name": why}, explained, text=text))
    papers = dict(zip(("light", "dark", ""), words.paper_words(r.reader), strict=True))
    return Screen(
        "stop",
        "list",
        words.stops_question(r.reader),
        " ".join(part for part in (r.job.order_number or r.job.name, r.job.vehicle, r.job.plate) if part),
        lines=(words.stops_answer(r.reader),),
        choices=tuple(choices),
        words={"glare": glare, **{f"paper-{key}": word for key, word in papers.items()}},
        back=address,
    )


def signed_screen(told: AtCar, r: Reading, address: str) -> Screen:
    """Which signature is taken back, and why."""
    signed = [(one.step, one.signed) for one in (*told.earlier, *told.steps) if one.signed is not None]
    why, _ = words.stop_fields(r.reader)
    choices = tuple(
        Act(
            words.take_back_row(words.called(step, r.reader), said.by, moment(said.at, r.zone), r.reader),
            {"what": "taken back", "undoes": said.key, "step": step.key},
            words.take_back(r.reader),
            text=why,
        )
        for step, said in signed
    )
    lines = () if signed else (words.none_signed(r.reader),)
    return Screen("signed", "list", words.take_back_question(r.reader), lines=lines, choices=choices, back=address)


def drive_screens(r: Reading, cautions: Sequence[str]) -> tuple[Screen, ...]:
    """Each leg that is left, nose up; with the last one the step is done."""
    step, reader = r.at.step, r.reader
    if not step.legs:
        return (work_screen(r, cautions),)
    screens = []
    for number, leg in enumerate(step.legs):
        if number < r.at.legs:
            continue
        plate = leg_plate(r.site, r.vehicle, step, number, reader, words.leg_told(leg, reader))
        last = number + 1 == len(step.legs)
        fields = {"what": "done"} if last else {"what": "leg", "value": str(number + 1)}
        screens.append(
            Screen(
                f"leg-{number + 1}",
                "drive",
                words.drive_question(reader),
                words.leg_over(step, number, reader),
                words.leg_figure(leg, reader),
                words.leg_small(leg, number + 1, not step.driven, reader),
                cautions=tuple(cautions),
                plates=((plate, words.nose_up(reader)),),
                legs=tuple((i + 1, words.later_leg(one, reader)) for i, one in enumerate(step.legs) if i > number),
                notes=() if step.nearest is None else (words.nearest_told(step.nearest, reader),),
                first=Act(words.stands_at(number + 1, reader), fields, to="" if last else f"leg-{number + 2}"),
                back=f"leg-{number}" if number > r.at.legs else "",
            )
        )
    return tuple(screens)


def work_screen(r: Reading, cautions: Sequence[str]) -> Screen:
    """A step of which only that it is done is told."""
    step, reader = r.at.step, r.reader
    lines = [words.place_told(step.on, reader)] if step.place is not None else []
    if step.team:
        lines.append(words.by_whom(step.team, reader))
    return Screen(
        "work",
        "work",
        words.done_question(reader),
        big=words.called(step, reader),
        lines=tuple(lines),
        cautions=tuple(cautions),
        first=Act(words.done_button(reader), {"what": "done"}),
    )


def moment(at: str, zone: tzinfo | None) -> datetime:
    """A moment of the record in the shop's own time."""
    return datetime.fromisoformat(at.replace("Z", "+00:00")).astimezone(zone)


def cautions_of(step: CarStep, site: Site, sensor: str, reader: Reader) -> tuple[str, ...]:
    """What could hurt someone in a step."""
    facts: set[Fact] = set()
    if step.kind in ("enter", "move", "leave"):
        facts |= {Fact.CAR_MOVES} if step.driven else {Fact.CAR_MOVES, Fact.CAR_PUSHED}
        if any(set(void.closed) != {c.name for c in void.covers} or not void.covers for void in site.voids):
            facts.add(Fact.OPEN_PIT)
    if step.kind == "drive":
        facts.add(Fact.ROAD_TEST)
    if step.kind == "calibration" and sensor:
        facts |= sensor_facts([sensor])
    if step.height_m > 0.0:
        facts.add(Fact.RAISED)
    return tuple(reader.reason(one.reason) for one in cautions_for(frozenset(facts))[:-1])
