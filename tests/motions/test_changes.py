"""Tool changes in whole programs, each fault with a near miss beside it."""

from __future__ import annotations

import pytest
from lathe_shop import BEGIN, FAR, codes, trace, traces, unproven_from, ways

from standclear.findings.finding import Severity

AT = (5.0, 30.0)


def test_tool_change_at_home_and_in_the_way() -> None:
    good = trace(BEGIN + "G28 U0 W0\nT0202\nG00 X60. Z5.\n")
    assert codes(good) == []
    assert ways(good.motions)[3:] == [
        ("appear", (FAR, FAR), (FAR, FAR)),
        ("anywhere", (FAR, FAR), AT),
    ]
    assert [use.station for use in good.tools] == [1, 2]
    bad = trace(BEGIN + "T0202\nG00 X60. Z5.\n")
    assert codes(bad) == ["tool-change-place-unknown"]
    assert unproven_from(bad) == 2


def test_tool_change_beyond_a_safe_x_alone_may_move_along_z_first() -> None:
    text = BEGIN + "G00 X150.\nT0202\n{}G00 X52. Z2.\n"
    assert codes(trace(text.format("G00 Z2.\n"), safe_x=150.0)) == []
    assert codes(trace(text.format(""), safe_x=150.0)) == ["tool-change-place-unknown"]


def test_tool_change_by_geometry_offsets() -> None:
    tools = [
        {"station": 1, "geometry": {"x": -220.0, "z": -300.0}},
        {"station": 2, "geometry": {"x": -240.0, "z": -290.0}},
    ]
    found = trace(BEGIN + "T0202\nG00 Z50.\n", tools=tools)
    assert ways(found.motions)[2:] == [
        ("appear", (-5.0, 40.0), (-5.0, 40.0)),
        ("rapid", (-5.0, 40.0), (50.0, 40.0)),
    ]


def test_tool_called_with_motion() -> None:
    tools = [
        {"station": 1, "geometry": {"x": 0.0, "z": 0.0}},
        {"station": 2, "geometry": {"x": -20.0, "z": 10.0}},
    ]
    text = BEGIN + "G00 Z50. T0202\n"
    place, end = (-5.0, 40.0), (50.0, 40.0)
    before = trace(text, tools=tools)
    assert ways(before.motions)[2:] == [("appear", place, place), ("rapid", place, end)]
    jump = trace(text, tools=tools, control={"offset_with_motion": "jump"})
    assert ways(jump.motions)[2:] == [
        ("appear", place, place),
        ("rapid", place, AT),
        ("rapid", AT, (50.0, 30.0)),
    ]
    later = trace(text, tools=tools, control={"tool_with_motion": "after"})
    assert ways(later.motions)[2:] == [
        ("rapid", AT, (50.0, 30.0)),
        ("appear", (40.0, 40.0), (40.0, 40.0)),
    ]
    for row, stated in (("tool_with_motion", later), ("offset_with_motion", jump)):
        both = traces(text, tools=tools, control={row: None})
        assert {each.reading[0].partition("=")[0] for each in both} == {row}
        assert sorted(ways(each.motions) for each in both) == sorted(
            ways(each.motions) for each in (before, stated)
        )


@pytest.mark.parametrize(
    ("words", "readings"),
    [("G04 X1.", 1), ("G10 P2 X0. Z0.", 1), ("M08", 1), ("G00 X60. Z5.", 2)],
)
def test_words_that_move_nothing_leave_no_doubt_when_the_tool_is_changed(
    words: str, readings: int
) -> None:
    """X of a wait is seconds and X of an offset set by the program a value: nothing moves before
    or after the change, so both values of the row are one."""
    text = BEGIN + f"G28 U0 W0\nT0202 {words}\nG00 X60. Z6.\n"
    assert len(traces(text, control={"tool_with_motion": None})) == readings


@pytest.mark.parametrize("called", ["T0909", "T0203"])
def test_a_tool_at_fault_is_named_where_it_is_called(called: str) -> None:
    """The set-up begins at the stop after the T word, so the first motion stands further on."""
    text = BEGIN + f"G28 U0 W0\n{called}\nM00\nG00 X60. Z5.\n"
    (fault,) = trace(text, setups=[{"start": {"stop": 1}}]).findings
    assert fault.place is not None and fault.place.words == called


def test_tool_faults() -> None:
    missing = trace("G21\nT0909\nG00 X60. Z5.\n")
    assert codes(missing) == ["tool-missing"] and unproven_from(missing) == 0
    (called,) = missing.findings
    assert "no tool in station 9" in called.message
    assert called.cure == "Add the tool to the job."
    assert called.place is not None and called.place.line == 2
    none = trace("G21\nG28 U0 W0\nG00 X60. Z5.\n")
    assert codes(none) == ["tool-missing"]
    assert none.findings[0].cure == "Call the tool first."
    assert codes(trace("G21\nG28 U0 W0\nT0101\nG00 X60. Z5.\n")) == []
    wrong = trace("G21\nT0103\nG00 X60. Z5.\n")
    assert [(f.code, f.severity) for f in wrong.findings] == [
        ("offset-not-stations", Severity.STOP)
    ]


@pytest.mark.parametrize("word", ["T0100", "T0", "T0000"])
def test_motion_after_the_offset_is_cancelled(word: str) -> None:
    found = trace(BEGIN + f"{word}\nG00 Z9.\n")
    assert codes(found) == ["offset-cancelled"]
    assert unproven_from(found) == 2
    assert codes(trace(BEGIN + f"{word}\nT0101\nG00 Z9.\nG28 U0 W0 T0100\n")) == []
    away = trace(BEGIN + f"{word}\nG28 X80. W0\n")
    assert codes(away) == ["offset-cancelled"], "the middle point is a place of no measured tool"
