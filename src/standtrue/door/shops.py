"""A shop: the documents of one folder, or of a program."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from standtrue.door.nouns import NOUNS, Card, Document, Job, Lift, Mix, Rules, Setup, Site, Study, Survey, Vehicle
from standtrue.door.readers import reader_of
from standtrue.door.refused import refusing, worded, wrong_type
from standtrue.model.shop import Shop as Model
from standtrue.work.shop import values

D = TypeVar("D", bound=Document)


class Shop:
    """What a shop has written down: rooms, cars, cards, orders, each by name.

    Made of documents (`Shop(room, car, card)`), or read from a folder (`read`). Documents that a given one stands for
    come with it. Raises Refused with every fault in them and between them.
    """

    def __init__(self, *documents: Document | Iterable[Document]) -> None:
        given: dict[tuple[str, str, int], Document] = {}
        for one in _flat(documents):
            for document in (one, *one.also):
                given[document.kind, document.name, id(document)] = document
        self.documents: tuple[Document, ...] = tuple(given.values())
        with refusing():
            self._model = values.shop_of(d.read for d in self.documents)

    @property
    def model(self) -> Model:
        """The shop as a use case takes it, for one question: nothing is looked up in it yet."""
        return self._model.anew()

    def but(self, *documents: Document | Iterable[Document]) -> Shop:
        """The same shop with these documents: in place of those of the same kind and name, or beside them."""
        new = list(_flat(documents))
        replaced = {(d.kind, d.name) for d in new}
        return Shop(*(d for d in self.documents if (d.kind, d.name) not in replaced), *new)

    def _of(self, noun: type[D]) -> Mapping[str, D]:
        return MappingProxyType({d.name: d for d in self.documents if isinstance(d, noun)})

    @cached_property
    def sites(self) -> Mapping[str, Site]:
        """The rooms, by name."""
        return self._of(Site)

    @cached_property
    def lifts(self) -> Mapping[str, Lift]:
        """The types of lift, by name."""
        return self._of(Lift)

    @cached_property
    def vehicles(self) -> Mapping[str, Vehicle]:
        """The cars, by name."""
        return self._of(Vehicle)

    @cached_property
    def cards(self) -> Mapping[str, Card]:
        """The cards, by name."""
        return self._of(Card)

    @cached_property
    def rules(self) -> Mapping[str, Rules]:
        """The rules of what calls for what, by name. Where there are none, the default rules hold."""
        return self._of(Rules)

    @cached_property
    def jobs(self) -> Mapping[str, Job]:
        """The repair orders, by name."""
        return self._of(Job)

    @cached_property
    def mixes(self) -> Mapping[str, Mix]:
        """The car mixes, by name."""
        return self._of(Mix)

    @cached_property
    def studies(self) -> Mapping[str, Study]:
        """The studies, by name."""
        return self._of(Study)

    @cached_property
    def surveys(self) -> Mapping[str, Survey]:
        """The surveys, by name."""
        return self._of(Survey)

    @cached_property
    def setups(self) -> Mapping[str, Setup]:
        """The set-ups, by name."""
        return self._of(Setup)

    def __repr__(self) -> str:
        counts = ((kind, sum(d.kind == kind for d in self.documents)) for kind in NOUNS)
        return f"Shop({', '.join(f'{kind}: {count}' for kind, count in counts if count)})"

    def __str__(self) -> str:
        from standtrue.door.answers import plain
        from standtrue.show.words.read import read_blocks
        from standtrue.work.shop.folders import shop_read

        return plain(read_blocks(shop_read(self._model), reader_of(self._model)))


def _flat(documents: Iterable[Document | Iterable[Document]]) -> Iterable[Document]:
    for i, one in enumerate(documents):
        if isinstance(one, Document):
            yield one
        elif isinstance(one, Iterable) and not isinstance(one, str | Mapping):
            yield from _flat(one)
        else:
            raise wrong_type(f"[{i}]", one, "a document")


@worded
def read(folder: str | os.PathLike[str]) -> Shop:
    """Read a shop folder: every document in it. Raises Refused with every fault of all of them together."""
    with refusing():
        return _made(values.folder_documents(Path(folder)))


@worded
def demonstration() -> Shop:
    """The invented demonstration shop: its room with two lifts, eight cars, their cards, orders, a survey, a study."""
    return _made(values.demonstration_documents())


def _made(documents: Iterable[values.Document]) -> Shop:
    """A shop of documents that were read. Raises UnansweredError for their faults."""
    read = tuple(documents)
    model = values.shop_of(read)
    made = Shop.__new__(Shop)
    made._model = model
    made.documents = tuple(NOUNS[d.mark.kind].of(d) for d in read if d.mark is not None and d.mark.kind in NOUNS)
    return made


def shop_of(shop: Shop | str | os.PathLike[str]) -> Model:
    """The shop as a use case takes it; a folder is read."""
    return (shop if isinstance(shop, Shop) else read(shop)).model
