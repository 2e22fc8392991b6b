"""What a room can do for a year's work, as data, and as rows for a spreadsheet."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standtrue.model.basics import SupportClass
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded, coded_or_none, envelope, rounded
from standtrue.show.answers.study_shop import BandShape, ShopShareShape, of_band, of_shop_share
from standtrue.show.answers.tables import csv_text, parquet_bytes
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.study import assumptions, stop_name
from standtrue.study.tally import CardShare, Share
from standtrue.work.study.answer import Change, RoomAnswer, StopHelp, StudyAnswer

COLUMNS = ("study", "room", "vehicle", "procedure", "support", "fits")


class ShareShape(Shape):
    name: str
    done_per_year: float
    per_year: float
    share: float = Field(description="From 0 to 1.")


class CardShareShape(Shape):
    procedure: str = Field(description="NAME or NAME/left.")
    done_per_year: float
    per_year: float
    share: float
    supports: list[ShareShape] = Field(description="For each support class that the card allows.")


class StopShape(Shape):
    """A card that does not fit, or something to calibrate that no card covers."""

    name: str
    no_card: bool
    lost_per_year: float
    alone_per_year: float = Field(description="Of those lost, the orders that nothing else stops.")
    vehicles: list[str]
    change: str | None = Field(description="The single change that wins most of it back.")
    wall_m: float | None = Field(description="How far a wall moves outward in it, where one does.")
    won_per_year: float
    change_coded: Coded | None = None
    why: list[str] = Field(default=[], description="Why it does not fit, support by support, for `why_vehicle`.")
    why_vehicle: str | None = Field(None, description="Of the cars that it stops, the one with most work.")
    why_coded: list[Coded] = Field(default=[])


class ChangeShape(Shape):
    change: str
    wall_m: float | None = Field(description="How far a wall moves outward, where one does.")
    share: float
    done_per_year: float
    won_per_year: float
    change_coded: Coded | None = None
    takes: str = Field("", description="What the change takes.")
    cautions: list[str] = Field(default=[], description="Who must be asked before.")
    takes_coded: Coded | None = None
    cautions_coded: list[Coded] = Field(default=[])


class PlacesShape(Shape):
    places: int
    orders_per_year: float


class FitShape(Shape):
    vehicle: str
    procedure: str
    support: SupportClass
    fits: Literal["yes", "no", "undecided"]


class RoomShape(Shape):
    room: str
    site: str
    bay: str | None
    share: float = Field(description="What the room holds, from 0 to 1; see `shop` for what the shop can do of it.")
    done_per_year: float
    per_year: float
    undecided_per_year: float
    by_order: list[ShareShape]
    by_vehicle: list[ShareShape]
    by_procedure: list[CardShareShape]
    stops: list[StopShape] = Field(description="What stops the rest, the most work lost first.")
    changes: list[ChangeShape] = Field(description="Single changes that win work back, the most first.")
    places: list[PlacesShape] | None = Field(description="From how many places the finished orders are served.")
    fits: list[FitShape]
    band: BandShape | None = Field(None, description="How far `share` may be off; null where nothing is estimated.")
    shop: ShopShareShape | None = Field(
        None, description="What the shop can do of what the room holds; null where it was not asked."
    )


class StudyShape(AnswerShape):
    study: str
    mix: str
    partial: bool = Field(description="Stopped before its end: only the cars listed count.")
    vehicles: list[str]
    assumptions: list[str]
    rooms: list[RoomShape]
    assumptions_coded: list[Coded] = Field(default=[])


def of_study(answer: StudyAnswer) -> StudyShape:
    """A study's answer as data."""
    return StudyShape(
        **envelope(answer.basis),
        study=answer.study.name,
        mix=answer.study.mix,
        partial=answer.partial,
        vehicles=list(answer.cars),
        assumptions=list(assumptions(answer, ENGLISH)),
        rooms=[_room(room) for room in answer.rooms],
        assumptions_coded=coded(answer.assumptions),
    )


def study_rows(told: StudyShape) -> list[tuple[str, ...]]:
    """One row for each room, car, card and support: whether it fits. Columns as in COLUMNS."""
    return [
        (told.study, room.room, one.vehicle, one.procedure, one.support, one.fits)
        for room in told.rooms
        for one in room.fits
    ]


def study_table(told: StudyShape, parquet: bool = False) -> bytes:
    """The rows as a CSV file, or as a Parquet file (see `tables.need_parquet`)."""
    rows = study_rows(told)
    return parquet_bytes(COLUMNS, rows) if parquet else csv_text(COLUMNS, rows).encode()


def _room(answer: RoomAnswer) -> RoomShape:
    whole, room = answer.tally.whole, answer.room
    places = answer.places
    return RoomShape(
        room=room.name,
        site=room.site.name,
        bay=None if room.bay is None else room.bay.name,
        share=rounded(whole.share),
        done_per_year=rounded(whole.done),
        per_year=rounded(whole.of),
        undecided_per_year=rounded(answer.tally.undecided),
        by_order=[_share(s) for s in answer.tally.by_order],
        by_vehicle=[_share(s) for s in answer.tally.by_car],
        by_procedure=[_card(c) for c in answer.tally.by_card],
        stops=[_stop(s) for s in answer.stops],
        changes=[_change(c) for c in answer.changes],
        places=None if places is None else [PlacesShape(places=n, orders_per_year=rounded(w)) for n, w in places],
        fits=[
            FitShape(vehicle=car, procedure=card, support=support, fits=fit.value)
            for (car, card), told in answer.table.items()
            for support, fit in told
        ],
        band=of_band(answer.band),
        shop=of_shop_share(answer.shop),
    )


def _share(share: Share) -> ShareShape:
    return ShareShape(
        name=share.name,
        done_per_year=rounded(share.done),
        per_year=rounded(share.of),
        share=rounded(share.share),
    )


def _card(card: CardShare) -> CardShareShape:
    told = card.any_support
    return CardShareShape(
        procedure=card.card,
        done_per_year=rounded(told.done),
        per_year=rounded(told.of),
        share=rounded(told.share),
        supports=[_share(s) for _, s in card.supports],
    )


def _stop(told: StopHelp) -> StopShape:
    stop, change = told.stop, told.change
    return StopShape(
        name=stop_name(stop.what),
        no_card=stop.no_card,
        lost_per_year=rounded(stop.lost),
        alone_per_year=rounded(stop.alone),
        vehicles=list(stop.cars),
        change=None if change is None else ENGLISH.reason(change.reason),
        wall_m=None if change is None else change.moved_m,
        won_per_year=rounded(told.won),
        change_coded=None if change is None else coded_or_none(change.reason),
        why=[ENGLISH.reason(reason) for reason in told.why],
        why_vehicle=told.car or None,
        why_coded=coded(told.why),
    )


def _change(change: Change) -> ChangeShape:
    whole = change.tally.whole
    return ChangeShape(
        change=ENGLISH.reason(change.reason),
        wall_m=change.moved_m,
        share=rounded(whole.share),
        done_per_year=rounded(whole.done),
        won_per_year=rounded(change.won),
        change_coded=coded_or_none(change.reason),
        takes=ENGLISH.reason(change.takes),
        cautions=[ENGLISH.reason(caution) for caution in change.cautions],
        takes_coded=coded_or_none(change.takes),
        cautions_coded=coded(change.cautions),
    )
