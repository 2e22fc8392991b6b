"""Sites, cars and answers for the drawing's tests. All invented."""

from __future__ import annotations

import math
from collections.abc import Sequence

from standtrue.model.basics import Outline, Place, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift, LiftState, Obstacle, PlacedLift
from standtrue.model.procedure import Procedure, Source, Target, TargetPosition, Zone
from standtrue.model.reason import Reason, Ref, Text
from standtrue.model.site import Bay, Cover, Datum, Door, Equipment, Mark, Patch, Site, Void
from standtrue.model.stance import FLOOR
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.answer import Answer, Touch
from standtrue.place.question.claims import car_claims, card_claims


def box(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


CAR = Vehicle("Marlow estate", 4.7, 1.85, 2.05, 1.5, 2.75, 0.95, 1.58, 1.58, 0.215, 0.65, 0.15)

CAMERA = Procedure(
    "windshield camera",
    "forward camera",
    "static",
    Source("invented"),
    supports=("floor", "lift up"),
    zones=(
        Zone("view", "clear", "front", box(0, -1, 3, 1), 0, 2),
        Zone("stand for the board", "stand", "front", box(2.5, -0.6, 3.1, 0.6), 0, 2),
        Zone("backdrop", "plain", "front", box(3.1, -1, 3.3, 1), 0, 2),
    ),
    targets=(Target("pattern board", "front", (2.8, 0.1, 1.2), math.pi, size_m=(1.0, 0.8)),),
)

RADAR = Procedure(
    "corner radar",
    "rear corner radar",
    "static",
    Source("invented"),
    side="left",
    zones=(Zone("beam", "metal-free", "rear", box(-2.5, 0, 0, 2), 0, 2),),
    targets=(
        Target(
            "reflector",
            "rear",
            (-1.7, 1.5, 0.6),
            0.0,
            positions=(TargetPosition((-1.7, 1.5, 0.6)), TargetPosition((-2.2, 1.5, 0.6), 0.1)),
        ),
    ),
)

_DECKS = (box(0, 0.4, 5, 1.05), box(0, -1.05, 5, -0.4))
_PITS = (box(-0.02, 0.38, 5.02, 1.07), box(-0.02, -1.07, 5.02, -0.38))
LIFT = Lift(
    "flush lift",
    states=(
        LiftState("down", (0, 0), decks=_DECKS, voids=_PITS, drive_on=True),
        LiftState("up", (0.3, 1.8), decks=_DECKS, voids=_PITS),
    ),
    posts=(Obstacle("control post", box(-0.6, 1.3, -0.4, 1.5), 0, 1.2),),
    locks_m=(0.6, 1.2, 1.7),
)

SITE = Site(
    "north shop",
    box(0, 0, 9.75, 4.88),
    Datum((0.25, 0.1)),
    lifts=(PlacedLift("lift one", (1.5, 2.44), 0, LIFT),),
    obstacles=(
        Obstacle("bench", box(8.5, 0, 9.75, 0.8), 0, 1),
        Obstacle("tool chest", box(0.1, 0.1, 0.6, 0.5), 0, 1, movable=True),
    ),
    doors=(Door("roller door", (0, 1), (0, 4), 3.0),),
    bays=(Bay("bay east", box(0.2, 0.2, 9.5, 4.68)),),
    marks=(Mark("M1", (9.0, 4.5)),),
    patches=(Patch("gully", box(5, 0.1, 5.4, 0.3), Text("drain")),),
    voids=(
        Void("old pit", box(8.6, 3.0, 9.4, 4.2), covers=(Cover("plate", box(8.6, 3.0, 9.4, 3.5)),), closed=("plate",)),
    ),
    equipment=(Equipment("board frame", "target frame", store=box(6.5, 4.2, 7.3, 4.6)),),
    holes=(box(7.0, 0.0, 7.4, 0.4),),
)

SITE_NAMES = ("north shop", "lift one", "control post", "bench", "tool chest", "roller door", "bay east", "M1", "gully",
              "old pit", "plate", "board frame", "hole 1")  # fmt: skip


STANCE = Place(2.0, 2.753, 0.0)


NEAR_BENCH = Touch(Ref("mirror left"), Ref("obstacle", "bench"), "obstacle", 0.086, 0.05, (8.5, 0.8), (8.414, 0.8))


def answer(
    site: Site = SITE,
    cards: Sequence[Procedure] = (CAMERA,),
    place: Place | None = STANCE,
    *,
    fits: Fits = Fits.YES,
    touches: tuple[Touch, ...] = (
        Touch(Ref("mirror left"), Ref("obstacle", "bench"), "obstacle", 0.086, 0.05, (8.5, 0.8), (8.414, 0.8)),
    ),
    because: tuple[Reason, ...] = (),
) -> Answer:
    """An answer made by hand, so that nothing here leans on the search."""
    claims = [c for c in car_claims(CAR, site.gaps, 0.0, False, 0.0) if c.side != "right" or c.role != "exit"]
    claims.extend(c for card in cards for c in card_claims(card, CAR, site.equipment, 0.0))
    support: SupportClass = "floor"
    return Answer(
        tuple(cards),
        CAR,
        Grounds(site),
        Grounds(site).at_rest(),
        support,
        carrier=FLOOR,
        fits=fits,
        margin_m=0.036 if fits is Fits.YES else None,
        bound_m=0.04 if fits is Fits.YES else -0.2,
        free_m=0.036 if fits is Fits.YES else None,
        place=place if fits is Fits.YES else None,
        nearest_miss=None if fits is Fits.YES else place,
        touches=touches if place is not None else (),
        because=because,
        claims=tuple(claims) if place is not None else (),
    )
