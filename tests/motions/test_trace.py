"""Whole programs against positions worked by hand; each fault has a near miss beside it."""

from __future__ import annotations

import numpy as np
import pytest
from lathe_shop import BEGIN, FAR, codes, trace, traces, unproven_from, ways

from standclear.findings.finding import Severity
from standclear.motions.table import FeedMode, SpeedMode, Spindle

AT = (5.0, 30.0)


def after_begin(text: str, **changes: object) -> list[object]:
    """Rows after those of BEGIN."""
    return list(ways(trace(BEGIN + text, **changes).motions)[2:])


def test_begin_comes_from_home_in_the_whole_quadrant() -> None:
    assert ways(trace(BEGIN).motions) == [
        ("appear", (FAR, FAR), (FAR, FAR)),
        ("anywhere", (FAR, FAR), AT),
    ]


def test_lines_absolute_and_incremental() -> None:
    rows = after_begin("G01 X50. F.2\nZ-20.\nU4. W-2.\nG00 U10.\n")
    assert rows == [
        ("feed", AT, (5.0, 25.0)),
        ("feed", (5.0, 25.0), (-20.0, 25.0)),
        ("feed", (-20.0, 25.0), (-22.0, 27.0)),
        ("rapid", (-22.0, 27.0), (-22.0, 32.0)),
    ]


def test_a_motion_before_any_motion_word_is_a_rapid() -> None:
    rows = ways(trace("G21\nT0101\nX60. Z5.\nZ2.\n").motions)
    assert rows[-1] == ("rapid", AT, (2.0, 30.0))


def test_inch_words_and_the_block_order() -> None:
    found = trace("T0101\nZ1. X2. F.01 G01 M03 S500 G20\n")
    assert ways(found.motions)[-1][2] == (25.4, 25.4)
    assert found.motions.spindle[-1] == Spindle.FORWARD


def test_radius_words() -> None:
    rows = ways(trace(BEGIN, control={"x_words": "radius"}).motions)
    assert rows[-1][2] == (5.0, 60.0)


@pytest.mark.parametrize("words", ["I5. K0.", "I5.", "R5."])
def test_arc_words(words: str) -> None:
    """From z 5, r 30 clockwise about (5, 35) to (0, 35): a quarter."""
    found = trace(BEGIN + f"G02 X70. Z0. {words} F.1\n")
    points = found.motions.end[2:]
    assert np.allclose(np.hypot(points[:, 0] - 5, points[:, 1] - 35), 5)
    assert tuple(points[-1]) == (0.0, 35.0)
    assert (points[:, 1] < 35.0001).all() and (points[:, 0] < 5).all()
    assert 0 < found.motions.sagitta[2:].max() <= 0.0005
    assert not found.findings


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("", "arc-without-centre"),
        ("R0", "arc-without-centre"),
        ("I5.02", "arc-radii-disagree"),
        ("R4. I5.", "cannot-follow"),
    ],
)
def test_arcs_that_mean_no_arc(words: str, code: str) -> None:
    found = trace(BEGIN + f"G02 X70. Z0. {words}\n")
    assert codes(found) == [code]
    assert unproven_from(found) == 2


def test_radii_that_agree_within_the_jobs_limit() -> None:
    found = trace(BEGIN + "G02 X70. Z0. I5.004\n")
    assert codes(found) == []
    assert any("disagree" in sentence for sentence in found.trusted)


def test_dwell_words_are_time() -> None:
    assert after_begin("G04 X2.\nG04 U2.\nG04 P500\nG00 Z2.\n") == [("rapid", AT, (2.0, 30.0))]


def test_home_by_way_of_where_it_stands() -> None:
    assert after_begin("G28 U0\nG28 W0\n") == [
        ("rapid", AT, (5.0, FAR)),
        ("rapid", (5.0, FAR), (FAR, FAR)),
    ]


def test_home_by_way_of_a_point() -> None:
    assert after_begin("G28 X80. Z10.\n") == [
        ("rapid", AT, (10.0, 40.0)),
        ("anywhere", (10.0, 40.0), (FAR, FAR)),
    ]


def test_machine_zero_is_home() -> None:
    assert after_begin("G53 X0\nG53 Z0\n") == [
        ("rapid", AT, (5.0, FAR)),
        ("rapid", (5.0, FAR), (FAR, FAR)),
    ]


def test_machine_place_by_known_offsets() -> None:
    """z = -100 - (-400) - (-50) = 350; r = (-20 - (-220)) / 2 = 100."""
    tools = [{"station": 1, "geometry": {"x": -220.0, "z": -50.0}}]
    setups = [{"offset_z": -400.0}]
    found = trace(BEGIN + "G53 Z-100.\nG53 X-20.\n", tools=tools, setups=setups)
    assert ways(found.motions)[2:] == [
        ("rapid", AT, (350.0, 30.0)),
        ("rapid", (350.0, 30.0), (350.0, 100.0)),
    ]
    assert not found.findings


def test_machine_place_without_them_is_not_guessed() -> None:
    found = trace(BEGIN + "G53 Z-100.\n")
    assert codes(found) == ["position-unknown"]
    assert unproven_from(found) == 2


def test_a_distance_from_home_leads_nowhere_known() -> None:
    found = trace("G21\nT0101\nG00 X60.\nW-900.\n")
    assert codes(found) == ["position-unknown"]
    assert unproven_from(found) == 2


def test_home_unknown_is_unproven_from_the_start_then_the_tool_appears() -> None:
    found = trace(BEGIN + "G01 Z0.\n", home="unknown")
    assert codes(found) == ["position-unknown"]
    assert unproven_from(found) == 0
    assert ways(found.motions) == [("appear", AT, AT), ("feed", AT, (0.0, 30.0))]


def test_a_feed_from_home_in_both_axes_cuts_nothing() -> None:
    found = trace("G21\nT0101 M03\nG97 S100\nG01 X50. Z0. F1.\n")
    assert ways(found.motions)[-1] == ("anywhere", (FAR, FAR), (0.0, 25.0))


def test_conditions_fill_the_columns() -> None:
    found = trace(
        "G21 G99\nG50 S2500\nT0101\nG96 S180 M04 M08\nG00 X60. Z5.\nG01 Z0. F.25\nG98 F120.\n"
        "G97 S900 M09\nX50.\nM05\nX48.\n"
    )
    m = found.motions
    feeds = np.flatnonzero(m.kind == 1)
    assert m.feed[feeds].tolist() == [0.25, 120.0, 120.0]
    assert m.feed_mode[feeds].tolist() == [FeedMode.PER_REV, FeedMode.PER_MIN, FeedMode.PER_MIN]
    assert m.speed[feeds].tolist() == [180.0, 900.0, 900.0]
    assert m.speed_mode[feeds].tolist() == [SpeedMode.SURFACE, SpeedMode.RPM, SpeedMode.RPM]
    assert m.spindle[feeds].tolist() == [Spindle.REVERSE, Spindle.REVERSE, Spindle.STOPPED]
    assert m.coolant[feeds].tolist() == [True, False, False]
    assert (m.clamp == 2500).all()


def test_spindle_without_a_speed_stands_still() -> None:
    found = trace("G21\nT0101 M03\nG00 X60. Z5.\nG01 Z0 F.1\n")
    assert set(found.motions.spindle.tolist()) == {Spindle.STOPPED}


def test_spindle_stops_after_the_motion_of_its_block() -> None:
    found = trace(BEGIN + "G01 Z2. F.1 M05\nZ0.\n")
    assert found.motions.spindle[2:].tolist() == [Spindle.FORWARD, Spindle.STOPPED]


def test_surface_speed_in_inch_is_feet_per_minute() -> None:
    """400 ft/min = 121.92 m/min (the foot is 0.3048 m by definition)."""
    found = trace("G20 T0101\nG50 S900\nG96 S400 M03\nG00 X2. Z1.\n")
    assert found.motions.speed[-1] == pytest.approx(121.92)


def test_surface_speed_without_a_clamp() -> None:
    text = "G21\nT0101\n{}G96 S180 M03\nG00 X60. Z5.\nG01 Z0. F.2\nX0.\n"
    missing = trace(text.format(""))
    assert codes(missing) == ["speed-without-clamp"]
    assert missing.findings[0].severity == Severity.MEND
    assert missing.findings[0].place and missing.findings[0].place.line == 5
    assert codes(trace(text.format("G50 S2000\n"))) == []


def test_unit_not_stated_is_a_note() -> None:
    found = trace("T0101\nG00 X60. Z5.\n")
    assert [(f.code, f.severity) for f in found.findings] == [("unit-not-stated", Severity.NOTE)]
    inch = trace("T0101\nG00 X60. Z5.\n", units="inch")
    assert ways(inch.motions)[-1][2] == (127.0, 762.0)


@pytest.mark.parametrize(
    "word",
    [
        "G33",
        "G41",
        "G31",
        "G54.1",
        "G#150",
        "C90.",
        "D3.",
        "R2.",
        "X#150",
        "X20000.",
        "M98",
        "M99",
    ],
)
def test_what_could_move_the_tool_is_never_skipped(word: str) -> None:
    found = trace(BEGIN + f"{word} Z-5.\nG00 Z9.\n")
    assert unproven_from(found) == 2
    assert "cannot-follow" in codes(found)


@pytest.mark.parametrize(
    "text", ["#1=#150", "IF[#150GT2]GOTO5", "G04 Z3.", "G00 G01 Z3.", "G00 X1. X2."]
)
def test_blocks_that_are_not_followed(text: str) -> None:
    found = trace(BEGIN + text + "\n")
    assert codes(found) == ["cannot-follow"]
    assert found.findings[0].place and found.findings[0].place.line == 5


def test_words_that_move_nothing_are_followed() -> None:
    found = trace(BEGIN + "G18 G40 G80 M10 F.3\nG00 Z3. M08\n")
    assert codes(found) == []
    assert any("M10" in sentence for sentence in found.trusted)


def test_after_a_lost_place_tracing_goes_on_where_it_is_known() -> None:
    found = trace(BEGIN + "G31 Z-5.\nG00 X70. Z9.\nZ8.\n")
    assert ways(found.motions)[2:] == [
        ("appear", (9.0, 35.0), (9.0, 35.0)),
        ("rapid", (9.0, 35.0), (8.0, 35.0)),
    ]


def test_broken_word_is_reported_where_it_stands() -> None:
    found = trace(BEGIN + "G00 Z--5.\n")
    assert codes(found)[0] == "word-not-understood"
    place = found.findings[0].place
    assert place and (place.line, place.column, place.words) == (5, 5, "G00 Z--5.")
    assert unproven_from(found) == 2


def test_text_after_a_semicolon() -> None:
    assert codes(trace(BEGIN + "G00 Z3. ; to the front\n")) == []
    comment, block = traces(BEGIN + "G00 Z3. ; Z1.\n")
    assert codes(comment) == codes(block) == ["text-after-semicolon"]
    assert [way[2][0] for way in ways(comment.motions)[2:]] == [3.0]
    assert [way[2][0] for way in ways(block.motions)[2:]] == [3.0, 1.0]
    assert "cannot-follow" in codes(traces(BEGIN + "G00 Z3. ; #1=2.\n")[1])


def test_family_of_cycle_words_not_stated() -> None:
    found = trace(BEGIN + "G71 U2. R1.\n", control={"cycle_words": None})
    assert codes(found) == ["cannot-follow"]
    assert unproven_from(found) == 0
    common = trace("T0101\nG00 X60. Z5.\nG01 Z0. F.1\n", control={"cycle_words": None})
    assert unproven_from(common) is None


def test_another_family_of_words() -> None:
    text = (
        "G71\nT0101\nG92 S900\nG97 S500 M03\nG90 G00 X60. Z5.\nG91 Z-1.\nG90\nG20 X50. Z-9. F.1\n"
    )
    found = trace(text, control={"cycle_words": "cycles-g20"})
    assert ways(found.motions)[2:] == [
        ("rapid", AT, (4.0, 30.0)),
        ("rapid", (4.0, 30.0), (4.0, 25.0)),
        ("feed", (4.0, 25.0), (-9.0, 25.0)),
        ("feed", (-9.0, 25.0), (-9.0, 30.0)),
        ("rapid", (-9.0, 30.0), (4.0, 30.0)),
    ]
    assert found.motions.clamp[-1] == 900
    assert found.calls[0].cycle == "G90"
    assert not found.findings


def test_wrong_work_offset() -> None:
    text = BEGIN.replace("G54", "G55")
    unknown = trace(text)
    assert [(f.code, f.severity, f.unproven) for f in unknown.findings] == [
        ("wrong-work-offset", Severity.STOP, True)
    ]
    setups = [{"offset_z": -400.0}, {"offset": "G55", "offset_z": -412.5}]
    placed = trace(text, setups=setups)
    assert ways(placed.motions)[-1][2] == (-7.5, 30.0)
    assert [f.unproven for f in placed.findings] == [False]
    assert codes(trace(text, setup=1, setups=setups)) == []


@pytest.mark.parametrize("text", ["", "%\nO1\n(nothing)\nM30\n%\n"])
def test_program_that_moves_nothing(text: str) -> None:
    found = trace(text)
    assert codes(found) == ["program-empty"]
    assert unproven_from(found) == 0 and len(found.motions) == 0


@pytest.mark.parametrize("end", ["M30", "M02", "%", "O0002"])
def test_nothing_is_run_past_the_end(end: str) -> None:
    found = trace("%\nO0001\n" + BEGIN + f"{end}\nG01 Z-99.\n")
    assert len(found.motions) == 2


def test_numbers_without_a_point() -> None:
    text = BEGIN + "G00 Z2000\nZ0\n"
    stated = trace(text)
    assert ways(stated.motions)[2][2] == (2.0, 30.0)
    assert [(f.code, f.severity) for f in stated.findings] == [
        ("number-without-point", Severity.NOTE)
    ]
    units = trace(text, control={"number_without_point": "unit"})
    assert ways(units.motions)[2][2] == (2000.0, 30.0)
    both = traces(text, control={"number_without_point": None})
    assert [t.reading for t in both] == [
        ("number_without_point=increment",),
        ("number_without_point=unit",),
    ]
    assert [ways(t.motions)[2][2][0] for t in both] == [2.0, 2000.0]
    assert len(traces(BEGIN + "G00 Z0\n", control={"number_without_point": None})) == 1


def test_increment_of_the_other_unit_is_a_tenth_in_figures() -> None:
    """0.001 mm beside 0.0001 in: Z20000 in inch is 2 in (common practice, no source)."""
    found = trace("G20\nT0101\nG00 X2. Z20000\n")
    assert ways(found.motions)[-1][2] == (50.8, 25.4)


def test_block_delete() -> None:
    text = BEGIN + "/G00 Z9.\nG00 Z2.\n"
    assert len(trace(text).motions) == 4
    assert len(trace(text, control={"block_delete": "on"}).motions) == 3
    assert [len(t.motions) for t in traces(text, control={"block_delete": None})] == [4, 3]
    assert len(traces(BEGIN + "/ (nothing)\n", control={"block_delete": None})) == 1


def test_arc_centre_open() -> None:
    both = traces(BEGIN + "G02 X70. Z0. I5. K0.\n", control={"arc_centre": None})
    assert [codes(t) for t in both] == [[], ["arc-radii-disagree"]]
    assert both[1].findings[0].tags == ("arc_centre=absolute",)


def test_at_most_eight_readings() -> None:
    text = BEGIN + "/G00 Z9\n/2 G00 Z8.\n/3 G00 Z7.\nG02 X70. Z0. I5. K0.\n"
    rows = {"block_delete": None, "number_without_point": None, "arc_centre": None}
    found = traces(text, control=rows)
    assert len(found) == 8
    assert codes(found[0])[-1] == "too-many-readings"
    assert unproven_from(found[0]) == 0


def test_bent_rapid_makes_two_rows() -> None:
    rows = ways(
        trace(
            BEGIN + "G00 X80. Z25.\n", rapid_path="bent", rapid_rates={"x": 6000.0, "z": 6000.0}
        ).motions
    )
    assert rows[2:] == [("rapid", AT, (15.0, 40.0)), ("rapid", (15.0, 40.0), (25.0, 40.0))]


@pytest.mark.parametrize("slip", ["G01 X4O. F.2", "G01 X40. % F.2", "O", "G01 Z-5. O0002"])
def test_a_slip_that_looks_like_a_heading_ends_nothing(slip: str) -> None:
    """A control that reads it stops or goes on; the blocks after it may cut all the same."""
    found = trace(BEGIN + slip + "\nG01 Z-50. F.2\n")
    assert "word-not-understood" in codes(found)
    assert ways(found.motions)[-1][2][0] == -50.0
    assert unproven_from(found) == 2


@pytest.mark.parametrize("heading", ["O0002", "N5 O0002", "OSHAFT", "%", ":2"])
def test_a_heading_ends_the_program_before_it(heading: str) -> None:
    found = trace(BEGIN + heading + "\nG01 Z-50. F.2\n")
    assert codes(found) == [] and len(found.motions) == 2
