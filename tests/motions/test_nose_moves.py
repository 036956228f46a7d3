"""Programs under nose compensation: rows worked by hand for a nose of 0.8, tip direction 3.

The nose centre stands at (0.8, 0.8) from the controlled point. Along -Z with G42 it runs 0.8
above the contour, so the controlled point is 0.8 nearer the chuck and on the diameter; along +X it
runs 0.8 in front of the shoulder, so the controlled point is on the shoulder and 0.8 lower.
"""

from __future__ import annotations

from typing import Any

import pytest
from lathe_shop import BEGIN, codes, trace, traces, unproven_from, ways

OUTLINE = {
    "points": [[0.0, 0.0], [12.0, 0.0], [12.0, 40.0], [0.0, 40.0]],
    "cutting": [0, 3],
    "corners": [{"point": 0, "radius": 0.8}],
}
TOOLS: list[dict[str, Any]] = [
    {"station": 1, "outline": OUTLINE},
    {"station": 2, "outline": OUTLINE},
    {"station": 3, "drill": {"diameter": 10.0, "length": 60.0}},
]
STATED = {
    "compensation_corner": "arc",
    "compensation_entry": "perpendicular",
    "compensation_in_cycles": "applied",
}
CONTOUR = "G42 G00 X20. Z2.\nG01 Z-10. F.2\nX30.\n"


def nosed(text: str, tools: list[dict[str, Any]] | None = None, **control: Any) -> Any:
    return trace(text, tools=tools or TOOLS, control={**STATED, **control})


def after_begin(text: str, **more: Any) -> list[Any]:
    return ways(nosed(BEGIN + text, **more).motions)[2:]


def test_entry_inside_corner_and_exit() -> None:
    assert after_begin(CONTOUR + "G40 G00 X60. Z5.\nM30\n") == [
        # Square to the next move: centre (2, 10.8), tip (1.2, 10).
        ("rapid", (5.0, 30.0), (1.2, 10.0)),
        # Centre at the crossing of r 10.8 and z -9.2: tip (-10, 10).
        ("feed", (1.2, 10.0), (-10.0, 10.0)),
        # Square to its end: centre (-9.2, 15), tip (-10, 14.2).
        ("feed", (-10.0, 10.0), (-10.0, 14.2)),
        ("rapid", (-10.0, 14.2), (5.0, 30.0)),
    ]


def test_left_of_travel_is_the_other_side() -> None:
    # A face from the axis outwards, the metal on its right: the centre is on the left, at z -0.8.
    rows = after_begin("G41 G00 X0. Z2.\nG01 Z0. F.2\nX20.\nX30. Z-3.\nG40 G00 Z5.\n")
    # Entry at (2, 0), next along -Z: its left is -X, centre (2, -0.8), tip (1.2, -1.6).
    assert rows[:2] == [
        ("rapid", (5.0, 30.0), (1.2, -1.6)),
        ("feed", (1.2, -1.6), (-0.8, -1.6)),
    ]
    # An outside corner round (0, 0), to the centre (-0.8, 0), and on along +X.
    assert (-1.6, -0.8) in [begin for _, begin, _ in rows]


def test_outside_corner_square_meets_the_handbook_chamfer() -> None:
    # 1 x 45 chamfer on diameter 40 with nose 0.8: X37.0627 Z0 -> X40 Z-1.4686 (closed form).
    text = "G42 G00 X10. Z3.\nG01 Z0. F.2\nX38.\nX40. Z-1.\nZ-20.\nG40 G00 X60. Z5.\n"
    rows = after_begin(text, compensation_corner="square")
    assert ("feed", (0.0, 18.531), (-1.469, 20.0)) in rows


def test_arc_under_compensation_keeps_its_centre() -> None:
    # Fillet R3 to the shoulder Z-30 on diameter 20: Z-27.8 -> X24.4, radius 2.2.
    text = "G42 G00 X20. Z3.\nG01 Z-27. F.2\nG02 X26. Z-30. R3.\nG01 X40.\nG40 G00 X60. Z5.\n"
    of = nosed(BEGIN + text)
    rows = ways(of.motions)
    begin = next(i for i, row in enumerate(rows) if row[1] == (-27.8, 10.0))
    end = next(i for i, row in enumerate(rows) if row[2] == (-30.0, 12.2))
    assert 4 < end - begin < 60
    assert of.motions.sagitta[begin : end + 1].max() <= 0.0005
    assert of.motions.sagitta[begin : end + 1].min() > 0


def test_open_rows_are_readings_only_where_they_differ() -> None:
    open_rows = {"compensation_corner": None, "compensation_entry": None}
    inside = traces(BEGIN + CONTOUR + "G40 G00 X60. Z5.\n", tools=TOOLS, control=open_rows)
    assert [t.reading for t in inside] == [()]
    outside = traces(
        BEGIN + "G42 G00 X20. Z2.\nG01 Z-10. F.2\nX30.\nZ-20.\nX50.\nG40 G00 X60. Z5.\n",
        tools=TOOLS,
        control=open_rows,
    )
    assert [t.reading for t in outside] == [
        ("compensation_corner=arc",),
        ("compensation_corner=square",),
    ]


def test_a_second_block_without_motion_loses_the_way() -> None:
    one = nosed(BEGIN + "G42 G00 X20. Z2.\nG01 Z-10. F.2\nM08\nX30.\nG40 G00 X60. Z5.\n")
    assert "lookahead-lost" not in codes(one)
    two = nosed(BEGIN + "G42 G00 X20. Z2.\nG01 Z-10. F.2\nM08\nG99\nX30.\nG40 G00 X60. Z5.\n")
    assert codes(two).count("lookahead-lost") == 1
    # From the move that waits on: the feed to Z-10, row 3.
    assert unproven_from(two) == 3


@pytest.mark.parametrize(
    ("text", "code"),
    [
        # A step of 0.4 on radius.
        ("G42 G00 X20. Z2.\nG01 Z-5. F.2\nX20.8\nZ-9.\nX40.\nG40 G00 X60.\n", "contour-tighter"),
        # A fillet of 0.5.
        (
            "G42 G00 X20. Z2.\nG01 Z-5. F.2\nG02 X21. Z-5.5 R.5\nG01 X40.\nG40 G00 X60.\n",
            "contour-tighter",
        ),
        # The way in is 0.5 long.
        ("G00 X20. Z2.5\nG42 Z2.\nG01 Z-5. F.2\nX40.\nG40 G00 X60.\n", "entry-shorter"),
        # The way out is 0.5 long.
        (CONTOUR + "G40 X31.\n", "entry-shorter"),
        ("G42 G00 X20. Z2.\nG01 Z-10. F.2\nZ-5.\nG40 G00 X60.\n", "cannot-follow"),
        ("G42 G00 X20. Z2.\nG01 Z-10. F.2\nG41 X30.\nG40 G00 X60.\n", "cannot-follow"),
        ("G42 G00 X20. Z2.\nG40 G01 Z-10. F.2\n", "cannot-follow"),
        ("G42 G02 X40. Z0. R50. F.2\nG01 Z-10.\nG40 G00 X60.\n", "cannot-follow"),
        (CONTOUR + "T0202\nG40 G00 X60. Z5.\n", "cannot-follow"),
        (CONTOUR + "G90 X28. Z-5. F.2\nG40 G00 X60. Z5.\n", "cannot-follow"),
    ],
)
def test_what_no_nose_follows_is_unproven(text: str, code: str) -> None:
    of = nosed(BEGIN + text)
    assert any(c.startswith(code) for c in codes(of) if c not in ("coolant-off",))
    assert unproven_from(of) is not None


def test_what_just_fits_is_not() -> None:
    text = "G00 X20. Z2.8\nG42 Z2.\nG01 Z-5. F.2\nX21.6\nZ-9.\nX40.\nG40 X41.6\n"
    assert unproven_from(nosed(BEGIN + text)) is None


def test_home_gives_compensation_up_at_the_programmed_point() -> None:
    rows = after_begin(CONTOUR + "G28 U0. W0.\nG40\nM30\n")
    assert rows[-2:] == [
        ("anywhere", (-10.0, 14.2), (-10.0, 15.0)),
        ("anywhere", (-10.0, 15.0), (10_000.0, 10_000.0)),
    ]


def test_compensation_cancelled_in_a_block_of_its_own_sweeps_both_ways_out() -> None:
    of = nosed(BEGIN + CONTOUR + "G40\nG01 X60. Z5. F.3\nM30\n")
    assert ways(of.motions)[5:] == [
        ("anywhere", (-10.0, 14.2), (-10.0, 15.0)),
        ("feed", (-10.0, 15.0), (5.0, 30.0)),
        ("feed", (5.0, 30.0), (-10.0, 14.2)),
        ("feed", (-10.0, 14.2), (5.0, 30.0)),
    ]
    assert not of.motions.credited[6:].any()
    assert unproven_from(of) is None


def test_an_entry_from_home_sweeps_every_place_it_may_end_at() -> None:
    text = "G21 G54\nT0101\nG97 S1000 M03\nG42 G00 X20. Z2.\nG01 Z-10. F.2\nX30.\nG40 G00 X60.\n"
    stated = ways(nosed(text).motions)
    assert stated[1] == ("anywhere", (10_000.0, 10_000.0), (1.2, 10.0))
    unstated = ways(nosed(text, compensation_entry="at-end").motions)
    # The centre lies 0.8 from (2, 10): the tip within (0.4..2, 8.4..10).
    assert unstated[1:4] == [
        ("anywhere", (10_000.0, 10_000.0), (0.4, 8.4)),
        ("anywhere", (0.4, 8.4), (2.0, 10.0)),
        ("rapid", (2.0, 10.0), (1.2, 10.0)),
    ]


def test_a_nose_that_is_not_known_is_unproven() -> None:
    sharp = [{"station": 1, "outline": {**OUTLINE, "corners": []}}]
    assert unproven_from(nosed(BEGIN + CONTOUR, tools=sharp)) is not None
    drill = [{"station": 1, "drill": {"diameter": 10.0, "length": 60.0}}]
    assert unproven_from(nosed(BEGIN + CONTOUR, tools=drill)) is not None


def test_the_jobs_tip_direction_goes_before_the_shape() -> None:
    tools = [{"station": 1, "outline": OUTLINE, "tip": 8}]
    of = nosed(BEGIN + CONTOUR + "G40 G00 X60. Z5.\n", tools=tools)
    # The control then counts from the lowest point of the nose: centre (2, 10.8) is tip (2, 10).
    assert ways(of.motions)[2] == ("rapid", (5.0, 30.0), (2.0, 10.0))
    assert "tip-unlike-shape" in codes(of)
    assert "tip-unlike-shape" not in codes(
        nosed(BEGIN + CONTOUR, tools=[{"station": 1, "outline": OUTLINE, "tip": 3}])
    )


def test_a_program_that_moves_the_nose_centre() -> None:
    text = CONTOUR + "G40 G00 X60. Z5.\n"
    rows = ways(nosed(BEGIN + text, controlled_point="nose-centre").motions)
    # The point that the tool is drawn from lies (0.8, 0.8) under the programmed one, everywhere.
    assert rows[1] == ("anywhere", (10_000.0, 10_000.0), (4.2, 29.2))
    # Under compensation the centre runs where it runs for a tip: the rows are the same.
    assert rows[2:5] == [
        ("rapid", (4.2, 29.2), (1.2, 10.0)),
        ("feed", (1.2, 10.0), (-10.0, 10.0)),
        ("feed", (-10.0, 10.0), (-10.0, 14.2)),
    ]


def test_a_nose_centre_that_is_not_known_is_unproven() -> None:
    sharp = [{"station": 1, "outline": {**OUTLINE, "corners": []}}, {"station": 3, **TOOLS[2]}]
    found = nosed(BEGIN, tools=sharp, controlled_point="nose-centre")
    assert unproven_from(found) is not None
    drilling = BEGIN.replace("T0101", "T0303")
    assert unproven_from(nosed(drilling, tools=sharp, controlled_point="nose-centre")) is None


def test_a_program_that_runs_again_under_compensation_is_unproven() -> None:
    text = BEGIN + CONTOUR + "{}G28 U0. W0.\nG00\nM99\n"
    assert unproven_from(nosed(text.format("G40 G00 X60. Z5.\n"))) is None
    assert unproven_from(nosed(text.format(""))) is not None


PROFILE = "N10 {on}G00 X20.\nG01 Z-10. F.2\nX50.\nN20 {off}X54.\n"
S = BEGIN.replace("X60. Z5.", "X54. Z5.")


def test_finishing_follows_the_compensation_in_its_profile() -> None:
    text = S + "G70 P10 Q20\nG00 X60.\nM30\n" + PROFILE.format(on="G42 ", off="G40 ")
    of = nosed(text)
    assert ways(of.motions)[2:7] == [
        ("rapid", (5.0, 27.0), (4.2, 10.0)),
        ("feed", (4.2, 10.0), (-10.0, 10.0)),
        ("feed", (-10.0, 10.0), (-10.0, 24.2)),
        ("feed", (-10.0, 24.2), (-10.0, 27.0)),
        ("rapid", (-10.0, 27.0), (5.0, 27.0)),
    ]
    assert unproven_from(of) is None


def test_finishing_called_on_a_contour_goes_on_with_it_or_begins_anew() -> None:
    text = BEGIN + "G42 G00 X54. Z4.\nG70 P10 Q20\nG40 G00 X60. Z5.\nM30\n"
    of = nosed(text + PROFILE.format(on="", off=""))
    assert len(of.calls[0].readings) == 2
    # The move to S is driven first: from where it begins to where the contour goes on.
    assert ways(of.motions)[2] == ("rapid", (5.0, 30.0), (2.4, 26.2))
    first, other = (of.motions.take((of.motions.variant == v).nonzero()[0]) for v in (0, 1))
    in_call = [row for row in ways(first) if row[2] == (3.2, 10.0)]
    # Anew from S (4, 27): centre (4, 10.8), tip (3.2, 10).
    assert in_call == [("rapid", (4.0, 27.0), (3.2, 10.0))]
    # Going on: the first block runs down with the centre on its right, at z 3.2: tip z 2.4.
    assert ways(other)[:2] == [
        ("anywhere", (4.0, 27.0), (2.4, 26.2)),
        ("rapid", (2.4, 26.2), (2.4, 10.0)),
    ]
    assert unproven_from(of) is None


@pytest.mark.parametrize(
    ("row", "readings"),
    [
        ("ignored", [((), 10.0)]),
        ("applied", [((), 10.8)]),
        ("if-active", [((), 10.0)]),
        (
            None,
            [
                (("compensation_in_cycles=ignored or if-active",), 10.0),
                (("compensation_in_cycles=applied",), 10.8),
            ],
        ),
    ],
)
def test_compensation_words_in_the_profile_of_roughing(row: Any, readings: Any) -> None:
    """A taper of 45 degrees up from Z-10: the tip's meets its own diameter 0.8 (1 - tan 22.5) =
    0.469 nearer the chuck."""
    profile = "N10 G42 G00 X20.\nG01 Z-10. F.2\nX50. Z-25.\nN20 G40 X54.\n"
    text = S + "G71 U20. R1.\nG71 P10 Q20 U0. W0. F.2\n" + profile + "M30\n"
    of = nosed(text, compensation_in_cycles=row)
    found = []
    for variant, values in enumerate(of.calls[0].readings):
        rows = ways(of.motions.take((of.motions.variant == variant).nonzero()[0]))
        (end,) = {r[2][0] for r in rows if r[0] == "feed" and r[1][1] == r[2][1] == 10.0}
        found.append((values, end))
    expected = [(values, -10.0 if deep == 10.0 else -10.469) for values, deep in readings]
    assert found == expected


def test_compensation_left_on_by_a_profile_is_doubtful_after_it() -> None:
    text = S + "G70 P10 Q20\n{}G00 X60.\nM30\n" + PROFILE.format(on="G42 ", off="")
    assert unproven_from(nosed(text.format(""))) is not None
    assert unproven_from(nosed(text.format("G40 "))) is None


@pytest.mark.parametrize("manner", ["arc", "square"])
def test_a_corner_between_a_rapid_and_a_feed_is_tested_as_a_rapid(manner: str) -> None:
    """Down at z 2, the nose on the left at z 2.8, then along -Z: the corner stands on the outside.

    The centre ends the rapid at (2.8, 10) and begins the feed at (2, 9.2): the tip at (2, 9.2) and
    (1.2, 8.4). A square corner crosses at the centre (2.8, 9.2), the tip (2, 8.4). Whether it
    belongs to the rapid or to the feed differs between controls.
    """
    text = "G00 Z2.\nG41 G00 X20.\nG01 Z-10. F.2\nX10.\n"
    rows = after_begin(text, compensation_corner=manner, compensation_entry="at-end")[1:]
    assert rows[0] == ("rapid", (2.0, 30.0), (2.0, 9.2))
    feed = next(row for row in rows if row[0] == "feed")
    assert feed[1] == (1.2, 8.4)
    corner = rows[1 : rows.index(feed)]
    assert {kind for kind, _, _ in corner} == {"rapid"} and corner[-1][2] == (1.2, 8.4)
    if manner == "square":
        assert [end for _, _, end in corner] == [(2.0, 8.4), (1.2, 8.4)]
