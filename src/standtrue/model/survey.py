"""A survey of the floor: heights at points, read with one instrument."""

from __future__ import annotations

from attrs import frozen

from standtrue.model.basics import Point


@frozen
class SurveyPoint:
    """One surveyed height, metres, and its standard uncertainty."""

    at: Point
    height_m: float
    u_m: float = 0.0


@frozen
class SurveyLine:
    """Heights read every 12 inches along one line, metres."""

    name: str
    heights_m: tuple[float, ...]


@frozen
class Survey:
    """A floor as surveyed. `states` are those of the lifts at the time; heights count from any level."""

    name: str
    site: str
    points: tuple[SurveyPoint, ...]
    lines: tuple[SurveyLine, ...] = ()
    states: tuple[tuple[str, str], ...] = ()
    instrument: str = ""
    demonstration: bool = False
