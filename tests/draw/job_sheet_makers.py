"""Job sheets for the tests, made by hand so that nothing here leans on the search. All invented."""

from __future__ import annotations

import math
from collections.abc import Callable

from attrs import evolve
from draw_makers import CAMERA, CAR, RADAR, SITE, STANCE, answer

from standtrue.aim.alignment import LimitCheck
from standtrue.aim.bodies import Reading
from standtrue.aim.layout import car_offsets, lay_out
from standtrue.model.basics import DocumentMark
from standtrue.model.cautions import CAUTIONS
from standtrue.model.fits import Fits
from standtrue.model.job import Event, Job, Scan
from standtrue.model.job import Reading as JobReading
from standtrue.model.procedure import Condition, DriveCycle, FloorLevel, Procedure, Source, Target, Tolerance
from standtrue.model.reader_units import System
from standtrue.model.reason import Ref, Term, Text, because
from standtrue.model.site import Mark
from standtrue.needs import Cause, Link, Need, NeedsAnswer, NotFitted, WorkStep
from standtrue.show.pictures.place import drawing_of
from standtrue.show.pictures.plan_strip import Scene
from standtrue.show.pictures.time_chart import Bar
from standtrue.show.sheets.job.order import LeftOut, OrderOfWork, OrderStep, floor_pictures
from standtrue.show.sheets.job.sheet import JobSheet, Section, Unplaced
from standtrue.show.sheets.rests_on import CardSource
from standtrue.show.words.reader import ENGLISH, Reader
from standtrue.work.sheet.content import CardPart, Elsewhere, PlannedReading, StancePart, together

Name = Callable[[str], str]

TOLERANCE = Tolerance(0.010, 0.005, 0.005, math.radians(0.3), math.radians(0.3))


def longer(text: str) -> str:
    """A name of 60 characters without a space."""
    return f"{text.replace(' ', '-')}-{'Wm' * 30}"[:60]


def job_sheet(units: System = "metric", *, name: Name = str, fits: bool = True) -> JobSheet:
    """A whole sheet: one stance with two cards, a drive, and a card that fits nowhere."""
    camera, radar = (_named(card, name) for card in (CAMERA, RADAR))
    site = evolve(SITE, marks=(*SITE.marks, Mark(name("stud"), (4.0, 0.6)), Mark(name("brass pin"), (2.0, 4.4))))
    answers = [answer(site, [card], fits=Fits.YES) for card in (camera, radar)]
    if not fits:
        answers = [
            evolve(a, fits=Fits.NO, because=(because("own-work", name=name("the deck is too short")),)) for a in answers
        ]
    raised = [c for c in CAUTIONS if c.code in ("raised-lift", "open-pit")]
    parts = tuple(
        CardPart(
            card,
            one,
            lay_out(card, CAR, site, STANCE, 0.001),
            (
                PlannedReading(
                    Reading("distance", ("wheel rear left",), (name("board"),), 0.0, 0.001, True),
                    because("reading-on-floor", start=Term("wheel rear left"), end=Ref("target", name("board"))),
                    5.17,
                ),
                PlannedReading(
                    Reading("lean", (), (name("board"),), 0.0, 0.002),
                    because("reading-lean", end=Ref("target", name("board"))),
                    0.01,
                ),
            ),
            name("set-up"),
            tuple(c for c in CAUTIONS if c.code == "radar-emitter"),
            (because("own-work", name=name("a note")),),
        )
        for card, one in zip((camera, radar), answers, strict=True)
    )  # fmt: skip
    drive = Procedure(
        name("road cycle"), "front radar", "drive", Source("invented"),
        drive=DriveCycle((10.0, 20.0), (3000.0, 9000.0), (600.0, 900.0), name("marked lanes"), "dry", 2),
    )  # fmt: skip
    return JobSheet(
        job=_job(name),
        vehicle=evolve(CAR, name=name("Marlow estate")),
        program="Standtrue 9.9",
        reader=Reader(units),
        needs=_needs(name),
        order=tuple(
            WorkStep(i, "static calibrations", "need", because("own-work", name=name(f"step {i}")))
            for i in range(1, 13)
        ),
        limits=(LimitCheck("thrust angle", "thrust angle", (-0.002, 0.002)),),
        stances=(StancePart(together(answers), car_offsets(CAR, site, STANCE), parts, tuple(raised)),),
        elsewhere=(Elsewhere(drive, tuple(c for c in CAUTIONS if c.code == "road-test")),),
        nowhere=(Unplaced(camera, (name("no room"), "take the bench away")),),
        sections=(Section(name("Moves"), (name("drive in"),), ("from", "to"), ((name("door"), name("bay")),)),),
        cautions=(ENGLISH.reason(CAUTIONS[-1].reason),),
        warnings=(name("a warning"), "another"),
        sources=(CardSource(camera.key, name("Invented manual"), "2026-01", "2026-02-03", "transcribed"),),
        documents=(DocumentMark("job", name("order"), "ab" * 32, demonstration=True),),
    )


def planned_sheet(units: System = "metric", *, name: Name = str) -> JobSheet:
    """The same sheet with an order of work, by which its stance is place 3."""
    sheet = job_sheet(units, name=name)
    (stance,) = sheet.stances
    cards = tuple(evolve(part, step=number) for number, part in enumerate(stance.cards, start=5))
    drives = tuple(evolve(u, steps=(8, 9)) for u in sheet.elsewhere)
    return evolve(
        sheet, planned=order_of_work(units, name=name), stances=(evolve(stance, cards=cards, place=3),), order=(),
        elsewhere=drives, nowhere=(),
    )  # fmt: skip


def order_of_work(units: System = "metric", *, name: Name = str) -> OrderOfWork:
    """Nine steps: in, two of work that look alike, set up, two cards at the sheet's stance, away, out, a drive."""
    floor = drawing_of(answer(fits=Fits.YES), Reader(units))
    scenes = [
        Scene(numbers, name(f"work {numbers}"), (name("when"), "where"), floor if numbers != "8" else None)
        for numbers in ("2", "3", "8")
    ]
    kinds = ("enter", "work", "work", "set up", "calibration", "calibration", "put away", "leave", "drive")
    steps = tuple(
        OrderStep(
            number, name(f"{kind} {number}"), name("place 3"), (name("Ann"), "Ben"), f"{number}:00–{number}:30",
            "5–10 min", (name("board frame"),) if kind == "calibration" else (), kind in ("enter", "leave"),
            1 if kind in ("set up", "calibration", "put away") else None, 1 if kind == "work" else None,
        )
        for number, kind in enumerate(kinds, start=1)
    )  # fmt: skip
    return OrderOfWork(
        (name("two hours in all"),), steps, True,
        left_out=(LeftOut("mats", name("the mats"), (name("no room"), "It can be sent out."), True),),
        otherwise=((name("only in the bay"), "3 h", "0", name("mats")),),
        places=(name("Place 3: by the wall"),),
        pictures=floor_pictures(scenes, Reader(units)),
        bars=tuple(
            Bar(number, kind, name(kind), number * 600.0, number * 600.0 + 600.0, "place 3", (name("Ann"),))
            for number, kind in enumerate(kinds, start=1)
        ),
        cautions=tuple(ENGLISH.reason(c.reason) for c in CAUTIONS if c.code == "moving-car"),
    )  # fmt: skip


def _named(card: Procedure, name: Name) -> Procedure:
    """The card with all that the sheet can say of one."""
    return evolve(
        card,
        name=name(card.name),
        targets=tuple(_target(t, name) for t in card.targets),
        equipment=(name("board frame"),),
        skills=(name("calibration"),),
        after=(name("wheel alignment"),),
        light_lux=350.0,
        floor_level=FloorLevel(0.008, None, ("wheel front left", name("floor"))),
        conditions=(Condition(name("tire pressure"), 2.3, 2.7, "bar"), Condition("doors shut")),
        wheels_on=name("plates"),
    )


def _target(target: Target, name: Name) -> Target:
    return evolve(target, name=name(target.name), tolerance=TOLERANCE, swept=((-2.0, 1.5), (-2.0, 1.0)))


def _job(name: Name) -> Job:
    return Job(
        name("order 7"), "north shop", "Marlow estate",
        order_number=name("TR-7"), vin=name("VIN"), plate=name("PLATE"), odometer=name("52 mi"), payer=name("payer"),
        events=(Event("front bumper removed", "front", name("cover"), Text(name("note"))), Event("wheel alignment")),
        drivable=name("repair"), scans=(Scan("before", (name("no communication"),)),),
        readings=(JobReading("thrust angle", 0.04, "deg", 0.02),), arrives="2026-03-02T10:00:00",
    )  # fmt: skip


def _needs(name: Name) -> NeedsAnswer:
    cause = Cause(because("event", event=Term("front bumper removed")), Text(name("because")), "required")
    link = Link(name("windshield camera"), name("windshield camera"), "static")
    needs = (
        Need("forward camera", None, "required", (cause, cause), (link,)),
        Need("rear corner radar", "left", "conditional", (cause,), option=name("option")),
    )
    return NeedsAnswer("order 7", "Marlow estate", needs, (NotFitted("lidar", None),))
