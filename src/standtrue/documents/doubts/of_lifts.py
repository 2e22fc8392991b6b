"""What cannot be meant of a lift. The ranges are those of lifts for cars: common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from standtrue.documents.doubts.known import Known, Size, tell_sizes
from standtrue.documents.lift import LiftFields, LiftForm
from standtrue.documents.parts import Path, Tell
from standtrue.model.basics import Outline
from standtrue.model.reason import Duration, Length, Mass, because

LONGEST_M, WIDEST_M, HIGHEST_M, SHORTEST_M = 10.0, 5.0, 2.6, 1.0
MOST_KG = 6_800.0
"""15,000 lb: a number above, without a unit, was most often read off a plate in pounds."""

LEAST_SPAN_M = 1.4
"""Over both decks: the narrowest road cars stand on wheels 1.45 m apart, outside to outside."""

MOST_TRAVEL_S = 600.0


def doubt_lift(form: LiftForm, known: Known, tell: Tell) -> None:
    """A lift document."""
    doubt_fields(form, (), tell, known.is_bare("capacity"))


def doubt_fields(form: LiftFields, path: Path, tell: Tell, bare: bool) -> bool:
    """What a lift document holds, or a site in place; whether its sizes are doubted. `bare`: a bare capacity."""
    odd = tell_sizes(sizes_of(form, path), tell)
    if form.capacity is not None and form.capacity > MOST_KG and bare:
        what = because("mass-in-pounds", mass=Mass(form.capacity))
        example = f'"{form.capacity:g} lb"'
        tell((*path, "capacity"), "mass-in-pounds", what, because("write-pounds", example=example))
    if form.travel is not None and form.travel[1] > MOST_TRAVEL_S:
        size = Size(
            (*path, "travel"), "travel", Duration(form.travel[1]), 0.0, MOST_TRAVEL_S, because("travel-in-seconds")
        )
        tell_sizes([size], tell, False)
    if not odd:
        _raised(form, path, tell)
        _decks(form, path, tell)
        _locks(form, path, tell)
    return odd


def sizes_of(form: LiftFields, path: Path = ()) -> Iterator[Size]:
    """How long, wide and high a lift is."""
    parts = [shape.points for state in form.states for shape in (*state.decks, *state.ramps)]
    xs, ys = _spans([*parts, *(post.shape.points for post in form.posts)])
    if xs:
        least = SHORTEST_M if form.carries == "wheels" else 0.0  # posts stand beside the car
        yield Size((*path, "states"), "length of the lift", Length(max(xs) - min(xs)), least, LONGEST_M)
        yield Size((*path, "states"), "width of the lift", Length(max(ys) - min(ys)), least, WIDEST_M)
    heights = [state.deck_height[1] for state in form.states if state.deck_height is not None]
    if max(heights, default=0.0) > 0.0:
        yield Size((*path, "states"), "height of the decks", Length(max(heights)), 0.0, HIGHEST_M)


def _spans(outlines: Iterable[Outline]) -> tuple[list[float], list[float]]:
    points = [point for outline in outlines for point in outline]
    return [x for x, _ in points], [y for _, y in points]


def _raised(form: LiftFields, path: Path, tell: Tell) -> None:
    """What carries wheels has decks wherever it is raised."""
    for i, state in enumerate(form.states):
        if form.carries == "wheels" and not state.decks and max(state.deck_height or (0.0,)) > 0.0:
            what = because("raised-without-decks", state=state.name)
            tell((*path, "states", i, "decks"), "raised-without-decks", what, because("write-decks-or-body"))


def _decks(form: LiftFields, path: Path, tell: Tell) -> None:
    """Decks that carry wheels lie as far apart as the wheels of a car."""
    for i, state in enumerate(form.states):
        _, ys = _spans(shape.points for shape in state.decks)
        if form.carries == "wheels" and ys and max(ys) - min(ys) < LEAST_SPAN_M:
            what = because("decks-too-narrow", span=Length(max(ys) - min(ys)), least=Length(LEAST_SPAN_M))
            tell((*path, "states", i, "decks"), "decks-too-narrow", what, because("decks-lie-beside"))
            return


def _locks(form: LiftFields, path: Path, tell: Tell) -> None:
    """A height at which the decks lock is one that they reach."""
    reached = [height for state in form.states for height in state.deck_height or (0.0, 0.0)]
    beyond = [lock for lock in form.locks if lock > max(reached, default=0.0) + 0.01]
    if beyond and len(form.states) > 1:
        what = because("lock-out-of-reach", lock=Length(max(beyond)), highest=Length(max(reached)))
        tell((*path, "locks"), "lock-out-of-reach", what, because("look-at-locks-and-states"))
