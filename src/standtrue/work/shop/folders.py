"""Shop folders: read for one question, looked through, and begun."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from attrs import evolve, frozen

from standtrue.demo import MAIN_JOB, write_demo
from standtrue.documents import write_rules, write_starter
from standtrue.documents.starter import NotWrittenError
from standtrue.model.basics import Fault
from standtrue.model.basis import Basis, basis_of
from standtrue.model.reason import Reason, Term, because
from standtrue.model.shop import Shop
from standtrue.work.ask import UnansweredError, open_shop
from standtrue.work.shop.understood import Understood, understood
from standtrue.work.where import IN_FOLDER, Where

__all__ = ["MAIN_JOB", "new_demo", "new_rules", "new_shop", "read_shop", "shop_read"]


@frozen(eq=False)
class ShopRead:
    """A shop without faults: what was understood of each document, what stands there and can hardly be meant."""

    basis: Basis
    understood: tuple[Understood, ...]
    shop: Shop

    @property
    def doubts(self) -> tuple[Fault, ...]:
        """What can hardly be meant; each is a warning of the basis too."""
        return self.shop.written.doubts

    @property
    def rest(self) -> Basis:
        """What is to say beside the doubts, for whoever tells them one by one."""
        return evolve(self.basis, warnings=self.shop.warnings)


def read_shop(folder: Path, where: Where = IN_FOLDER) -> ShopRead:
    """Every document of a folder, and what there is to say of them. Raises UnansweredError for their faults."""
    return shop_read(open_shop(folder, where))


def shop_read(shop: Shop) -> ShopRead:
    """Every document of a shop, and what there is to say of them."""
    marks = tuple(evolve(mark, doubts=0) for mark in shop.written.marks)  # they are all told here
    warnings = (*shop.warnings, *map(told_of, shop.written.doubts))
    return ShopRead(basis_of(marks, warnings=warnings), understood(shop), shop)


def told_of(doubt: Fault) -> Reason:
    """A doubt as one sentence: where it stands, what it is, and how to mend it."""
    if not doubt.field:
        return because("file-doubt-told", file=doubt.file, what=doubt.what, remedy=doubt.remedy)
    place = {"file": doubt.file, "line": doubt.line, "field": doubt.field}
    return because("doubt-told", **place, what=doubt.what, remedy=doubt.remedy)


def new_shop(folder: Path) -> tuple[Path, ...]:
    """Write the commented starter documents into a folder; the files. Raises UnansweredError, and writes nothing."""
    return _written(lambda: write_starter(folder), folder)


def new_demo(folder: Path) -> tuple[Path, ...]:
    """Write the demonstration shop into a folder; the files. Raises UnansweredError, and writes nothing."""
    return _written(lambda: write_demo(folder), folder)


def new_rules(folder: Path) -> tuple[Path, ...]:
    """Write the default rules into a folder; the file. Raises UnansweredError, and writes nothing."""
    return _written(lambda: write_rules(folder), folder)


def _written(write: Callable[[], tuple[Path, ...]], folder: Path) -> tuple[Path, ...]:
    try:
        return write()
    except NotWrittenError as refused:
        what, file = refused.reason, str(refused.path)
    except OSError as error:
        why = Term((error.strerror or "it cannot be opened").lower())
        what, file = because("folder-unwritable", why=why), str(folder)
    raise UnansweredError([Fault("unwritable", what, file, "", "", because("name-new-folder"))])
