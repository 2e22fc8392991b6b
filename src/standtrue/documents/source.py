"""Where a card comes from, and its life: draft, transcribed, verified by a second person, questioned, superseded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import Field

from standtrue.documents.fields import Day, PlainText, Said, Word
from standtrue.documents.leaves import choice
from standtrue.documents.marks import digest
from standtrue.documents.parts import Form
from standtrue.model.persons import same_person
from standtrue.model.procedure import CardStatus, Questioned, Source
from standtrue.model.reason import Reason, Text, because

STATUS = choice(("draft", "demonstration", "transcribed", "verified", "superseded"))
LIFE = (
    "read_on",
    "status",
    "transcribed_by",
    "transcribed_on",
    "verified_by",
    "verified_on",
    "verified_digest",
    "supersedes",
    "questioned",
)
"""What of a card's source tells its life, and nothing of what the maker asks."""

OWN = ("kind", "schema", "name")
"""What of a card the shop decides by itself."""


class QuestionedForm(Form):
    says: Said = Field(default_factory=Text)
    by: PlainText = ""
    on: Day = ""
    order: PlainText = ""


class SourceForm(Form):
    title: Word
    edition: PlainText = ""
    read_on: Day = ""
    status: Annotated[str, STATUS] | None = None
    transcribed_by: PlainText = ""
    transcribed_on: Day = ""
    verified_by: PlainText = ""
    verified_on: Day = ""
    verified_digest: PlainText = ""
    supersedes: Word | None = None
    questioned: tuple[QuestionedForm, ...] = ()


def content_digest(content: Mapping[str, Any]) -> str:
    """The digest of all that was read from the source: of a card's content but for its name and its life. A card that
    is edited has another one; one that is given to somebody else to read, or another name, has not."""
    kept = {key: value for key, value in content.items() if key not in OWN}
    source = kept.get("source")
    if isinstance(source, Mapping):
        kept["source"] = {key: value for key, value in source.items() if key not in LIFE}
    return digest(kept)


def said_status(form: SourceForm, demonstration: bool) -> str:
    """What a card says of itself."""
    return form.status or ("demonstration" if demonstration else "transcribed")


def source_of(
    form: SourceForm, demonstration: bool, own_digest: str, older: tuple[str, ...] = (), newer: tuple[str, ...] = ()
) -> Source:
    """A card's source and what the card counts as; `own_digest` is of its content, `older` and `newer` are its other
    editions."""
    said = said_status(form, demonstration)
    short = _short_of(form, own_digest) if said == "verified" else None
    status: CardStatus = "transcribed"
    if said == "superseded" or newer:
        status = "superseded"
    elif said == "draft":
        status = "draft"
    elif form.questioned:
        status = "questioned"
    elif said == "demonstration":
        status = "demonstration"
    elif said == "verified" and short is None:
        status = "verified"
    return Source(
        form.title,
        form.edition,
        form.read_on,
        status,
        form.transcribed_by,
        form.transcribed_on,
        form.verified_by,
        form.verified_on,
        older,
        newer,
        short,
        tuple(Questioned(one.says, one.by, one.on, one.order) for one in form.questioned),
    )


def _short_of(form: SourceForm, own_digest: str) -> Reason | None:
    """Why a card that says that it is verified counts as transcribed; None where it does not."""
    if not form.verified_by:
        return because("verified-by-nobody")
    if not form.transcribed_by:
        return because("transcribed-by-nobody")
    if same_person(form.verified_by, form.transcribed_by):
        return because("verified-by-transcriber", by=form.verified_by)
    if not form.verified_digest:
        return because("verified-without-digest")
    if form.verified_digest.strip().lower() != own_digest:
        return because("changed-since-verified", by=form.verified_by)
    return None
