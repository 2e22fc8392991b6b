"""Where a car can stand, as data: the answers of `place` and of `job`."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from pydantic import Field

from standtrue.model.basics import Place
from standtrue.place.change.remedies import Remedies, Remedy
from standtrue.place.fits.chosen import Aligned
from standtrue.place.many.shared import SharedPlace, Use
from standtrue.place.question.answer import Answer, Chosen, Slice, Touch
from standtrue.show.answers.drive import ReachedShape
from standtrue.show.answers.needs import NeedsAnswer, needs_fields
from standtrue.show.answers.parts import (
    AnswerShape,
    Coded,
    Json,
    LeveledShape,
    Shape,
    StanceShape,
    TouchShape,
    coded,
    envelope,
    fits_told,
    level_fields,
    ring,
    rounded,
    rounded_or_none,
    stance_told,
)
from standtrue.show.words.reader import ENGLISH
from standtrue.work.needs.jobs import JobAnswer
from standtrue.work.place.places import Places

SideShape = Literal["left", "right"] | None
SupportShape = Literal["floor", "lift down", "lift up"]


class PolygonShape(Shape):
    outline: list[tuple[float, float]]
    holes: list[list[tuple[float, float]]]


class RegionShape(Shape):
    heading_deg: float
    polygons: list[PolygonShape] = Field(description="Where the rear axle's center fits, less at most 0.1 mm.")


class RemedyShape(Shape):
    """One change of the shop that makes room."""

    thing: str = Field(
        description="Walls are numbered as the outline's edges, from 1, with the side they face. Edges in one line are "
        "one wall, numbered by its first."
    )
    kind: Literal["movable", "cover", "obstacle", "void", "wall"]
    action: Literal["move", "cover", "shrink", "remove"]
    least_m: float | None = Field(description="The least amount that makes room; null for cover and remove.")
    direction_deg: float | None = Field(description="Of a move, counter-clockwise from the site's +x.")
    exact: bool = Field(description="Whether `least_m` is proven the least, to 1 mm; if not, a smaller one may do.")


class AlignedShape(Shape):
    """What a car stands parallel to, and what it lacks of the room wanted."""

    off_parallel_deg: float = Field(description="To the nearest of bay, lift and longest wall, 0 to 90; 0 is parallel.")
    parallel_to: str | None = Field(description="Null where the car stands parallel to nothing.")
    lacks_m: float = Field(description="Of the room wanted, `[gaps] room`, which counts as `free_m` does.")
    because: str
    because_coded: Coded


class ChosenShape(AlignedShape, LeveledShape):
    """The stance that a person would choose, and can chalk: what plan, targets, sheet, drive and pictures use."""

    stance: StanceShape
    margin_m: float
    free_m: float
    carried_by: str
    height_m: float
    variant: str | None
    doors_open: list[str]
    touches: list[TouchShape]


class PlaceShape(LeveledShape):
    """One card on one class of support. `stance` is the roomiest, `chosen` where the car is to stand."""

    procedure: str | None
    side: SideShape
    variant: str | None
    support: SupportShape
    carried_by: str | None
    height_m: float
    fits: bool | Literal["undecided"]
    margin_m: float | None
    margin_bound_m: float | None = Field(description="No stance has a larger margin: proven.")
    free_m: float | None
    stance: StanceShape | None
    chosen: ChosenShape | None = Field(
        default=None,
        description="Parallel to bay, lift or longest wall; square to one, or askew, only where no such stance fits.",
    )
    doors_open: list[str]
    touches: list[TouchShape]
    because: list[str]
    because_coded: list[Coded] = Field(default=[], description="The same as code and values.")
    remedies: list[RemedyShape] = Field(description="Single changes. Any one of them makes room.")
    remedy_pairs: list[list[RemedyShape]] = Field(
        description="Where no single change does but to move a wall: two changes that make room together."
    )
    remedies_complete: bool = Field(
        default=True, description="False where a limit was reached, or it was not asked what would make room."
    )
    remedies_missing: list[str] = Field(
        default=[], description="What was not asked about in time, or not how much of its change is enough."
    )
    nearest_miss: StanceShape | None = Field(description="For the picture only.")
    region: list[RegionShape] = Field(default=[], description="Only with --region.")
    reached: ReachedShape | None = Field(default=None, description="Only with --reach; null where nothing fits.")


class UseShape(LeveledShape):
    """One card served at a shared place. Raising the car changes its stance, not its place."""

    procedure: str
    side: SideShape
    variant: str | None
    support: SupportShape
    carried_by: str
    height_m: float
    doors_open: list[str]
    margin_m: float


class SharedShape(AlignedShape):
    place: StanceShape
    margin_m: float = Field(description="The smallest over its uses.")
    uses: list[UseShape]


class PlaceAnswer(AnswerShape):
    answers: list[PlaceShape]
    shared: list[SharedShape] = Field(description="The fewest places that serve all procedures that fit somewhere.")
    shared_proven: bool = Field(description="Whether it is proven that no fewer places do.")


class JobShape(NeedsAnswer):
    answers: list[PlaceShape]
    shared: list[SharedShape] = Field(description="The fewest places that serve all procedures that fit somewhere.")
    shared_proven: bool = Field(description="Whether it is proven that no fewer places do.")


def of_places(places: Places, reached: Sequence[ReachedShape | None] = ()) -> PlaceAnswer:
    """The answer of `place`; `reached` says of each answer how the car gets there, if that was asked."""
    return PlaceAnswer(**envelope(places.basis), **_fields(places, reached))


def of_job(job: JobAnswer) -> JobShape:
    """The answer of `job`."""
    return JobShape(**envelope(job.basis), **needs_fields(job.needs), **_fields(job.places))


def _fields(places: Places, reached: Sequence[ReachedShape | None] = ()) -> Json:
    ways = reached or (None,) * len(places.answers)
    told = zip(places.answers, places.slices, places.remedies, ways, strict=True)
    return {
        "answers": [of_answer(*one) for one in told],
        "shared": [_shared(place) for place in places.shared.places],
        "shared_proven": places.shared.proven,
    }


def of_answer(
    answer: Answer, slices: Sequence[Slice], remedies: Remedies, reached: ReachedShape | None = None
) -> PlaceShape:
    """One answer: a card on one support class."""
    return PlaceShape(
        procedure=answer.cards[0].name if answer.cards else None,
        side=answer.cards[0].side if answer.cards else None,
        variant=answer.variants[0] if answer.variants else None,
        support=answer.support,
        carried_by=answer.carried_by or None,
        height_m=rounded(answer.height_m),
        fits=fits_told(answer.fits),
        **level_fields(answer.level),
        margin_m=rounded_or_none(answer.margin_m),
        margin_bound_m=rounded_or_none(answer.bound_m),
        free_m=rounded_or_none(answer.free_m),
        stance=_stance(answer.place),
        chosen=None if answer.chosen is None else of_chosen(answer.chosen),
        doors_open=list(answer.doors_open),
        touches=[of_touch(touch) for touch in answer.touches],
        because=ENGLISH.reasons(answer.because),
        because_coded=coded(answer.because),
        remedies=[_remedy(remedy) for remedy in remedies.single],
        remedy_pairs=[[_remedy(remedy) for remedy in pair] for pair in remedies.pairs],
        remedies_complete=remedies.complete,
        remedies_missing=[ENGLISH.write(thing) for thing in remedies.missing],
        nearest_miss=_stance(answer.nearest_miss),
        region=[_region(piece) for piece in slices],
        reached=reached,
    )


def of_chosen(chosen: Chosen) -> ChosenShape:
    """The stance that a person would choose."""
    at = chosen.at
    return ChosenShape(
        **_aligned(chosen),
        **level_fields(at.level),
        stance=stance_told(chosen.place),
        margin_m=rounded(chosen.margin_m),
        free_m=rounded(chosen.free_m),
        carried_by=at.carried_by,
        height_m=rounded(at.height_m),
        variant=at.variants[0] if at.variants else None,
        doors_open=list(at.doors_open),
        touches=[of_touch(touch) for touch in at.touches],
    )


def _aligned(told: Chosen | Aligned) -> Json:
    (values,) = coded([told.because])
    return {
        "off_parallel_deg": rounded(math.degrees(told.off_parallel_rad)),
        "parallel_to": None if told.parallel_to is None else ENGLISH.write(told.parallel_to),
        "lacks_m": rounded(told.lacks_m),
        "because": ENGLISH.reason(told.because),
        "because_coded": values,
    }


def of_touch(touch: Touch) -> TouchShape:
    """What comes near what."""
    return TouchShape(
        zone=ENGLISH.write(touch.zone),
        thing=ENGLISH.write(touch.thing),
        separation_m=rounded(touch.separation_m),
        gap_m=rounded(touch.gap_m),
        at=(rounded(touch.at[0]), rounded(touch.at[1])),
        of_at=(rounded(touch.of_at[0]), rounded(touch.of_at[1])),
    )


def _remedy(remedy: Remedy) -> RemedyShape:
    turn = remedy.direction_rad
    return RemedyShape(
        thing=ENGLISH.write(remedy.thing),
        kind=remedy.kind,
        action=remedy.action,
        least_m=rounded_or_none(remedy.least_m),
        direction_deg=None if turn is None else rounded(math.degrees(turn)),
        exact=remedy.exact,
    )


def _shared(shared: SharedPlace) -> SharedShape:
    uses = [_use(use) for use in shared.uses]
    return SharedShape(
        **_aligned(shared.aligned), place=stance_told(shared.place), margin_m=rounded(shared.margin_m), uses=uses
    )


def _use(use: Use) -> UseShape:
    return UseShape(
        procedure=use.card.name,
        side=use.card.side,
        variant=use.variant,
        support=use.support,
        carried_by=use.carried_by,
        height_m=rounded(use.height_m),
        doors_open=list(use.doors_open),
        margin_m=rounded(use.margin_m),
        **level_fields(use.level),
    )


def _stance(place: Place | None) -> StanceShape | None:
    return None if place is None else stance_told(place)


def _region(piece: Slice) -> RegionShape:
    polygons = [
        PolygonShape(outline=ring(outer), holes=[ring(hole) for hole in holes]) for outer, holes in piece.polygons
    ]
    return RegionShape(heading_deg=rounded(math.degrees(piece.heading_rad)), polygons=polygons)
