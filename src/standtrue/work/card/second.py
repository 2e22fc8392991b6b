"""A second reading of a card: its blank form, and what the two readings say differently. All alike, it is verified."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from pathlib import Path

from standtrue.documents import Document, gather, load_text
from standtrue.documents.card_fields import fields_of
from standtrue.documents.procedure import ProcedureForm
from standtrue.documents.rewriting import with_fields, without
from standtrue.documents.second_reading import blank_reading
from standtrue.documents.source import said_status
from standtrue.model.basics import Fault
from standtrue.model.card_fields import differences
from standtrue.model.persons import same_person
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Term, because
from standtrue.model.shop import Shop
from standtrue.work.ask import UnansweredError, sound
from standtrue.work.card.kept import Keeper, Write
from standtrue.work.card.life import CardsAnswer, card_basis, named_card, refused

_NOT_READY = {
    "draft": ("card-not-finished", "finish-card"),
    "superseded": ("card-is-old", "read-the-newer"),
    "demonstration": ("card-is-invented", "nothing-to-read"),
}
"""Why no second reading of a card is taken, by what it counts as."""


def make_blank(shop: Shop, name: str) -> CardsAnswer:
    """A blank form for a second reading. Raises UnansweredError for a card of which none can be taken."""
    card = named_card(shop, name)
    _check_ready(card)
    return CardsAnswer((card,), card_basis(shop, (card,)), form=blank_reading(card.name))


def read_second(keeper: Keeper, shop: Shop, name: str, reading: Path, by: str | None, on: datetime.date) -> CardsAnswer:
    """Compare a second reading in a file with the card; as `compare_readings`."""
    card = named_card(shop, name)
    _check_ready(card)
    _check_reader(card, by)
    return compare_readings(keeper, shop, name, _file_of(reading), by, on)


def compare_readings(
    keeper: Keeper, shop: Shop, name: str, reading: Document, by: str | None, on: datetime.date
) -> CardsAnswer:
    """Compare a second reading with the card, field by field, neither preferred; all alike, the card's document is
    written verified. Raises UnansweredError, and writes nothing, where the second reader is none."""
    card = named_card(shop, name)
    _check_ready(card)
    who = _check_reader(card, by)
    form, document = _reading_of(card, reading), reading
    verified = {"status": "verified", "verified_by": who, "verified_on": on, "verified_digest": card.digest}
    found = tuple(differences(card.fields, fields_of(form, document.content)))
    basis = card_basis(shop, (card,))
    if found:
        return CardsAnswer((card,), basis, found, readings=True, by=who)
    own = keeper.document("procedure", card.name)
    if own.mark is None or card.digest != named_card(sound(gather([own])), card.name).digest:
        raise refused("file-changed", "card-changed-meanwhile", "try-again", file=own.file)
    write = _write(own, {} if _invented(own) else verified, card)
    return keeper.write((write,), CardsAnswer((card,), basis, found, readings=True, by=who))


def _write(own: Document, verified: Mapping[str, object], card: Procedure) -> Write:
    """The card's document with who verified it; what was said against it before is settled by that."""
    changes = [(("source", key), value) for key, value in verified.items()]
    by_hand = ", ".join(f"{key} = {value}" for key, value in verified.items()) or "questioned"

    def change(source: bytes, file: str) -> bytes:
        now = with_fields(source, file, changes)
        return without(now, file, ("source", "questioned")) if card.source.questioned else now

    return Write(own, change, by_hand)


def _invented(own: Document) -> bool:
    """Whether a card says that it is for demonstration: that it stays, whoever read it."""
    form = own.form
    return isinstance(form, ProcedureForm) and said_status(form.source, form.demonstration) == "demonstration"


def _check_ready(card: Procedure) -> None:
    """Raises UnansweredError for a card that is no finished transcription of a current source."""
    if card.source.status in _NOT_READY:
        what, remedy = _NOT_READY[card.source.status]
        raise refused("card-not-ready", what, remedy, value=card.name)


def _check_reader(card: Procedure, by: str | None) -> str:
    """The second reader, who is somebody else than the first. Raises UnansweredError."""
    who = " ".join((by or "").split())
    if not who:
        remedy = because("say-who", option="--by")
        raise UnansweredError([Fault("person-missing", because("nobody-reads"), "", "--by", "", remedy)])
    if not card.source.transcribed_by.strip():
        if card.demonstration and card.source.status == "questioned":
            return who
        raise refused("person-missing", "no-transcriber", "write-transcriber", value=card.name)
    if same_person(who, card.source.transcribed_by):
        what = because("reader-transcribed-it", by=card.source.transcribed_by)
        raise UnansweredError([Fault("same-person", what, "", "--by", who, because("ask-somebody-else"))])
    return who


def _file_of(reading: Path) -> Document:
    """A reading in a file. Raises UnansweredError where it cannot be read."""
    try:
        return load_text(reading.read_bytes(), reading.name)
    except OSError as error:
        why = because("file-unreadable", why=Term((error.strerror or "it cannot be opened").lower()))
        fault = Fault("unreadable", why, str(reading), "", "", because("look-at-permissions"))
        raise UnansweredError([fault]) from None


def _reading_of(card: Procedure, document: Document) -> ProcedureForm:
    """What the second reader typed. Raises UnansweredError for its faults."""
    if document.mark is not None and (document.mark.kind, document.mark.name) != ("procedure", card.name):
        what = because("reading-of-another", name=document.mark.name)
        raise UnansweredError([Fault("card-not-ready", what, document.file, "name", "", because("make-a-blank"))])
    if document.faults:
        raise UnansweredError(document.faults)
    if not isinstance(document.form, ProcedureForm):
        raise refused("card-not-ready", "reading-of-no-card", "make-a-blank", file=document.file)
    return document.form
