"""A newer edition of a card takes the older one's place; a job remembers the editions that it was planned with."""

from __future__ import annotations

from standtrue.documents import Document
from standtrue.documents.rewriting import with_fields, with_tables
from standtrue.model.basis import Basis
from standtrue.model.card_fields import differences
from standtrue.model.shop import Shop
from standtrue.work.ask import pick
from standtrue.work.card.kept import Keeper, Write
from standtrue.work.card.life import CardsAnswer, card_basis, named_card, refused
from standtrue.work.needs.jobs import find_job_needs

_NOT_NEWER = {
    "draft": ("card-not-finished", "finish-card"),
    "questioned": ("card-is-questioned", "have-card-read-again"),
    "superseded": ("card-is-old", "use-newer-card"),
}
"""Why a card takes no other's place, by what it counts as."""


def supersede(keeper: Keeper, shop: Shop, older: str, newer: str) -> CardsAnswer:
    """Write into both cards that one is the newer edition of the other; how they differ. Raises UnansweredError, and
    writes nothing, where they are for different sensors, or the newer one is a draft or an old edition itself."""
    one, other = named_card(shop, older), named_card(shop, newer)
    if one.name == other.name:
        raise refused("card-not-ready", "supersedes-itself", "name-older-card", value=one.name)
    if one.sensor != other.sensor:
        raise refused("card-not-ready", "other-sensor", "name-older-card", value=other.name)
    if not other.source.usable:
        what, remedy = _NOT_NEWER[other.source.status]
        raise refused("card-not-ready", what, remedy, value=other.name)
    found = tuple(differences(one.fields, other.fields))
    new, old = keeper.document("procedure", other.name), keeper.document("procedure", one.name)
    writes = (_set(new, "supersedes", one.name), _set(old, "status", "superseded"))
    return keeper.write(writes, CardsAnswer((one, other), card_basis(shop, (one, other)), found))


def _set(document: Document, field: str, value: str) -> Write:
    """One field of a card's source written anew."""

    def change(source: bytes, file: str) -> bytes:
        return with_fields(source, file, [(("source", field), value)])

    return Write(document, change, f"{field} = {value}")


def remember(keeper: Keeper, shop: Shop, job_name: str | None) -> CardsAnswer:
    """Write into a job which editions of its cards it is planned with now. Raises UnansweredError."""
    job = pick("job", job_name, shop.jobs, "--job")
    needs = find_job_needs(shop, job)
    cards = tuple({card.name: card for card in needs.cards}.values())
    tables = [{"card": c.name, "edition": c.source.edition, "digest": c.digest} for c in cards]
    document = keeper.document("job", job.name)
    write = Write(document, lambda s, f: with_tables(s, f, "planned_with", tables), "[[planned_with]]")
    own: Basis = needs.basis
    return keeper.write((write,), CardsAnswer(cards, own, remembered=job.name))
