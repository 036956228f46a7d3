"""Marks: which part of a program belongs to a set-up, and what carries through."""

from __future__ import annotations

import pytest
from lathe_shop import BEGIN, FAR, codes, trace, unproven_from, ways

AT = (5.0, 30.0)


TWO_ENDS = (
    BEGIN
    + "G01 Z1. F.2\nG28 U0 W0\nM00\nN200 G55\nT0202\nG00 X60. Z5.\nG01 Z2. F.2\nG28 U0 W0\nM30\n"
)


@pytest.mark.parametrize(
    "mark", [{"stop": 1}, {"label": 200, "reached": "running"}, {"offset": "G55"}]
)
def test_marks_divide_a_program(mark: dict[str, object]) -> None:
    setups = [{"end": mark}, {"start": mark, "offset": "G55"}]
    first, second = (trace(TWO_ENDS, setup=i, setups=setups) for i in (0, 1))
    assert ways(first.motions)[2:] == [
        ("feed", AT, (1.0, 30.0)),
        ("anywhere", (1.0, 30.0), (FAR, FAR)),
    ]
    assert ways(second.motions) == [
        ("appear", (FAR, FAR), (FAR, FAR)),
        ("appear", (FAR, FAR), (FAR, FAR)),
        ("anywhere", (FAR, FAR), AT),
        ("feed", AT, (2.0, 30.0)),
        ("anywhere", (2.0, 30.0), (FAR, FAR)),
    ]
    assert second.motions.feed[3] == 0.2, "modal state carries through the mark"
    assert not first.findings and not second.findings


@pytest.mark.parametrize("text", [TWO_ENDS, TWO_ENDS.replace("M30\n", "")])
def test_mark_that_is_never_reached(text: str) -> None:
    begin = trace(text, setup=0, setups=[{"start": {"stop": 2}}])
    assert codes(begin) == ["mark-missing"] and unproven_from(begin) == 0
    end = trace(text, setup=0, setups=[{"end": {"label": 7}}])
    assert "mark-missing" in codes(end) and unproven_from(end) == 0


def test_optional_stop_counts_where_the_switch_is_on() -> None:
    text = TWO_ENDS.replace("M00", "M01")
    setups = [{"start": {"stop": 1}, "offset": "G55"}]
    assert codes(trace(text, setups=setups)) == []
    assert codes(trace(text, setups=setups, control={"optional_stop": "off"})) == ["mark-missing"]


def test_tool_left_standing_where_the_part_is_turned_round() -> None:
    text = BEGIN + "M00\nG55\nG00 Z9.\n"
    marks = [{"end": {"stop": 1}}, {"start": {"stop": 1}, "offset": "G55"}]
    lost = trace(text, setup=1, setups=marks)
    assert codes(lost) == ["position-unknown"]
    # By hand: 5 in front of -400 is 17 in front of -412.
    valued = [{**marks[0], "offset_z": -400.0}, {**marks[1], "offset_z": -412.0}]
    placed = trace(text, setup=1, setups=valued)
    assert ways(placed.motions) == [
        ("appear", (17.0, 30.0), (17.0, 30.0)),
        ("rapid", (17.0, 30.0), (9.0, 30.0)),
    ]
    assert not placed.findings


def test_what_was_not_followed_before_the_mark_stays_in_force() -> None:
    text = "G21\nG10 L50 P1 Z5.\n" + TWO_ENDS
    found = trace(text, setup=1, setups=[{}, {"start": {"stop": 1}, "offset": "G55"}])
    assert codes(found) == ["cannot-follow"]
    assert unproven_from(found) == 0
