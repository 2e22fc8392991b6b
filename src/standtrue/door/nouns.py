"""The nouns of the Python door: documents, made of values instead of read from files."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar, Self

from standtrue.door.refused import refusing, wrong_type
from standtrue.work.shop import values
from standtrue.work.shop.values import Document as Read

if TYPE_CHECKING:
    from typing import Unpack

    from standtrue.door import fields as f
    from standtrue.model.procedure import Procedure
    from standtrue.model.site import Site as ModelSite
    from standtrue.model.vehicle import Vehicle as ModelVehicle
    from standtrue.show.words.reader import Reader

UNITS = "m"


class Document:
    """One document of a shop: what is written in it, `kind` and `name`.

    Its fields are those of the reference of documents, given by name; a table is a mapping, a list any sequence or
    array. A bare length is meters (`units` says otherwise), and any may be written as people do: "17 ft 6 in". Where
    another document is named, it may stand itself. Raises Refused with every fault in it.
    """

    kind: ClassVar[str] = ""

    def __init__(self, name: str, /, **fields: Any) -> None:
        self.also: tuple[Document, ...] = ()
        content = self._plain({"name": name, "units": UNITS, **fields}, "")
        with refusing():
            self.read: Read = values.document_of(self.kind, content, f"{type(self).__name__}({name!r})")

    @classmethod
    def of(cls, read: Read) -> Self:
        """The noun of a document that was read from a file."""
        made = cls.__new__(cls)
        made.also, made.read = (), read
        return made

    @property
    def name(self) -> str:
        """What it is called."""
        return str(self.read.content.get("name", ""))

    @property
    def fields(self) -> Mapping[str, Any]:
        """What is written in it."""
        return dict(self.read.content)

    def but(self, **fields: Any) -> Self:
        """The same with these fields changed; one that is None is left out."""
        kept = {k: v for k, v in self.read.content.items() if k not in ("kind", "schema")}
        changed = {k: v for k, v in {**kept, **fields}.items() if v is not None}
        made = type(self)(changed.pop("name"), **changed)
        made.also = tuple(dict.fromkeys((*self.also, *made.also)))
        return made

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.name!r})"

    def _plain(self, value: Any, where: str) -> Any:
        """A value as a document holds it; documents in it are kept beside it, and named."""
        if isinstance(value, Document):
            self.also = tuple(dict.fromkeys((*self.also, value, *value.also)))
            return value.name
        if hasattr(value, "tolist"):
            value = value.tolist()
        if isinstance(value, Mapping):
            return {str(k): self._plain(v, f"{where}.{k}" if where else str(k)) for k, v in value.items()}
        if isinstance(value, list | tuple):
            return [self._plain(v, f"{where}[{i}]") for i, v in enumerate(value)]
        if value is None or isinstance(value, str | int | float) or hasattr(value, "isoformat"):
            return value
        raise wrong_type(where, value, "a plain value")


class Site(Document):
    """A room: `outline` (its corners) or `box`, with doors, lifts, obstacles, pits, equipment.

    `Site("bay", box=[0, 0, 6.0, 9.5])` is a bare one, in meters; `Site("bay", units="ft", box=[0, 0, 20, 31])` in feet.
    """

    kind = "site"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.SiteFields]) -> None: ...

    @cached_property
    def value(self) -> ModelSite:
        """The room as the engines take it: lengths in meters, angles in radians."""
        with refusing():
            return values.site_of(self.read, [d.read for d in self.also if isinstance(d, Lift)])

    def svg(self, *, reader: Reader | None = None) -> str:
        """The floor as SVG text, its lifts at rest and its doors shut, before anything is asked of it."""
        from standtrue.door.readers import reader_of
        from standtrue.model.ground import Grounds
        from standtrue.show.pictures.drawn import svg_of
        from standtrue.show.pictures.place import site_drawing

        who = reader or reader_of()
        invented = self.read.mark is not None and self.read.mark.demonstration
        return svg_of(site_drawing(Grounds(self.value).at_rest(), who, demonstration=invented), who)

    def _repr_svg_(self) -> str:
        return self.svg()


class Lift(Document):
    """A type of lift: its states, decks, posts, arms, plates, in its own frame."""

    kind = "lift"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.LiftFields]) -> None: ...


class Vehicle(Document):
    """A car: at least its `length`, `width` and `wheelbase`. What is left out is estimated, and answers say so."""

    kind = "vehicle"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.VehicleFields]) -> None: ...

    @cached_property
    def value(self) -> ModelVehicle:
        """The car as the engines take it: lengths in meters, masses in kilograms."""
        return values.vehicle_of(self.read)


class Card(Document):
    """One procedure, as the shop transcribed it from the vehicle maker's current service information.

    It says what the procedure asks of the floor around the car, of the equipment and of the people.
    """

    kind = "procedure"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.ProcedureFields]) -> None: ...

    @cached_property
    def value(self) -> tuple[Procedure, ...]:
        """The cards as the engines take them: one, or one for each side."""
        return values.cards_of(self.read)


class Rules(Document):
    """What calls for which calibration: events, and the sensors that each concerns."""

    kind = "rules"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.RulesFields]) -> None: ...


class Job(Document):
    """A repair order: its `site`, its `vehicle`, what happened to the car, and the work on it."""

    kind = "job"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.JobFields]) -> None: ...


class Mix(Document):
    """Which cars come to a shop, and how often."""

    kind = "mix"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.MixFields]) -> None: ...


class Study(Document):
    """What is asked of rooms for a year's work."""

    kind = "study"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.StudyFields]) -> None: ...


class Survey(Document):
    """The heights of a floor, as measured."""

    kind = "survey"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.SurveyFields]) -> None: ...


class Setup(Document):
    """A calibration as it was planned and measured: the stance, and the readings."""

    kind = "setup"

    if TYPE_CHECKING:

        def __init__(self, name: str, /, **fields: Unpack[f.SetupFields]) -> None: ...


NOUNS: Mapping[str, type[Document]] = {
    noun.kind: noun for noun in (Site, Lift, Vehicle, Card, Rules, Job, Mix, Study, Survey, Setup)
}
"""Each noun by the kind of its documents."""
