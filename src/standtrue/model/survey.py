"""A survey of the floor: heights at points, read with one instrument, or carried there by leveling loops."""

from __future__ import annotations

from attrs import frozen

from standtrue.model.basics import Point


@frozen
class SurveyPoint:
    """One surveyed height, metres, and its standard uncertainty."""

    at: Point
    height_m: float
    u_m: float = 0.0
    name: str = ""


@frozen
class SurveyLine:
    """Heights read every 12 inches along one line, metres."""

    name: str
    heights_m: tuple[float, ...]


@frozen
class Sight:
    """A row of a level book: the staff as read at a point, metres. `back` begins a new place of the instrument, `fore`
    is read from the place before; a point where the instrument is moved has both."""

    point: str
    back_m: float | None = None
    fore_m: float | None = None


@frozen
class Loop:
    """A leveling loop that ends where it began; `u_m` is the standard uncertainty of one reading of the staff."""

    name: str
    u_m: float
    sights: tuple[Sight, ...]


@frozen
class Survey:
    """A floor as surveyed. `states` are those of the lifts at the time; heights count from any level.

    `leveled` are the named points whose heights the loops give. `on` is the day of the survey, ISO; empty: not told.
    """

    name: str
    site: str
    points: tuple[SurveyPoint, ...]
    lines: tuple[SurveyLine, ...] = ()
    states: tuple[tuple[str, str], ...] = ()
    instrument: str = ""
    on: str = ""
    demonstration: bool = False
    loops: tuple[Loop, ...] = ()
    leveled: tuple[tuple[str, Point], ...] = ()
