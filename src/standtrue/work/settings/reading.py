"""How a shop is read where nobody says otherwise: the table `[reader]` of a site's document, saved as a new version."""

from __future__ import annotations

from attrs import frozen

from standtrue.documents.rewriting import with_fields
from standtrue.model.reader_units import Language, Paper, System
from standtrue.work.card.kept import Keeper
from standtrue.work.served import Served
from standtrue.work.where import Where

BY_HAND = "[reader]"


@frozen
class Reading:
    """In which units and language a shop is read, and on which paper it prints."""

    units: System
    language: Language
    paper: Paper


def set_reading(served: Served, site: str, reading: Reading, by: str) -> None:
    """Say how a site is read, for everybody who has not chosen otherwise. Raises UnansweredError."""
    keeper = Keeper(served.folder, Where(store=served.place), by)
    fields = [
        (("reader", "units"), reading.units),
        (("reader", "language"), reading.language),
        (("reader", "paper"), reading.paper),
    ]
    keeper.write(keeper.document("site", site), lambda source, file: with_fields(source, file, fields), BY_HAND)
