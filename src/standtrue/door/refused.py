"""What the Python door refuses: one exception with every fault, and words that no verb takes."""

from __future__ import annotations

import difflib
import inspect
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache, wraps
from typing import Any, ParamSpec, TypeVar

from attrs import evolve

from standtrue.model.basics import Fault
from standtrue.model.reason import Reason, Term, because
from standtrue.work.ask import UnansweredError

P = ParamSpec("P")
R = TypeVar("R")

_KEYWORDS = {"--from": "start", "--to": "goal", "--procedure": "procedures"}
"""What the command line calls otherwise."""


class Refused(ValueError):  # noqa: N818 - read aloud, "standtrue refused: ..."
    """The question cannot be asked: `faults` are all that is wrong with it, each with how to mend it.

    Each has a `code`, `what` is wrong, where (`file`, `field`), the `value` that stands there, and a `remedy`; `str`
    tells them in the reader's words.
    """

    __module__ = "standtrue"

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        from standtrue.door.readers import reader_of
        from standtrue.show.words.faults import faults_blocks

        lines = list[str]()
        for block in faults_blocks(self.faults, reader_of()):
            lines.extend([block.heading] if block.heading else [])
            lines.extend(" " * block.indent + line for line in block.lines)
        return "\n".join(lines)


@contextmanager
def refusing() -> Iterator[None]:
    """What cannot be asked is refused in this door's words."""
    try:
        yield
    except UnansweredError as refused:
        raise Refused(map(_renamed, refused.faults)) from None


def _renamed(fault: Fault) -> Fault:
    """A fault whose option is called as the keyword here."""
    values = {name: _keyword(value) if name == "option" else value for name, value in fault.remedy.values}
    return evolve(fault, field=_keyword(fault.field), remedy=because(fault.remedy.code, **values))


def _keyword(option: Any) -> Any:
    if not isinstance(option, str) or not option.startswith("--"):
        return option
    return _KEYWORDS.get(option, option.removeprefix("--").replace("-", "_"))


def nearest_of(word: str, known: Iterable[str]) -> Reason:
    """The nearest of what there is, or all of it."""
    there = tuple(known)
    near = difflib.get_close_matches(word, there, n=1)
    return because("there-are", near=near[0] if near else None, words=there)


def wrong_type(where: str, value: object, asked: str, remedy: Reason | None = None) -> Refused:
    """A value of one type where another is asked."""
    what = because("stands-where-asked", found=_type_of(value), asked=Term(asked))
    shown = repr(value) if len(repr(value)) < 80 else type(value).__name__
    return Refused([Fault("wrong-type", what, "", where, shown, remedy or because("give-plain-values"))])


def _type_of(value: object) -> Term:
    kinds: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (type(None), "nothing"),
        (bool, "true or false"),
        (str, "text"),
        ((int, float), "a number"),
        (Mapping, "a table"),
        ((list, tuple), "a list"),
    )
    return Term(next((word for kind, word in kinds if isinstance(value, kind)), "a value of another kind"))


def worded(verb: Callable[P, R]) -> Callable[P, R]:
    """A verb that refuses words which it does not take, with the nearest that it does, and values of a wrong type."""
    signature = inspect.signature(verb)
    checked = {name: kind for name, p in signature.parameters.items() if (kind := _kinds().get(str(p.annotation)))}

    @wraps(verb)
    def called(*args: P.args, **kwargs: P.kwargs) -> R:
        if faults := list(_wrong_words(verb.__name__, signature, args, kwargs)):
            raise Refused(faults)
        for name, value in signature.bind(*args, **kwargs).arguments.items():
            if name in checked and not isinstance(value, checked[name][0]):
                raise wrong_type(name, value, checked[name][1], _remedy(checked[name][1]))
        with refusing():
            return verb(*args, **kwargs)

    return called


def _wrong_words(
    verb: str, signature: inspect.Signature, args: tuple[object, ...], kwargs: Mapping[str, object]
) -> Iterator[Fault]:
    """Every word that is not taken, every one that is needed and not there, and values too many."""
    known = list(signature.parameters.values())
    if any(p.kind is inspect.Parameter.VAR_KEYWORD for p in known):
        return
    names = [p.name for p in known]
    placed = [p.name for p in known if p.kind is not inspect.Parameter.KEYWORD_ONLY]
    for word in kwargs:
        if word not in names:
            yield Fault(
                "unknown-word", because("no-such-word", word=word, of=verb), "", word, "", nearest_of(word, names)
            )
    if len(args) > len(placed):
        others = tuple(n for n in names if n not in placed)
        what = because("too-many-values", of=verb, count=len(placed))
        yield Fault("unknown-word", what, "", verb, "", because("give-by-name", words=others))
    for p in known:
        if p.default is inspect.Parameter.empty and p.name not in kwargs and p.name not in placed[: len(args)]:
            what = because("word-missing", of=verb, word=p.name)
            yield Fault("name-missing", what, "", p.name, "", because("there-are", near=None, words=tuple(names)))


@cache
def _kinds() -> Mapping[str, tuple[tuple[type, ...], str]]:
    """What the annotations of verbs ask for, as far as it can be looked at: types, and what they are called."""
    from os import PathLike

    from standtrue.door.nouns import Document
    from standtrue.door.shops import Shop

    nothing = type(None)
    return {
        "Shop | str | PathLike[str]": ((Shop, str, PathLike), "a shop"),
        "str | PathLike[str]": ((str, PathLike), "text"),
        "Named | None": ((str, Document, nothing), "a name or the document itself"),
        "str | None": ((str, nothing), "text"),
        "bool": ((bool,), "true or false"),
        "bool | None": ((bool, nothing), "true or false"),
        "int | None": ((int, nothing), "a whole number"),
    }


def _remedy(asked: str) -> Reason:
    return because("write-form", form="standtrue.read(...)") if asked == "a shop" else because("give-plain-values")
