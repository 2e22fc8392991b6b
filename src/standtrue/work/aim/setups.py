"""A set-up's document with everything that it names: its scene, its card, what carries its car."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from attrs import evolve

from standtrue.aim.alignment import Angle, angle_of, check_alignment
from standtrue.aim.bodies import Reading
from standtrue.aim.scene import Scene
from standtrue.model.basics import Fault
from standtrue.model.basis import Basis, basis_of
from standtrue.model.cautions import Fact, propulsion_facts
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.setup import Setup
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.stance import FLOOR, Carrier, read_carrier, written
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.answer import Answer
from standtrue.place.question.claims import missing_anchors
from standtrue.work.aim.floors import floor_for_setup
from standtrue.work.aim.known_to import notes_on_chalk, notes_on_floor, notes_on_sizes
from standtrue.work.ask import UnansweredError, pick, pick_cards
from standtrue.work.card_notes import card_notes, changed_since
from standtrue.work.caution_facts import answer_facts, card_facts
from standtrue.work.stances import on_floor

NO_TOES = because("thrust-line-assumed")
TOES_DOUBTED = because("thrust-line-doubted")


def scene_of(shop: Shop, setup: Setup) -> tuple[Scene, list[Reason]]:
    """A set-up as a scene, and what must be said of it. Raises UnansweredError where the shop lacks a part."""
    job = pick("job", setup.job, shop.jobs, f"setup {setup.name}: job")
    vehicle = shop.vehicles[job.vehicle]
    card = card_of(shop, setup)
    if setup.variant is not None:
        card = card.as_variant(
            pick("variant", setup.variant, {v.name: v for v in card.variants}, f"setup {setup.name}: variant")
        )
    faults = missing_anchors(card, vehicle)
    if faults:
        raise UnansweredError(faults)
    aligned = check_alignment(vehicle, angles_of(setup, vehicle))
    thrust = aligned.thrust_heading
    site = shop.sites[job.site]
    on_floor(site, setup.place, f"setup {setup.name}: stance.at", "")
    known = thrust if thrust is not None else Angle(0.0)
    stated = (setup.points, setup.ties, setup.lines)
    scene = Scene(card, vehicle, site, setup.place, known, setup.height_m, *stated)
    scene = evolve(scene, floor=floor_for_setup(shop, scene))
    noted = noted_of_card(shop, setup, card)
    assumed = [] if thrust is not None else [TOES_DOUBTED if aligned.thrust_doubted else NO_TOES]
    return scene, [
        *noted,
        *assumed,
        *notes_on_sizes(scene, readings_of(setup)),
        *notes_on_floor(scene),
        *notes_on_chalk(scene),
    ]


def noted_of_card(shop: Shop, setup: Setup, card: Procedure) -> tuple[Reason, ...]:
    """What must be said of a set-up's card, whatever is asked: what it counts as, and whether it changed since the job
    was planned."""
    return (*changed_since(shop, shop.jobs[setup.job], [card], every=False), *card_notes([card]))


def readings_of(setup: Setup) -> tuple[Reading, ...]:
    """A set-up's readings as the network takes them."""
    return tuple(Reading(r.what, r.start, r.end, r.value, r.u, r.plumbed, r.typed) for r in setup.readings)


def card_of(shop: Shop, setup: Setup) -> Procedure:
    """A set-up's card, with all its variants. Raises UnansweredError where it names both sides of one."""
    cards = pick_cards(shop, [setup.procedure])
    if len(cards) == 1:
        return shop.take(cards)[0]
    what = because("card-for-each-side", card=setup.procedure)
    remedy = because("name-one-of", words=tuple(c.key for c in cards))
    raise UnansweredError([_fault("side-missing", what, setup, "procedure", setup.procedure, remedy)])


def carrier_of(setup: Setup, site: Site) -> Carrier:
    """What carries a set-up's car. Raises UnansweredError if the site has no such lift, or the lift no such state."""
    try:
        return read_carrier(setup.on, site, setup.height_m)
    except KeyError:
        known = tuple(written(Carrier(p.name, s.name)) for p in site.lifts for s in p.lift.states)
        what = because("site-lacks-carrier", site=Ref("site", site.name), carrier=setup.on)
        remedy = because("name-one-of", words=(written(FLOOR), *known))
        raise UnansweredError([_fault("no-such-state", what, setup, "stance.on", setup.on, remedy)]) from None


def angles_of(setup: Setup, vehicle: Vehicle) -> Mapping[str, Angle]:
    """A set-up's alignment readings of its car by name, as angles."""
    return {one.name: angle_of(one, vehicle) for one in setup.alignment}


def basis_for(shop: Shop, scene: Scene, notes: Iterable[Reason], stance: Answer | None = None) -> Basis:
    """What an answer about a set-up rests on; with a stance also what lies open or is raised there. Nothing moves."""
    facts = {*card_facts([scene.card]), *propulsion_facts(scene.vehicle.propulsion)}
    if stance is not None:
        facts |= answer_facts(stance) - {Fact.CAR_MOVES}
    return basis_of(shop.touched, facts, (*shop.apart, *notes))


def _fault(code: str, what: Reason, setup: Setup, field: str, value: str, remedy: Reason) -> Fault:
    return Fault(code, what, "", f"setup {setup.name}: {field}", value, remedy)
