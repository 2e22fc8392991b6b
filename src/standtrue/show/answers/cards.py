"""Cards with their life, and what two of them, or two readings of one, say differently, as data."""

from __future__ import annotations

from pydantic import Field

from standtrue.model.card_fields import Difference, FieldValue
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason
from standtrue.show.answers.exchange import SavedVersion, of_saved
from standtrue.show.answers.parts import AnswerShape, Coded, Shape, coded, coded_or_none, envelope
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.reasons.cards import field_words
from standtrue.work.card.life import CardsAnswer


class CardShape(Shape):
    name: str
    status: str = Field(
        description="draft, transcribed, verified, questioned, superseded or demonstration: what it counts as."
    )
    short_of: str | None = Field(description="Why it counts as less than its document says.")
    short_of_coded: Coded | None = None
    title: str
    edition: str
    transcribed_by: str
    verified_by: str
    superseded_by: list[str]
    digest: str = Field(description="SHA-256 of what was read from the source, without the card's name and its life.")


class DifferenceShape(Shape):
    path: list[str] = Field(description="The field, with the zone, target or other item that it stands in.")
    field: str
    first: str | None = Field(description="What the first says there; null where it says nothing.")
    second: str | None
    first_coded: Coded | None = None
    second_coded: Coded | None = None


class CardAnswer(AnswerShape):
    cards: list[CardShape]
    differences: list[DifferenceShape] | None = Field(description="Null where nothing was compared.")
    readings: bool = Field(description="Whether two readings of one card were compared.")
    by: str = Field(description="Who made the second reading.")
    written: list[str] = Field(description="The documents' files that were written.")
    form: str = Field(description="The blank form of a second reading.")
    remembered: str = Field(description="The job that remembers these editions now.")
    saved: list[SavedVersion] = Field(default=[], description="Of a store: the versions that were saved.")


def of_cards(answer: CardsAnswer) -> CardAnswer:
    """The answer of `card` as data."""
    found = answer.differences
    return CardAnswer(
        **envelope(answer.basis),
        cards=[_card(card) for card in answer.cards],
        differences=None if found is None else [_difference(one) for one in found],
        readings=answer.readings,
        by=answer.by,
        written=list(answer.written),
        form=answer.form,
        remembered=answer.remembered,
        saved=[of_saved(one) for one in answer.saved],
    )


def _card(card: Procedure) -> CardShape:
    source = card.source
    return CardShape(
        name=card.name,
        status=source.status,
        short_of=None if source.short_of is None else ENGLISH.reason(source.short_of),
        short_of_coded=coded_or_none(source.short_of),
        title=source.title,
        edition=source.edition,
        transcribed_by=source.transcribed_by,
        verified_by=source.verified_by,
        superseded_by=list(source.superseded_by),
        digest=card.digest,
    )


def _difference(found: Difference) -> DifferenceShape:
    return DifferenceShape(
        path=list(found.path),
        field=field_words(found.path, ENGLISH),
        first=_said(found.first),
        second=_said(found.second),
        first_coded=_value_coded(found.first),
        second_coded=_value_coded(found.second),
    )


def _said(value: FieldValue | None) -> str | None:
    return None if value is None else ENGLISH.write(value)


def _value_coded(value: FieldValue | None) -> Coded | None:
    """A value with its unit; one that is alone stands under `value`."""
    if value is None:
        return None
    return coded([value if isinstance(value, Reason) else Reason("card-value", (("value", value),))])[0]
