"""The stage of an operation, guessed from the words of its name where the order does not say it."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.model.stages import STAGES, Stage
from standtrue.needs.words import Words, contains, same, words

STAGE_NAMES: Mapping[str, Stage] = {
    **{stage: stage for stage in STAGES},
    "mechanical and body work": "body and paint",
    "tires, pressures and ride height": "pressures and ride height",
    "wheel alignment": "alignment",
    "steering-angle sensor": "steering angle",
    "static calibrations": "static",
    "drives": "drive",
    "final scan": "post-scan",
}
"""What a card, a rule or an operation may call a stage."""

PHRASES: tuple[tuple[Stage, tuple[Words, ...]], ...] = (
    ("pre-scan", (("pre", "scan"),)),
    ("post-scan", (("post", "scan"), ("final", "scan"))),
    ("hand-over", (("hand", "over"), ("handover",), ("wash", "car"), ("car", "wash"))),
    ("alignment", (("wheel", "alignment"), ("wheel", "align"), ("align", "wheel"), ("set", "toe"), ("toe", "set"))),
    ("alignment", (("four", "wheel", "align"), ("thrust", "line"), ("camber",), ("caster",))),
    ("steering angle", (("steering", "angle"),)),
    ("clear faults", (("clear", "fault"), ("clear", "code"), ("erase", "fault"), ("erase", "code"))),
    ("pressures and ride height", (("tire",), ("ride", "height"), ("wheel", "balance"))),
    ("cure", (("cure",), ("curing",), ("paint", "dry"))),
    ("body and paint", (("paint",), ("refinish",), ("quarter", "panel"))),
    ("structure", (("structural",), ("structure",), ("unibody",), ("apron",))),
)
"""Words that say a stage wherever they stand in a name."""

PLAIN_ALIGNMENT: frozenset[str] = frozenset(
    {"alignment", "align", "check", "measure", "set", "adjust", "and", "the", "car", "vehicle", "front", "rear", "axle",
     "full", "four", "4", "two", "2", "thrust", "toe"}
)  # fmt: skip
"""An alignment of nothing else than these is that of the wheels: a trunk lid, a fender or a camera is aligned, too."""

FRAMES: Mapping[str, frozenset[str]] = {
    "frame": frozenset({"window", "door", "seat", "sunroof", "roof", "mirror", "plate", "target", "glass", "headrest"}),
    "rail": frozenset({"fuel", "roof", "seat", "guide", "luggage", "door", "window", "common", "slide", "injector"}),
}
"""Words that say the structure, unless something of another kind stands beside them."""

OTHERWISE: Stage = "mechanical"
"""Work whose words say nothing."""


def stage_named(name: str) -> Stage | None:
    """The stage that a name means."""
    return next((stage for said, stage in STAGE_NAMES.items() if same(said, name)), None)


def guessed_stage(name: str) -> Stage:
    """The stage of an operation, from the words of its name; mechanical work by default."""
    said = words(name)
    for stage, phrases in PHRASES:
        if any(contains(said, phrase) for phrase in phrases):
            return stage
    if {"alignment", "align"} & set(said) and set(said) <= PLAIN_ALIGNMENT:
        return "alignment"
    if any(word in said and not set(said) & others for word, others in FRAMES.items()):
        return "structure"
    return OTHERWISE
