"""How a car gets from one stance to another: what the command line writes for a stance, and the use case."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from itertools import count

from attrs import evolve, field, frozen

from standtrue.drive.engine import drive
from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import MODES, Answer, End, Mode
from standtrue.drive.question.ends import places_of
from standtrue.drive.question.stage import ground_between
from standtrue.drive.world.doors import with_aprons
from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import Fault, Place
from standtrue.model.basis import Basis, basis_of
from standtrue.model.cautions import Fact, propulsion_facts
from standtrue.model.ground import Ground, Grounds
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.stance import read_carrier
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import best_stance
from standtrue.place.question.answer import Answer as Placed
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.caution_facts import pit_facts
from standtrue.work.stances import EXAMPLE, on_floor, read_place

REMEDY = because("write-end-of-move", example=EXAMPLE)


@frozen(eq=False)
class Driven:
    """A move of one car in one site, and what it rests on."""

    site: Site
    vehicle: Vehicle
    start: End
    goal: End
    way: Answer
    basis: Basis = field(factory=Basis)

    @property
    def gave_up(self) -> bool:
        """Whether the search stopped at its limit without an answer."""
        return self.way.outcome is Outcome.GAVE_UP

    @property
    def ground(self) -> Ground:
        """The ground of the move, with the doors open that it needs."""
        at_ends = [end.door for end in (self.start, self.goal) if end.door is not None]
        doors = tuple(dict.fromkeys((*at_ends, *self.way.doors_open)))
        return ground_between(self.site, self.vehicle, self.start, self.goal, doors)

    @property
    def ends(self) -> tuple[Place, Place]:
        """Where the car starts and ends; where no way was found, where it should."""
        start, goal = (places_of(self.site, self.vehicle, end)[0] for end in (self.start, self.goal))
        return self.way.start or start, self.way.goal or goal


def drive_between(
    shop: Shop,
    site: str | None,
    vehicle: str | None,
    start: str,
    goal: str,
    mode: str = "drive",
    asking: Asking = Asking(),
) -> Driven:
    """The move that these words ask for. Raises UnansweredError where they name nothing that is there.

    Stopped early, what was found at the resolutions tried by then.
    """
    where = pick("site", site, shop.sites, "--site")
    car = pick("vehicle", vehicle, shop.vehicles, "--vehicle")
    one, two = (read_end(where, car, text, at) for text, at in ((start, "--from"), (goal, "--to")))
    way = drive(where, car, one, two, pick_mode(mode), hopeless=_searching(asking))
    limits = (because("way-search-stopped"),) if asking.stopped() and not way.found and not way.proven else ()
    moved = Driven(where, car, one, two, way)
    facts = frozenset(moving_facts(car)) | pit_facts(moved.ground)
    return evolve(moved, basis=basis_of(shop.touched, facts, (*shop.apart, *way.warnings), limits))


def _searching(asking: Asking) -> Callable[[], bool]:
    """Asked whenever a search showed no way: tells that a finer one begins, and whether it is to be left."""
    done = count(1)

    def hopeless() -> bool:
        asking.tell(Progress(because("searching-finer"), next(done)))
        return asking.stopped()

    return hopeless


def read_end(site: Site, vehicle: Vehicle, text: str, option: str) -> End:
    """The end that `x,y,heading_deg`, `x,y,heading_deg@LIFT/STATE`, `door:NAME`, `bay:NAME` or `lift:NAME` means.

    In a bay, and on a lift as the car drives onto it, it is the place that is chosen for the car alone. Raises
    UnansweredError if it is none of these, names what the site does not have, or where the car fits nowhere, or lies
    beyond its floor: outside a door without an apron, floor is assumed for this car.
    """

    def refused(code: str, what: Reason) -> UnansweredError:
        return UnansweredError([Fault(code, what, "", option, text, REMEDY)])

    if text.startswith("door:"):
        name = text.removeprefix("door:")
        if name not in {d.name for d in site.doors}:
            raise refused(
                "no-such-door", because("site-lacks-door", site=Ref("site", site.name), door=Ref("door", name))
            )
        return End(door=name)
    kind, _, name = text.partition(":")
    if kind in ("bay", "lift"):
        there = Ref(kind, name, of=site.name if kind == "bay" else "")
        if name not in {one.name for one in (site.bays if kind == "bay" else site.lifts)}:
            named = {"site": Ref("site", site.name), "place": there}
            bay = kind == "bay"
            what = because("site-lacks-bay", **named) if bay else because("site-lacks-lift", **named)
            raise refused("unknown-name", what)
        stands = _in_bay(site, vehicle, name) if kind == "bay" else _on_lift(site, vehicle, name)
        if stands.place is None or stands.carrier is None:
            raise refused(
                "value-impossible", because("no-place-there", vehicle=Ref("vehicle", vehicle.name), place=there)
            )
        return End(stands.place, stands.carrier)
    numbers, _, carried = text.partition("@")
    place = read_place(numbers, option, REMEDY)
    on_floor(with_aprons(site, vehicle)[0], place, option, text)
    if not carried:
        return End(place)
    try:
        return End(place, read_carrier(carried, site))
    except KeyError:
        what = because("site-lacks-lift-state", site=Ref("site", site.name), state=carried)
        raise refused("no-such-state", what) from None


def _in_bay(site: Site, vehicle: Vehicle, name: str) -> Placed:
    """Where the car alone stands in a bay."""
    bay = next(bay for bay in site.bays if bay.name == name)
    return best_stance(Grounds(site, bay), vehicle, (), "floor").stands


def _on_lift(site: Site, vehicle: Vehicle, name: str) -> Placed:
    """Where the car alone stands on a lift that is down. Every other lift is taken to carry no car."""
    no_car = (math.inf, math.inf)
    lifts = (p if p.name == name else evolve(p, lift=evolve(p.lift, wheelbase_m=no_car)) for p in site.lifts)
    return best_stance(Grounds(evolve(site, lifts=tuple(lifts))), vehicle, (), "lift down").stands


def pick_mode(mode: str) -> Mode:
    """Raises UnansweredError for anything but drive, push and skates."""
    for one in MODES:
        if mode == one:
            return one
    remedy = because("there-are", near=None, words=MODES)
    raise UnansweredError([Fault("no-such-mode", because("no-such-mode"), "", "--mode", mode, remedy)])


def moving_facts(vehicle: Vehicle) -> Iterable[Fact]:
    """What a car that moves calls for."""
    return {Fact.CAR_MOVES} | propulsion_facts(vehicle.propulsion)
