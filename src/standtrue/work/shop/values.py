"""Documents that a program gives as values instead of files, and the shop that they make together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from standtrue.demo import demo_files
from standtrue.documents import Document, gather, load_text, read_document, read_files
from standtrue.documents.procedure import ProcedureForm, to_procedures
from standtrue.documents.site import SiteForm, to_site
from standtrue.documents.vehicle import VehicleForm, to_vehicle
from standtrue.model.procedure import Procedure
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.work.ask import UnansweredError, sound
from standtrue.work.stored import stored_documents
from standtrue.work.where import IN_FOLDER

__all__ = [
    "Document",
    "cards_of",
    "demonstration_documents",
    "document_of",
    "folder_documents",
    "shop_of",
    "site_of",
    "vehicle_of",
]

SCHEMA = 1


def document_of(kind: str, fields: Mapping[str, Any], shown: str) -> Document:
    """The document that these fields say; `shown` is what faults call it. Raises UnansweredError for its faults."""
    read = read_document({"kind": kind, "schema": SCHEMA, **fields}, shown)
    if read.faults:
        raise UnansweredError(read.faults)
    return read


def folder_documents(folder: Path) -> tuple[Document, ...]:
    """Every document of a folder, as it is stored if it holds a store, sound or not: `shop_of` refuses those that are
    not."""
    stored = stored_documents(folder, IN_FOLDER)
    return tuple(read_files(folder)) if stored is None else stored


def demonstration_documents() -> tuple[Document, ...]:
    """The documents of the invented demonstration shop."""
    return tuple(load_text(content, name) for name, content in demo_files().items())


def shop_of(documents: Iterable[Document]) -> Shop:
    """The shop of these documents. Raises UnansweredError if anything is wrong with any of them, or between them."""
    return sound(gather(documents))


def site_of(document: Document, lifts: Iterable[Document] = ()) -> Site:
    """The site of a document; `lifts` are those that it names by type. Raises UnansweredError."""
    form, types = document.form, tuple(lifts)
    if types:
        return next(iter(shop_of((document, *types)).written.sites.values()))
    assert isinstance(form, SiteForm)
    if any(lift.type is not None for lift in form.lifts):
        shop_of((document,))
    return to_site(form, {})


def vehicle_of(document: Document) -> Vehicle:
    """The car of a sound document."""
    assert isinstance(document.form, VehicleForm)
    return to_vehicle(document.form)


def cards_of(document: Document) -> tuple[Procedure, ...]:
    """The cards of a sound document: one for each side where it is written for each."""
    assert isinstance(document.form, ProcedureForm)
    return to_procedures(document.form, document.content)
