"""What a shop can do of what its room holds, in words: two shares beside each other, why they differ, what helps."""

from __future__ import annotations

from collections.abc import Iterator

from standtrue.model.reason import Number
from standtrue.show.words.blocks import Table
from standtrue.show.words.reader import Reader
from standtrue.show.words.sheet_room import share_words
from standtrue.study.shop_share import Gain, Loss
from standtrue.work.study.able import ShopShare
from standtrue.work.study.answer import RoomAnswer
from standtrue.work.study.lacks import getting

MOST_LOSSES = 8


def two_shares(room: RoomAnswer, reader: Reader) -> Iterator[str]:
    """What the room holds, with how far that may be off, and what the shop can do of it."""
    yield holds_words(room, reader)
    if room.shop is not None:
        yield shop_words(room.shop, reader)


def holds_words(room: RoomAnswer, reader: Reader) -> str:
    """What the room holds; as a range where dimensions are estimated."""
    share = share_words(room.tally.whole.share, reader)
    if room.band is None:
        return reader.say("The room holds {share} of the orders.", share=share)
    low, high = share_words(room.band.low, reader), share_words(room.band.high, reader)
    if low == high == share:
        return reader.say(
            "The room holds {share} of the orders, also if what is estimated of some cars is off: {fields}.",
            share=share,
            fields=room.band.fields,
        )
    return reader.say(
        "The room holds {share} of the orders; {low} to {high}, as of some cars these are estimated: {fields}.",
        share=share,
        low=low,
        high=high,
        fields=room.band.fields,
    )


def shop_words(shop: ShopShare, reader: Reader) -> str:
    """What the shop can do; of how much it is not known; or why it cannot be told."""
    if shop.told is None:
        return reader.say("What the shop can do of them: cannot tell: {why}.", why=shop.missing)
    whole, open_orders = shop.told.tally.whole, shop.told.tally.undecided
    share = share_words(whole.share, reader)
    if open_orders <= 0.0:
        return reader.say(
            "The shop can do {share} with its equipment and people, on its floor, driven in and out again.", share=share
        )
    return reader.say(
        "The shop can do {share} with its equipment and people, on its floor, driven in and out again; of {orders} "
        "orders a year it is not known.",
        share=share,
        orders=Number(open_orders, 1),
    )


def gain_words(gain: Gain, reader: Reader) -> str:
    """What is got, as one change."""
    return reader.all_of([getting(lack) for lack in gain.lacks])


def shop_tables(room: RoomAnswer, reader: Reader) -> Iterator[Table]:
    """Why the shop does less than the room holds, and what getting things wins."""
    told = None if room.shop is None else room.shop.told
    if told is not None and told.losses:
        yield _losses(told.losses, reader)
    if told is not None and told.gains:
        yield _gains(told.gains, reader)


def _losses(losses: tuple[Loss, ...], reader: Reader) -> Table:
    rows = tuple(
        (reader.reason(loss.why), ", ".join(loss.cards), f"{loss.lost:.1f}", f"{loss.alone:.1f}")
        for loss in losses[:MOST_LOSSES]
    )
    columns = "", reader.say("cards"), reader.say("orders lost"), reader.say("by it alone")
    return Table(reader.say("What the room holds and the shop cannot do"), columns, rows)


def _gains(gains: tuple[Gain, ...], reader: Reader) -> Table:
    rows = tuple((gain_words(g, reader), share_words(g.whole.share, reader), f"{g.won:.1f}") for g in gains)
    columns = reader.say("change"), reader.say("the shop's share then"), reader.say("orders won back")
    return Table(reader.say("What the shop lacks, and what getting it wins"), columns, rows)
