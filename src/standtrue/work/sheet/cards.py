"""One card at its stance: where its targets go, the lines to chalk, every reading with the points it runs between."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from attrs import evolve, field, frozen

from standtrue.aim.alignment import AlignmentAnswer, Angle, check_alignment
from standtrue.model.job import Job
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.setup import ALIGNMENT_READINGS, MEASURES, AlignmentReading, Instrument, ReadAngle, Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.work.aim.aiming import MeasuredAnswer, judge_measured
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.aim.setups import angles_of
from standtrue.work.needs.jobs import Needs
from standtrue.work.sheet.content import CardPart
from standtrue.work.sheet.standing import Placed, setup_names

TAPE_U_M, LEVEL_U_RAD = 0.0015, math.radians(0.1)
"""How well a tape on the floor and a level are taken to be read where no set-up says it. Common practice, no source."""

_USUAL = (
    Instrument("distance", TAPE_U_M, plumbed=True),
    Instrument("offset", TAPE_U_M),
    Instrument("height", TAPE_U_M),
    Instrument("lean", LEVEL_U_RAD),
)


@frozen(eq=False)
class OneCar:
    """What all cards of a sheet share: the alignment that was read, and what it comes to; what the shop measures with.

    One car has one thrust line: no card of its sheet is laid out by another than the next.
    """

    shop: Shop
    job: Job
    angles: Mapping[str, Angle]
    alignment: AlignmentAnswer
    instruments: tuple[Instrument, ...]
    notes: tuple[Reason, ...] = field(default=())


def one_car(shop: Shop, job: Job, needs: Needs) -> OneCar:
    """The alignment of the job's first set-up that says how the thrust line runs, else what the order carries."""
    setups = [shop.setups[name] for name in setup_names(shop, job)]
    told = [(s, angles_of(s, needs.vehicle)) for s in setups if s.alignment]
    lines = [(s, a, t) for s, a in told if (t := check_alignment(needs.vehicle, a).thrust_heading) is not None]
    ordered = angles_on_order(job)
    angles = lines[0][1] if lines else ordered or (told[0][1] if told else {})
    notes = tuple(
        because("thrust-lines-differ", one=Ref("setup", lines[0][0].name), other=Ref("setup", s.name))
        for s, _, t in lines[1:]
        if abs(t.value_rad - lines[0][2].value_rad) > 2.0 * math.hypot(t.u_rad, lines[0][2].u_rad)
    )
    instruments = next((s.instruments for s in setups if s.instruments), instruments_of(shop.sites[job.site]))
    if not instruments:
        notes = (*notes, because("usual-instruments"))
    return OneCar(shop, job, angles, check_alignment(needs.vehicle, angles), instruments or _USUAL, notes)


def instruments_of(site: Site) -> tuple[Instrument, ...]:
    """What a site lists to measure set-ups with."""
    return tuple(
        Instrument(one.what, one.u, one.plumbed, one.minutes, one.lines, one.name)
        for one in site.instruments
        if one.what in MEASURES
    )


def angles_on_order(job: Job) -> Mapping[str, Angle]:
    """The alignment readings that the order carries in degrees; none that says not how well it was read."""
    return {
        r.what: Angle(math.radians(r.value), math.radians(r.u))
        for r in job.readings
        if r.what in ALIGNMENT_READINGS and r.unit in ("deg", "°") and r.u
    }


def card_part(car: OneCar, placed: Placed) -> CardPart:
    """A card laid out at its stance, with its set-up's instruments, or those of the car's other set-ups."""
    answer = placed.answer
    assert answer.place is not None
    setup = placed.setup
    if setup is None:
        variant = next((v for v in answer.variants if v), None)
        setup = Setup(
            "", car.job.name, placed.card.key, answer.place, answer.carried_by, answer.height_m, variant,
            _along_its_lines(car.instruments, placed.card),
        )  # fmt: skip
    alignment = tuple(AlignmentReading(name, ReadAngle(a.value_rad, a.u_rad)) for name, a in car.angles.items())
    instruments = setup.instruments or car.instruments
    told = lay_targets_out(car.shop, evolve(setup, alignment=alignment, instruments=instruments))
    return CardPart(
        placed.card,
        answer,
        told.targets,
        () if told.plan is None else told.plan.planned,
        setup.name,
        notes=tuple(dict.fromkeys((*placed.notes, *told.basis.warnings))),
        step=placed.step,
        chalk=told.chalk,
        thrust_rad=told.scene.thrust.value_rad,
    )


def _along_its_lines(instruments: Sequence[Instrument], card: Procedure) -> tuple[Instrument, ...]:
    """What reads offsets and angles from a line reads them from that which this card has chalked."""
    lines = tuple(dict.fromkeys(target.line for target in card.targets))
    return tuple(evolve(i, lines=lines) if lines and i.what in ("offset", "angle") else i for i in instruments)


def measured_setups(shop: Shop, job: Job) -> Iterable[tuple[Setup, MeasuredAnswer]]:
    """Each of the job's set-ups that has readings, judged as it was typed, and resting on what it rests on alone."""
    for name in setup_names(shop, job):
        alone = Shop(shop.written)
        setup = alone.setups[name]
        if setup.readings:
            yield setup, judge_measured(alone, setup)
