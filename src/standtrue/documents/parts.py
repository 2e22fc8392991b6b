"""What documents of several kinds share: their head, the ways to give an outline, things that stand somewhere.

A check tells what it finds to a `Tell` and never raises. On the second look at a faulty document (see
`reading`) the values already reported are nan, empty outlines or empty words here: every comparison is
written so that these pass.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Annotated, Any, ClassVar, Protocol, Self, cast

from attrs import frozen
from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema, core_schema

from standtrue.documents.faults import RefusedError
from standtrue.documents.fields import BoxShape, CircleShape, Flag, Length, Name, OutlineShape
from standtrue.documents.leaves import BROKEN, Context, Leaf, Schema, choice, whole, words
from standtrue.documents.quantities import LENGTH_UNITS, unit_called
from standtrue.documents.shapes import Shape
from standtrue.model.basics import SUPPORT_CLASSES, Outline, Side, SupportClass
from standtrue.model.lift import Obstacle
from standtrue.model.reason import Reason, because
from standtrue.model.sensor_kinds import OTHER_WORDS, SENSOR_KINDS

SCHEMA_VERSION = 1

Path = tuple[str | int, ...]


class Tell(Protocol):
    """Takes one finding: where, which code, what, and how to mend it."""

    def __call__(self, path: Path, code: str, what: Reason, remedy: Reason) -> None: ...


class Form(BaseModel):
    """A table of a document. Fields that it does not name are refused."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, defer_build=True, frozen=True)


def _version(value: object, _context: Context) -> int:
    if value != SCHEMA_VERSION or isinstance(value, (bool, float)):
        remedy = because("write-field", field="schema", value=str(SCHEMA_VERSION))
        raise RefusedError("schema-unknown", because("schema-unknown"), remedy)
    return SCHEMA_VERSION


def _units(value: object, _context: Context) -> str:
    unit = unit_called(value)
    if unit is None:
        remedy = because("write-one-of", near=None, words=LENGTH_UNITS)
        raise RefusedError("unknown-unit", because("no-unit-for-lengths"), remedy)
    return unit


class DocumentForm(Form):
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
            remedy = because("write-one-of", near=None, words=self.ways)
            raise RefusedError("missing-field", because("outline-missing"), remedy, ("outline",))
        if len(given) > 1:
            what = because("both-given", one=given[0], other=given[1])
            raise RefusedError("fields-conflict", what, because("keep-one"), (given[1],))
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


# Words that several kinds use

SIDE = choice(("left", "right"))
SENSOR_KIND = choice(SENSOR_KINDS, also=OTHER_WORDS)
WHEELS_ON = choice(("plates",))
SUPPORTS = words(choice(SUPPORT_CLASSES), least=1)

Supports = Annotated[tuple[str, ...], SUPPORTS]
People = Annotated[int, whole(0, 50)]


def supports_of(found: tuple[str, ...]) -> tuple[SupportClass, ...]:
    """Support classes, each once: the forms have checked the words."""
    return cast("tuple[SupportClass, ...]", tuple(dict.fromkeys(found)))


def side_of(word: str | None) -> Side | None:
    """A side as the model has it: the forms have checked the word."""
    return cast("Side | None", word)


# Checks


class Named(Protocol):
    @property
    def name(self) -> str | None: ...


def names_once(items: Iterable[Named], path: Path, tell: Tell) -> None:
    """Names within one list must differ."""
    seen: dict[str, int] = {}
    for i, item in enumerate(items):
        if not item.name:
            continue
        if item.name in seen:
            what = because("name-stands-already", list=str(path[-1]), index=seen[item.name])
            tell((*path, i, "name"), "name-repeated", what, because("give-own-name"))
        seen.setdefault(item.name, i)


def check_heights(bottom: float, top: float, path: Path, tell: Tell) -> None:
    """A top lies above its bottom."""
    if top <= bottom:
        tell((*path, "top"), "value-impossible", because("top-not-above-bottom"), because("write-lower-as-bottom"))


def check_obstacles(forms: Sequence[ObstacleForm], path: Path, tell: Tell) -> None:
    """Obstacles: names once, tops above bottoms."""
    names_once(forms, path, tell)
    for i, form in enumerate(forms):
        check_heights(form.bottom, form.top, (*path, i), tell)


# To the model


def outlines_of(found: Iterable[Shape]) -> tuple[Outline, ...]:
    """The points of shapes."""
    return tuple(shape.points for shape in found)


def obstacles_of(forms: Iterable[ObstacleForm], word: str) -> tuple[Obstacle, ...]:
    """Obstacles; one without a name is called by this word and its number."""
    return tuple(
        Obstacle(form.name or f"{word} {i}", form.shape.points, form.bottom, form.top, form.metal, form.movable)
        for i, form in enumerate(forms, 1)
    )


# A kind of document

References = Iterator[tuple[Path, str, object]]
"""Where a document names another that must be in the folder: the field, the other's kind, and what stands there."""


def no_check(_form: Any, _tell: Tell) -> None:
    """Nothing beyond the fields themselves."""


def _no_references(_content: dict[str, Any]) -> References:
    return iter(())


@frozen
class Kind:
    """One kind of document: its form, the checks between its fields, and which other documents it names.

    `check_sizes` is asked only where the units of bare lengths are known; with `sizes_first`, nothing more is asked of
    a document with impossible sizes. `references` looks at the content as it was written, whether or not it is sound.
    """

    name: str
    form: type[DocumentForm]
    check: Callable[[Any, Tell], None] = no_check
    check_sizes: Callable[[Any, Tell], None] = no_check
    references: Callable[[dict[str, Any]], References] = _no_references
    sizes_first: bool = False


def tables(items: object) -> Iterator[tuple[int, dict[str, Any]]]:
    """The tables of a list, with their places in it."""
    if isinstance(items, list):
        yield from ((i, item) for i, item in enumerate(items) if isinstance(item, dict))


def listed(items: object) -> Iterator[tuple[int, object]]:
    """What a list holds, with the places in it."""
    if isinstance(items, list):
        yield from enumerate(items)
