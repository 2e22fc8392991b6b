"""What pydantic found in a document, as reasons of our own."""

from __future__ import annotations

from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from standtrue.documents.faults import RefusedError, nearest, type_name
from standtrue.documents.leaves import BROKEN
from standtrue.model.reason import Reason, Term, because

Path = tuple[str | int, ...]


def path_of(error: Any) -> Path:
    """Where an error of pydantic is: its own place, and what a refusal of ours adds to it."""
    cause = error.get("ctx", {}).get("error")
    return (*error["loc"], *cause.field) if isinstance(cause, RefusedError) else tuple(error["loc"])


def errors_of(errors: ValidationError) -> list[Any]:
    """The errors, but for lists that are too short only because their items were refused."""
    found = errors.errors(include_url=False)
    places = [error["loc"] for error in found]
    return [e for e in found if e["type"] != "too_short" or not any(_below(place, e["loc"]) for place in places)]


def _below(place: Path, top: Path) -> bool:
    return len(place) > len(top) and place[: len(top)] == top


def findings(errors: ValidationError, form: type[BaseModel]) -> Iterator[tuple[Path, str, Reason, Reason]]:
    """Each thing that pydantic found: where, which code, what, and how to mend it.

    What has been reported already is left out; and what is missing, where its name stands beside it mistyped.
    """
    found = errors_of(errors)
    mistyped = {(*p[:-1], _near(form, p)) for p in (path_of(e) for e in found if e["type"] == "extra_forbidden")}
    for error in found:
        path, cause = path_of(error), error.get("ctx", {}).get("error")
        if error["input"] is BROKEN or (error["type"] == "missing" and path in mistyped):
            continue
        if isinstance(cause, RefusedError):
            yield (path, cause.code, cause.what, cause.remedy)
        elif error["type"] == "missing":
            yield (
                path,
                "missing-field",
                because("field-missing", field=str(path[-1])),
                because("write-it", field=str(path[-1])),
            )
        elif error["type"] == "extra_forbidden":
            yield (path, "unknown-field", because("no-such-field"), _field_remedy(form, path))
        elif error["type"] == "too_short":
            yield (path, *_too_few(error["ctx"]["actual_length"], error["ctx"]["min_length"]))
        else:
            asked, stands = _ASKED.get(error["type"], Term("another value")), type_name(error["input"])
            what = because("stands-where-asked", found=stands, asked=asked)
            yield (path, "wrong-type", what, _type_remedy(error["type"], path))


def _too_few(stand: int, needed: int) -> tuple[str, Reason, Reason]:
    """Code, what and remedy of a list that holds too few items."""
    what = because("list-too-short", count=stand, needed=needed) if stand else because("list-empty")
    return "list-empty", what, because("write-items", needed=needed)


_ASKED = {
    "model_type": Term("a table"),
    "model_attributes_type": Term("a table"),
    "dict_type": Term("a table"),
    "list_type": Term("a list"),
    "tuple_type": Term("a list"),
}


def _type_remedy(kind: str, path: Path) -> Reason:
    field = next((part for part in reversed(path) if isinstance(part, str)), "")
    return because("write-list" if kind in ("list_type", "tuple_type") else "write-table", field=field)


def _field_remedy(form: type[BaseModel], path: Path) -> Reason:
    return because("take-out-or-write-one-of", near=_near(form, path), words=_fields(form, path))


def _near(form: type[BaseModel], path: Path) -> str | None:
    """The field that was meant by one that does not exist, if any is near."""
    return nearest(str(path[-1]), _fields(form, path))


def _fields(form: type[BaseModel], path: Path) -> tuple[str, ...]:
    """The fields that may stand beside the one at a path."""
    here = _form_at(form, path[:-1])
    return tuple(info.alias or name for name, info in here.model_fields.items()) if here else ()


def _form_at(form: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """The form of the table at a path."""
    here: type[BaseModel] | None = form
    for part in path:
        if here is None or isinstance(part, int):
            continue
        info = next((info for name, info in here.model_fields.items() if part in (name, info.alias)), None)
        here = _form_in(info.annotation) if info else None
    return here


def _form_in(annotation: Any) -> type[BaseModel] | None:
    """The form within an annotation such as `list[Annotated[ZoneForm, …]] | None`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in (tuple, Annotated, Union, UnionType):
        return next((found for part in get_args(annotation) if (found := _form_in(part))), None)
    return None
