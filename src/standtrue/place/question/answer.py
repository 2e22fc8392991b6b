"""What the engine answers. Every value is frozen and carries what a drawing or a table needs."""

from __future__ import annotations

import math

from attrs import frozen

from standtrue.model.basics import Outline, Place, Point, SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Ground, Grounds
from standtrue.model.level import LevelTold
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref
from standtrue.model.stance import Carrier, written
from standtrue.model.vehicle import Vehicle
from standtrue.place.question.claims import Claim

FIT_M = -1e-9
"""A stance fits from this margin on."""

PARALLEL_RAD = 1e-9
"""Lines that differ by less run the same way."""

QUARTER_RAD = math.pi / 2 - PARALLEL_RAD
"""From here on a line is square to another."""


@frozen
class Touch:
    """A pair near the smallest margin: what comes near what, how near, and the gap it demands, metres.

    `at` is the point of the thing nearest to the claim and `of_at` that of the claim nearest to the thing, in the site
    frame: the two ends of the distance. `separation_m` is negative where they overlap (then only its sign is promised,
    and both ends are in the middle of what they share).
    """

    zone: Ref
    thing: Ref
    kind: str
    separation_m: float
    gap_m: float
    at: Point
    of_at: Point

    @property
    def margin_m(self) -> float:
        return self.separation_m - self.gap_m


@frozen(eq=False)
class Answer:
    """Where one car can stand for one card (or several at once) on one support class.

    `fits` YES: `place` is a witness of margin `margin_m`. NO: nothing fits, `bound_m` is a
    proven bound below 0 (or `because` says what rules every place out) and `nearest_miss` is for
    the picture only. UNDECIDED: the bound is within 2 mm of 0, or a limit was reached.
    `chosen` is, where something fits, the stance that a person would choose; `place` is the roomiest.
    `carrier` is None where no stance was seen. `bound_m` bounds the margin of every stance from above. `limited`: the
    search stopped at its limit, and the bound, though it holds, is farther off than usual. `level` is a second answer
    beside `fits`, told by whoever has a survey: None where no card asks for level floor, or it was not asked.
    """

    cards: tuple[Procedure, ...]
    vehicle: Vehicle
    grounds: Grounds
    ground: Ground
    support: SupportClass
    carrier: Carrier | None = None
    doors_open: tuple[str, ...] = ()
    variants: tuple[str | None, ...] = ()
    fits: Fits = Fits.NO
    margin_m: float | None = None
    bound_m: float | None = None
    free_m: float | None = None
    place: Place | None = None
    nearest_miss: Place | None = None
    touches: tuple[Touch, ...] = ()
    because: tuple[Reason, ...] = ()
    not_considered: tuple[Reason, ...] = ()
    in_view: tuple[Reason, ...] = ()
    claims: tuple[Claim, ...] = ()
    limited: bool = False
    level: LevelTold | None = None
    chosen: Chosen | None = None

    @property
    def stands(self) -> Answer:
        """The answer where the car is to stand: at the stance that was chosen, if one was."""
        return self if self.chosen is None else self.chosen.at

    @property
    def carried_by(self) -> str:
        """`floor` or LIFT/STATE, as documents and JSON write what carries the car; "" where nothing does."""
        return "" if self.carrier is None else written(self.carrier)

    @property
    def height_m(self) -> float:
        """The height of the decks, metres; 0 on the floor."""
        return 0.0 if self.carrier is None else self.carrier.height_m

    @property
    def shown(self) -> Place | None:
        """The stance that a picture shows: the witness, or the nearest miss."""
        return self.place or self.nearest_miss

    @property
    def forms(self) -> tuple[Procedure, ...]:
        """The cards, each in the form in which it is met: the variant that the answer names."""
        return tuple(
            next((card.as_variant(v) for v in card.variants if v.name == name), card)
            for card, name in zip(self.cards, self.variants or (None,) * len(self.cards), strict=True)
        )

    @property
    def name(self) -> str:
        return " + ".join(c.key for c in self.cards) or "the car alone"


@frozen(eq=False)
class Chosen:
    """The stance that a person would choose, and can chalk; `at` is the answer there.

    `off_parallel_rad` is the angle, 0 to a quarter turn, to what the car is the least off; `parallel_to` is what it
    stands parallel to, None where it stands parallel to nothing. `lacks_m` is how much of the room wanted is missing.
    """

    at: Answer
    off_parallel_rad: float
    parallel_to: Ref | None
    lacks_m: float
    because: Reason

    @property
    def place(self) -> Place:
        assert self.at.place is not None
        return self.at.place

    @property
    def rank(self) -> int:
        """Parallel, 2, before square to something, 1, before askew."""
        return 2 if self.parallel_to is not None else int(self.off_parallel_rad >= QUARTER_RAD)

    @property
    def margin_m(self) -> float:
        assert self.at.margin_m is not None
        return self.at.margin_m

    @property
    def free_m(self) -> float:
        assert self.at.free_m is not None
        return self.at.free_m


@frozen(eq=False)
class Slice:
    """The positions of the vehicle's origin that fit at one heading, in the site frame.

    Each polygon is (outer ring, holes). Conservative by at most 0.1 mm.
    """

    heading_rad: float
    polygons: tuple[tuple[Outline, tuple[Outline, ...]], ...]
