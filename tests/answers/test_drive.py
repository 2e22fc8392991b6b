"""Answers of driving read back as they were written, and are said whole in both units and both languages."""

from __future__ import annotations

import json
import math
import re

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.drive.path.found import Outcome
from standtrue.drive.question.answer import Answer, Leg, Nearest, Obstruction
from standtrue.drive.question.refused import refusal
from standtrue.model.basics import Place
from standtrue.model.reason import Angle, Length, Mass, Reason, Ref, because
from standtrue.show.answers.drive import DriveAnswer, ReachedShape, WayShape, of_way
from standtrue.show.answers.parts import Coded, Shape
from standtrue.show.words.blocks import Lines
from standtrue.show.words.drive import leg_words, move_blocks
from standtrue.show.words.extract import lacking
from standtrue.show.words.reader import Reader
from standtrue.show.words.reasons.drive import SENTENCES

US, SPANISH = Reader("us"), Reader("us", "es")
METRIC = re.compile(r"\d ?(mm|m|km)\b")

numbers = st.floats(allow_nan=False, allow_infinity=False)
codes = st.builds(Coded, code=st.text(max_size=5), values=st.dictionaries(st.text(max_size=5), numbers, max_size=2))

CABINET, LIFT, BODY = Ref("obstacle", "wall cabinet"), Ref("lift", "long lift"), Ref("body")
COVER, CAR = Ref("cover", "near cover", of="pit"), Ref("vehicle", "car")
REASONS: tuple[Reason, ...] = (
    because("way-under-ceiling", over=Length(0.1)),
    because("way-under-lintel", thing=Ref("lintel", of="front door"), over=Length(0.1)),
    because("way-without-turning-circle"),
    because("way-between-lift-states", lift=LIFT),
    because("way-onto-raised-lift", lift=LIFT, state="up"),
    *(
        because("way-end-overlaps", end=e, part=BODY, thing=CABINET, gap=Length(g))
        for e in ("start", "goal")
        for g in (0.0, 0.05)
    ),
    *(
        because("way-end-too-near", end=e, part=BODY, thing=CABINET, apart=Length(0.01), gap=Length(0.05))
        for e in ("start", "goal")
    ),
    because("way-heading-barred", heading=Angle(1.5), thing=CABINET, short=Length(0.32)),
    because("way-barred", things=(CABINET,), short=Length(0.32)),
    because("way-barred-unmeasured", things=(CABINET,)),
    because("way-too-narrow", things=(CABINET, Ref("wall")), short=Length(0.32)),
    because("way-too-narrow-unmeasured", things=(CABINET, Ref("wall"))),
    *(
        because("way-door-too-narrow", door=Ref("door", "front door"), part=p, short=Length(0.01), gap=Length(0.05))
        for p in ("body", "mirrors")
    ),
    because("cover-overloaded", cover=COVER, load=Mass(100.0), most=Mass(880.0)),
    because("cover-load-unknown", cover=COVER),
    because("cover-mass-unknown", cover=COVER, vehicle=CAR),
    because("cover-share-unknown", cover=COVER, vehicle=CAR),
    because("cover-kept-off", cover=COVER, load=Mass(100.0), most=Mass(880.0)),
    because("way-rolls-over", things=(CABINET,), most=Length(0.002), limit=Length(0.03)),
    because("apron-assumed", door=Ref("door", "front door"), deep=Length(8.0)),
    because("apron-prolonged", door=Ref("door", "front door"), deep=Length(8.0)),
    because("turning-circle-estimated"),
    because("skates-proposed", shunts=9, asked=8),
    because("way-search-stopped"),
    because("searching-finer"),
    because("way-to-be-found", stance="rear camera board"),
)

LEGS = (
    Leg("forward", 0.0002, 0.2),
    Leg("reverse", 3.0, 1e-12),
    Leg("forward", 10.0, -1 / 6680.0),
    Leg("reverse", 10.0, 1 / 6680.0),
    Leg("forward", 2.0, 0.0002),
    Leg("reverse", 1.234, -0.25),
    Leg("forward", 1.234, -0.2, full_lock=True),
    Leg("reverse", 1.234, 0.2, full_lock=True),
    Leg("slide", 1.0, direction_rad=math.pi / 2),
    Leg("turn", 2.0, turn_rad=-0.0001),
)


def moves() -> tuple[Answer, ...]:
    """One that was found, and one for each way in which a search ends without."""
    lost = refusal("drive", tuple(Obstruction(CABINET, None, reason) for reason in REASONS))
    found = evolve(
        lost,
        outcome=Outcome.SOLVED,
        proven=False,
        start=Place(1.0, 2.0, 0.0),
        goal=Place(3.0, 2.5, 1.0),
        legs=LEGS,
        shunts=3,
        length_m=12.3,
        seconds=(71.0, 190.0),
        nearest=Nearest("body", CABINET, 0.051, 0.05, ((0.0, 0.0), (0.0, 0.051))),
        doors_open=("front door",),
        obstructions=(),
    )
    ended = [
        evolve(lost, outcome=o, proven=False, cell_m=0.05, nodes=150_000) for o in Outcome if o is not Outcome.SOLVED
    ]
    return (found, evolve(found, mode="skates"), evolve(found, mode="push", shunts=1), lost, *ended)


def built(shape: type[Shape]) -> None:
    """Build every shape: they are built when first needed, and hypothesis asks for their fields before."""
    for one in shape.__subclasses__():
        one.model_rebuild()
        built(one)


@pytest.mark.parametrize("shape", [WayShape, DriveAnswer, ReachedShape])
def test_every_answer_reads_back(shape: type[Shape]) -> None:
    built(Shape)
    st.register_type_strategy(Coded, codes)
    st.register_type_strategy(float, numbers)

    @settings(derandomize=True, deadline=None, max_examples=25)
    @given(st.from_type(shape))
    def law(answer: Shape) -> None:
        assert shape.from_json(json.loads(json.dumps(answer.to_json()))) == answer

    law()


@pytest.mark.parametrize("move", moves())
def test_a_move_reads_back(move: Answer) -> None:
    told = of_way(move)
    assert WayShape.from_json(told.to_json()) == told
    assert told.found == (told.search == "solved")


def test_only_what_slides_or_turns_on_the_spot_has_a_direction_or_a_turn() -> None:
    legs = of_way(moves()[0]).to_json()["path"]
    assert [set(leg) - {"gear", "length_m", "curvature_per_m"} for leg in legs[-4:]] == [
        {"full_lock"},
        {"full_lock"},
        {"direction_deg"},
        {"turn_deg"},
    ]


def test_every_reason_has_its_code_and_its_sentence() -> None:
    assert {reason.code for reason in REASONS} == set(SENTENCES)
    told = of_way(refusal("drive", tuple(Obstruction(CABINET, None, reason) for reason in REASONS))).because
    for one, reason in zip(told, REASONS, strict=True):
        assert one.why_coded is not None
        assert one.why_coded.code == reason.code


@pytest.mark.parametrize("move", moves())
def test_no_metric_figure_is_left_in_us_units(move: Answer) -> None:
    for reader in (US, SPANISH):
        for block in move_blocks(move, reader):
            assert isinstance(block, Lines)
            for line in block.lines:
                assert not METRIC.search(line), line


def test_driving_is_said_in_spanish() -> None:
    ours = {file: said for file, said in lacking("es").items() if "drive" in file}
    assert not ours


def test_what_cannot_be_read_off_is_not_told_as_nothing() -> None:
    assert leg_words(LEGS[0], US) == "Forward, less than 1/16 in."
    assert leg_words(LEGS[0]) == "Forward, less than 1 mm."
    assert leg_words(LEGS[1], US) == "Reverse 9 ft 10 1/8 in, straight."
    assert (
        leg_words(LEGS[2], US) == "Forward 32 ft 9 11/16 in, almost straight: wheel a little to the right, 0.1° in all."
    )
    assert leg_words(LEGS[4], US) == "Forward 6 ft 6 3/4 in, straight."
    assert leg_words(LEGS[-1], US) == "Turn 0.1° clockwise about the car's center."
    for leg in LEGS:
        for reader in (US, Reader()):
            said = leg_words(leg, reader)
            assert not re.search(r"(^| )(0 in|0 mm|0\.0°)", said), said
