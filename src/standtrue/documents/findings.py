"""What pydantic found in a document, in words of our own."""

from __future__ import annotations

from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from standtrue.documents.faults import RefusedError, nearest
from standtrue.documents.quantities import type_name

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


def findings(errors: ValidationError, form: type[BaseModel]) -> Iterator[tuple[Path, str, str, str]]:
    """Each thing that pydantic found: where, which code, what, and how to mend it."""
    for error in errors_of(errors):
        path, cause = path_of(error), error.get("ctx", {}).get("error")
        if isinstance(cause, RefusedError):
            yield (path, cause.code, cause.what, cause.remedy)
        elif error["type"] == "missing":
            yield (path, "missing-field", f"{path[-1]} is missing", f"Write {path[-1]}.")
        elif error["type"] == "extra_forbidden":
            yield (path, "unknown-field", "no such field here", _field_remedy(form, path))
        elif error["type"] == "too_short":
            yield (path, *_too_few(error["ctx"]["actual_length"], error["ctx"]["min_length"]))
        else:
            asked = _ASKED.get(error["type"], "another value")
            found = type_name(error["input"])
            yield (path, "wrong-type", f"{found} stands where {asked} is asked", _type_remedy(error["type"], path))


def _too_few(stand: int, needed: int) -> tuple[str, str, str]:
    """Code, what and remedy of a list that holds too few items."""
    what = f"the list holds {stand} of at least {needed} items" if stand else "the list is empty"
    return "list-empty", what, f"Write at least {'one item' if needed == 1 else f'{needed} items'}."


_ASKED = {
    "model_type": "a table",
    "model_attributes_type": "a table",
    "dict_type": "a table",
    "list_type": "a list",
    "tuple_type": "a list",
}


def _type_remedy(kind: str, path: Path) -> str:
    field = next((part for part in reversed(path) if isinstance(part, str)), "")
    return (
        f"Write [[{field}]], or a list."
        if kind in ("list_type", "tuple_type")
        else f"Write a table: [{field}], or {{ … }}."
    )


def _field_remedy(form: type[BaseModel], path: Path) -> str:
    here = _form_at(form, path[:-1])
    known = [info.alias or name for name, info in here.model_fields.items()] if here else []
    near = nearest(str(path[-1]), known)
    offer = f"Did you mean {near}? " if near else ""
    return f"{offer}Take it out, or write one of: {', '.join(known)}." if known else f"{offer}Take it out."


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
