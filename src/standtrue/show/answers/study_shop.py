"""What a shop can do of what its room holds, as data; and how far a share may be off."""

from __future__ import annotations

from pydantic import Field

from standtrue.show.answers.parts import Coded, Shape, coded, coded_or_none, rounded
from standtrue.show.words.reader import ENGLISH
from standtrue.study.shop_share import Gain, Loss
from standtrue.work.study.able import ShopShare
from standtrue.work.study.answer import Band
from standtrue.work.study.lacks import getting


class BandShape(Shape):
    low: float = Field(description="From 0 to 1; the share with estimated dimensions off the one way or the other.")
    high: float
    estimated: list[str]
    vehicles: int = Field(description="Of so many cars something is estimated.")


class LossShape(Shape):
    """Why work that the room holds is not done."""

    why: str
    lost_per_year: float
    alone_per_year: float = Field(description="Of those lost, the orders that nothing else stops.")
    procedures: list[str]
    vehicles: list[str]
    why_coded: Coded | None = None


class GainShape(Shape):
    """What the shop lacks, got: one thing, or all of them."""

    changes: list[str]
    share: float
    done_per_year: float
    won_per_year: float
    changes_coded: list[Coded] = Field(default=[])


class ShopShareShape(Shape):
    share: float | None = Field(description="From 0 to 1; null where it cannot be told.")
    cannot_tell: list[str] = Field(description="What must be entered before it can be told.")
    done_per_year: float | None
    undecided_per_year: float | None = Field(description="Of the orders not done, those of which it is not known.")
    losses: list[LossShape] = Field(description="Why what the room holds is not done, the most work lost first.")
    gains: list[GainShape] = Field(description="What getting things wins, the most first.")
    ways_searched: int
    ways_taken_over: int = Field(description="Ways that a car took over from one before, each proven for it.")
    cannot_tell_coded: list[Coded] = Field(default=[])


def of_band(band: Band | None) -> BandShape | None:
    """How far a share may be off, as data."""
    if band is None:
        return None
    fields = [str(field.word) for field in band.fields]
    return BandShape(low=rounded(band.low), high=rounded(band.high), estimated=fields, vehicles=band.cars)


def of_shop_share(shop: ShopShare | None) -> ShopShareShape | None:
    """What a shop can do, as data; null where it was not asked, or stopped before its end."""
    if shop is None:
        return None
    told = shop.told
    whole = None if told is None else told.tally.whole
    return ShopShareShape(
        share=None if whole is None else rounded(whole.share),
        cannot_tell=[ENGLISH.reason(reason) for reason in shop.missing],
        done_per_year=None if whole is None else rounded(whole.done),
        undecided_per_year=None if told is None else rounded(told.tally.undecided),
        losses=[] if told is None else [_loss(loss) for loss in told.losses],
        gains=[] if told is None else [_gain(gain) for gain in told.gains],
        ways_searched=shop.searched,
        ways_taken_over=shop.taken_over,
        cannot_tell_coded=coded(shop.missing),
    )


def _loss(loss: Loss) -> LossShape:
    return LossShape(
        why=ENGLISH.reason(loss.why),
        lost_per_year=rounded(loss.lost),
        alone_per_year=rounded(loss.alone),
        procedures=list(loss.cards),
        vehicles=list(loss.cars),
        why_coded=coded_or_none(loss.why),
    )


def _gain(gain: Gain) -> GainShape:
    changes = [getting(lack) for lack in gain.lacks]
    return GainShape(
        changes=[ENGLISH.reason(change) for change in changes],
        share=rounded(gain.whole.share),
        done_per_year=rounded(gain.whole.done),
        won_per_year=rounded(gain.won),
        changes_coded=coded(changes),
    )
