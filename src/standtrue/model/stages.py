"""The stages of a job, in the order in which they are worked off. Common practice, no source."""

from __future__ import annotations

from typing import Literal, get_args

Stage = Literal[
    "pre-scan",
    "structure",
    "mechanical",
    "body and paint",
    "cure",
    "pressures and ride height",
    "alignment",
    "steering angle",
    "clear faults",
    "static",
    "drive",
    "post-scan",
    "hand-over",
]

STAGES: tuple[Stage, ...] = get_args(Stage)


def rank(stage: Stage) -> int:
    """How far along in a job a stage stands, from 0."""
    return STAGES.index(stage)
