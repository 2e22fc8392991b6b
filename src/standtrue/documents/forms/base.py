"""What all forms share: no unknown fields, the document's head, and the ways to give an outline."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema, core_schema

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import (
    BROKEN,
    BoxShape,
    CircleShape,
    Context,
    Flag,
    Leaf,
    Length,
    Name,
    OutlineShape,
    Schema,
)
from standtrue.documents.quantities import LENGTH_UNITS
from standtrue.documents.shapes import Shape

SCHEMA_VERSION = 1


class Form(BaseModel):
    """A table of a document. Fields that it does not name are refused."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, defer_build=True, frozen=True)


def _version(value: object, _context: Context) -> int:
    if value != SCHEMA_VERSION or isinstance(value, (bool, float)):
        raise RefusedError(
            "schema-unknown", "this version of the schema is not known here", f"Write schema = {SCHEMA_VERSION}."
        )
    return SCHEMA_VERSION


def _units(value: object, _context: Context) -> str:
    if not isinstance(value, str) or value not in LENGTH_UNITS:
        known = ", ".join(f'"{unit}"' for unit in LENGTH_UNITS)
        raise RefusedError("unknown-unit", "this is no unit for bare lengths", f"Write one of {known}.")
    return value


class Document(Form):
    """The head of every document."""

    kind: Annotated[str, Leaf(lambda value, _: value, {"type": "string"}, "")]
    schema_version: Annotated[int, Leaf(_version, {"const": SCHEMA_VERSION}, SCHEMA_VERSION)] = Field(alias="schema")
    name: Name
    units: Annotated[str | None, Leaf(_units, {"type": "string", "enum": list(LENGTH_UNITS)}, None)] = None
    demonstration: Flag = False


class Shaped(Form):
    """Anything with an outline, which may be given as points, as a box or as a circle."""

    outline: OutlineShape | None = None
    box: BoxShape | None = None
    circle: CircleShape | None = None

    ways: ClassVar[tuple[str, ...]] = ("outline", "box", "circle")
    shape_optional: ClassVar[bool] = False

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        given = [way for way in self.ways if getattr(self, way) is not None]
        if not given and not self.shape_optional:
            raise RefusedError(
                "missing-field", "the outline is missing", f"Give one of: {', '.join(self.ways)}.", ("outline",)
            )
        if len(given) > 1:
            raise RefusedError("fields-conflict", f"{given[0]} and {given[1]} are both given", "Keep one.", (given[1],))
        return self

    @property
    def way(self) -> str:
        """Which field gave the outline."""
        return next((way for way in self.ways if getattr(self, way) is not None), "outline")

    @property
    def shape(self) -> Shape:
        """The outline, whichever way it was given; no points where it was not, or could not be read."""
        found = getattr(self, self.way)
        return found if isinstance(found, Shape) else Shape(())


class ObstacleForm(Shaped):
    name: Name | None = None
    bottom: Length = 0.0
    top: Length
    metal: Flag = True
    movable: Flag = False


class Shorthand:
    """A shorter way to write a value: how it is spelled out, and its JSON Schema beside that of the full form."""

    def __init__(self, spell_out: Callable[[object], object], schema: Schema) -> None:
        self.spell_out = spell_out
        self.schema = schema

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.spell_out, handler(source))

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> Schema:
        return {"anyOf": [self.schema, handler(core)]}


def table_of(key: str, schema: Schema | None = None) -> Shorthand:
    """A table of which the main field may stand alone: `"front radar"` for `{ kind = "front radar" }`."""
    return Shorthand(
        lambda value: value if isinstance(value, dict) or value is BROKEN else {key: value},
        {"type": "string"} if schema is None else schema,
    )
