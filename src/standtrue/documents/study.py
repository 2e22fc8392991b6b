"""A study: its form, what must hold in it, and the model of it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from standtrue.documents.fields import Flag, Names, NotNegative, PlainText, Word
from standtrue.documents.job import EventForm, event_of
from standtrue.documents.parts import DocumentForm, Form, Kind, References, Tell, listed, table_of
from standtrue.model.reason import because
from standtrue.model.study import RepairOrder, Study


class RepairOrderForm(Form):
    name: PlainText = ""
    per_year: NotNegative
    events: tuple[Annotated[EventForm, table_of("event")], ...] = ()
    procedures: Names = ()


class SearchForm(Form):
    types: Names = ()


class StudyForm(DocumentForm):
    sites: tuple[Word, ...] = Field(min_length=1)
    bays: Names = ()
    mix: Word
    work: tuple[RepairOrderForm, ...] = Field(min_length=1)
    conditional: Flag = True
    search: SearchForm = SearchForm()


def check_study(form: StudyForm, tell: Tell) -> None:
    """A study."""
    for i, work in enumerate(form.work):
        if bool(work.events) == bool(work.procedures):
            code = "fields-conflict" if work.events else "missing-field"
            what, remedy = because("order-told-by-events-or-procedures"), because("write-events-or-procedures")
            tell(("work", i, "procedures"), code, what, remedy)
    if sum(work.per_year for work in form.work) == 0:
        tell(("work",), "value-impossible", because("no-order-comes"), because("write-orders-a-year"))
    for i, bay in enumerate(form.bays):
        if form.sites and bay.partition("/")[0] not in form.sites:
            tell(("bays", i), "unknown-reference", because("bay-of-no-site"), because("write-site-and-bay"))


def _references(content: dict[str, Any]) -> References:
    search = content.get("search")
    yield from ((("sites", i), "site", name) for i, name in listed(content.get("sites")))
    yield ("mix",), "mix", content.get("mix")
    types = search.get("types") if isinstance(search, dict) else None
    yield from ((("search", "types", i), "lift", name) for i, name in listed(types))


def to_study(form: StudyForm) -> Study:
    """A study."""
    return Study(
        form.name,
        form.sites,
        form.mix,
        tuple(
            RepairOrder(
                order.name or ", ".join(e.event for e in order.events) or ", ".join(order.procedures),
                order.per_year,
                tuple(event_of(e) for e in order.events),
                order.procedures,
            )
            for order in form.work
        ),
        form.bays,
        form.search.types,
        form.conditional,
        form.demonstration,
    )


KIND = Kind("study", StudyForm, check_study, references=_references)
