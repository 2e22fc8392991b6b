"""Finding what a person named in a shop folder: names that are not there come back as faults."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import TypeVar

from standtrue.documents import Folder, read_folder
from standtrue.documents.faults import value_text
from standtrue.model.basics import SUPPORT_CLASSES, Fault, SupportClass
from standtrue.model.basics import UnansweredError as UnansweredError
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Term, because
from standtrue.model.shop import Shop
from standtrue.work.stored import stored_folder
from standtrue.work.where import IN_FOLDER, Where

T = TypeVar("T")


def open_shop(folder: Path, where: Where = IN_FOLDER, *, mix_to_come: str | None = None) -> Shop:
    """The shop of a folder: as it is stored, or of the documents in it, as `where` says.

    A study may name the car mix `mix_to_come`, which is about to be written. Raises UnansweredError if anything else is
    wrong with any document, or with the store.
    """
    today = date.today().isoformat()
    return sound(stored_folder(folder, where, today) or read_folder(folder, today), mix_to_come)


def sound(folder: Folder, mix_to_come: str | None = None) -> Shop:
    """The shop of a folder without faults. Raises UnansweredError: no answer rests on half-read documents."""
    faults = tuple(f for f in folder.faults if not _asks_for_mix(f, mix_to_come))
    if faults:
        raise UnansweredError(faults)
    return folder.shop()


def _asks_for_mix(fault: Fault, name: str | None) -> bool:
    """Whether all that is wrong is that a study names a car mix of this name, and it is not there."""
    if name is None:
        return False
    return (fault.code, fault.field, fault.value) == ("unknown-reference", "mix", value_text(name))


def pick(kind: str, name: str | None, known: Mapping[str, T], option: str) -> T:
    """The document of this name; without a name, the only one there is. Raises UnansweredError."""
    if name is None and len(known) == 1:
        return next(iter(known.values()))
    if name is not None and name in known:
        return known[name]
    there = tuple(sorted(known))
    if name is None:
        what = because("say-which", kind=Term(kind), count=len(known))
        fault = Fault("name-missing", what, "", option, "", because("add-option", option=option, words=there))
    else:
        what = because("none-of-that-name", kind=Term(kind), name=name)
        fault = Fault("unknown-name", what, "", option, name, _known(name, known, there))
    raise UnansweredError([fault])


def _known(name: str, known: Iterable[str], there: Iterable[str]) -> Reason:
    """What is there to choose from, and the nearest of it."""
    near = difflib.get_close_matches(name, list(known), n=1)
    return because("there-are", near=near[0] if near else None, words=tuple(there))


def pick_cards(folder: Shop, names: Iterable[str]) -> tuple[Procedure, ...]:
    """The cards of these names: `NAME` takes both sides of a card written for each, `NAME/left` one."""
    known = {c.key: c for c in folder.procedures}
    both = {c.name for c in folder.procedures}
    found: dict[str, Procedure] = {}
    faults = []
    for name in names:
        matches = [c for key, c in known.items() if name in (key, c.name)]
        found.update({c.key: c for c in matches})
        if not matches:
            what = because("none-of-that-name", kind=Term("procedure"), name=name)
            remedy = _known(name, [*known, *both], sorted(both))
            faults.append(Fault("unknown-name", what, "", "--procedure", name, remedy))
    if faults:
        raise UnansweredError(faults)
    return tuple(found.values())


def pick_support(name: str | None) -> tuple[SupportClass, ...]:
    """The support classes asked for: one, or all."""
    if name is None:
        return SUPPORT_CLASSES
    for support in SUPPORT_CLASSES:
        if name.strip().lower().replace("-", " ") == support:
            return (support,)
    what = because("none-of-that-name", kind=Term("support class"), name=name)
    remedy = because("there-are", near=None, words=SUPPORT_CLASSES)
    raise UnansweredError([Fault("unknown-name", what, "", "--support", name, remedy)])
