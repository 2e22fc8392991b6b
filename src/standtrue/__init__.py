"""Standtrue: what must be calibrated on a car, and where in the shop it can stand for it.

    import standtrue

    shop = standtrue.read("my-shop")
    answer = standtrue.place(shop, vehicle="my car")
    print(answer)                  # in words; `answer.data` has every figure, `answer.svg()` a picture

Verbs ask: `read`, `demonstration`, `needs`, `place`, `any_fit`, `drive`, `plan`, `targets`, `measure`, `floor`,
`card`, `study`; `reader` says in which units and language answers are told. Nouns make a shop without files: `Shop`,
`Site`, `Lift`, `Vehicle`, `Card`, `Rules`, `Job`, `Mix`, `Study`, `Survey`, `Setup`. Lengths are meters, or as people
write them ("17 ft 6 in"). What cannot be asked raises `Refused`, with every fault. Nothing is loaded before it is
named.
"""

from __future__ import annotations

import os
import sys

if sys.argv[:1] == ["-m"] or os.path.basename((sys.argv or [""])[0]).startswith("standtrue"):
    # This is the command: Ctrl-C ends it from here on, also while the rest is loaded, with no traceback.
    import signal

    signal.signal(signal.SIGINT, lambda *_: os._exit(130))

import hashlib
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from standtrue.door.answers import Answer
    from standtrue.door.many import Fitting, any_fit
    from standtrue.door.nouns import (
        Card,
        Document,
        Job,
        Lift,
        Mix,
        Rules,
        Setup,
        Site,
        Study,
        Survey,
        Vehicle,
    )
    from standtrue.door.readers import reader
    from standtrue.door.refused import Refused
    from standtrue.door.shops import Shop, demonstration, read
    from standtrue.door.verbs import card, drive, floor, measure, needs, place, plan, study, targets

__all__ = [
    "Answer",
    "Card",
    "Document",
    "Fitting",
    "Job",
    "Lift",
    "Mix",
    "Refused",
    "Rules",
    "Setup",
    "Shop",
    "Site",
    "Study",
    "Survey",
    "Vehicle",
    "any_fit",
    "card",
    "demonstration",
    "drive",
    "floor",
    "measure",
    "needs",
    "place",
    "plan",
    "read",
    "reader",
    "study",
    "targets",
]

_HOMES = {
    "answers": ("Answer",),
    "many": ("Fitting", "any_fit"),
    "nouns": ("Card", "Document", "Job", "Lift", "Mix", "Rules", "Setup", "Site", "Study", "Survey", "Vehicle"),
    "readers": ("reader",),
    "refused": ("Refused",),
    "shops": ("Shop", "demonstration", "read"),
    "verbs": ("card", "drive", "floor", "measure", "needs", "place", "plan", "study", "targets"),
}
"""Which module of `standtrue.door` has which names."""

_HOME = {name: f"standtrue.door.{module}" for module, names in _HOMES.items() for name in names}


class _Door(ModuleType):
    """This module. `place`, `drive`, `needs` and `study` are verbs here, though folders are called so, too.

    Those folders are imported from (`from standtrue.place.engine import ...`), never named as an attribute.
    """

    def __setattr__(self, name: str, value: object) -> None:
        if not (isinstance(value, ModuleType) and name in _HOME):
            super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Door


if not TYPE_CHECKING:
    # Type checkers know the names above, and find any other to be wrong.

    def __getattr__(name: str) -> object:
        """A verb or a noun, loaded when it is first named."""
        if name in _HOME:
            from importlib import import_module

            found = getattr(import_module(_HOME[name]), name)
            globals()[name] = found
            return found
        if name.startswith("_"):
            raise AttributeError(name)
        from standtrue.show.words.door import no_such_name

        raise AttributeError(no_such_name(name, __all__), name=name, obj=sys.modules[__name__])

    def __dir__() -> list[str]:
        """What the door offers, and what every module has."""
        return sorted({*globals(), *__all__})


def _kernel_sources(here: Path) -> list[Path]:
    """Every file that holds a compiled function: those in the folders named `kernels`, and those of `plane`."""
    engines = [path for folder in ("place", "drive") for path in here.glob(f"{folder}/**/kernels/*.py")]
    return sorted([*engines, *(here / "plane" / name for name in ("kernels.py", "compiled.py"))])


def _keep_compiled_kernels_apart() -> None:
    """Give every version of the kernels' sources a compile cache of its own.

    The compiler's cache looks at the file of a function, not at the files of those it calls: after a change to
    one kernel the others would go on with the old one inside, and answer wrongly.
    """
    if "NUMBA_CACHE_DIR" in os.environ:
        return
    digest = hashlib.sha256()
    for source in _kernel_sources(Path(__file__).parent):
        digest.update(source.read_bytes())
    home = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    os.environ["NUMBA_CACHE_DIR"] = str(home / "standtrue" / f"kernels-{digest.hexdigest()[:16]}")
    os.environ.setdefault("NUMBA_CACHE_LOCATOR_CLASSES", "standtrue.compiled.ByModule")


_keep_compiled_kernels_apart()
