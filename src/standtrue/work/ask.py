"""Finding what a person named in a shop folder: names that are not there come back as faults."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TypeVar

from standtrue.documents import Folder, read_folder
from standtrue.model.basics import SUPPORT_CLASSES, Fault, SupportClass
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Term, because
from standtrue.model.shop import Shop

T = TypeVar("T")


class UnansweredError(Exception):
    """The question cannot be asked of these documents; `faults` say why, all of them."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f.what if isinstance(f.what, str) else f.what.code for f in self.faults))


def open_shop(folder: Path) -> Shop:
    """The shop of the documents in a folder. Raises UnansweredError if anything is wrong with any of them."""
    return sound(read_folder(folder))


def sound(folder: Folder) -> Shop:
    """The shop of a folder without faults. Raises UnansweredError: no answer rests on half-read documents."""
    if folder.faults:
        raise UnansweredError(folder.faults)
    return folder.shop()


def pick(kind: str, name: str | None, known: Mapping[str, T], option: str) -> T:
    """The document of this name; without a name, the only one there is. Raises UnansweredError."""
    if name is None and len(known) == 1:
        return next(iter(known.values()))
    if name is not None and name in known:
        return known[name]
    if name is None and known:
        what = because("several-to-choose-from", number=len(known), kind=Term(kind))
        remedy = because("add-one-of", option=option, names=tuple(sorted(known)))
        raise UnansweredError([Fault("name-missing", what, "", option, "", remedy)])
    if name is None:
        what = because("none-to-choose-from", kind=Term(kind))
        raise UnansweredError([Fault("name-missing", what, "", option, "", because("write-one", kind=Term(kind)))])
    what = because("no-such-name", kind=Term(kind), name=name)
    raise UnansweredError([Fault("unknown-name", what, "", option, name, _there_are(name, known))])


def _there_are(name: str, known: Iterable[str], near: Iterable[str] = ()) -> Reason:
    """What there is instead of a name: the one that is most like it (among `near`, too), or all."""
    known = sorted(known)
    like = difflib.get_close_matches(name, [*known, *near], n=1)
    if like:
        return because("perhaps-this-name", name=like[0])
    return because("there-are", names=tuple(known)) if known else because("there-are-none")


def pick_cards(shop: Shop, names: Iterable[str]) -> tuple[Procedure, ...]:
    """The cards of these names: `NAME` takes both sides of a card written for each, `NAME/left` one."""
    known = {c.key: c for c in shop.procedures}
    both = {c.name for c in shop.procedures}
    found: dict[str, Procedure] = {}
    faults = []
    for name in names:
        matches = [c for key, c in known.items() if name in (key, c.name)]
        found.update({c.key: c for c in matches})
        if not matches:
            what = because("no-such-name", kind=Term("procedure"), name=name)
            remedy = _there_are(name, both, known)
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
    what = because("no-such-name", kind=Term("support class"), name=name)
    remedy = because("there-are", names=tuple(map(Term, SUPPORT_CLASSES)))
    raise UnansweredError([Fault("unknown-name", what, "", "--support", name, remedy)])
