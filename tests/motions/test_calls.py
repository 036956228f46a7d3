"""Cycle calls in whole programs: labels, where execution goes on, what a call keeps, readings."""

from __future__ import annotations

import numpy as np
import pytest
from lathe_shop import BEGIN, codes, trace, traces, unproven_from, ways

PROFILE = "N10 G00 X40.\nG01 Z-20. F.1\nN20 X62.\n"
ROUGH = "G71 U4. R1.\nG71 P10 Q20 U.4 W.1 F.3\n"
S = (5.0, 30.0)


def test_roughing_levels_and_the_profile_pass_by_hand() -> None:
    """S' (5.1, 30.2); levels 26.2, 22.2, then 20.2 at the moved entry; exit moved (-19.9, 31.2)."""
    found = trace(BEGIN + ROUGH + PROFILE)
    assert not found.findings
    assert ways(found.motions)[2:] == [
        ("rapid", S, (5.1, 30.2)),
        ("rapid", (5.1, 30.2), (5.1, 26.2)),
        ("feed", (5.1, 26.2), (-19.9, 26.2)),
        ("rapid", (-19.9, 26.2), (-18.9, 27.2)),
        ("rapid", (-18.9, 27.2), (5.1, 27.2)),
        ("rapid", (5.1, 27.2), (5.1, 22.2)),
        ("feed", (5.1, 22.2), (-19.9, 22.2)),
        ("rapid", (-19.9, 22.2), (-18.9, 23.2)),
        ("rapid", (-18.9, 23.2), (5.1, 23.2)),
        ("rapid", (5.1, 23.2), (5.1, 20.2)),
        ("feed", (5.1, 20.2), (-19.9, 20.2)),
        ("rapid", (-19.9, 20.2), (-18.9, 21.2)),
        ("rapid", (-18.9, 21.2), (5.1, 21.2)),
        ("rapid", (5.1, 21.2), (5.1, 20.2)),
        ("feed", (5.1, 20.2), (-19.9, 20.2)),
        ("feed", (-19.9, 20.2), (-19.9, 31.2)),
        ("rapid", (-19.9, 31.2), S),
    ]
    m = found.motions
    assert set(m.block[2:].tolist()) == {5}
    assert set(m.call[2:].tolist()) == {0} and m.call[1] == -1
    assert m.profile[-2] == 8
    assert m.feed[m.kind == 1].tolist() == [0.3] * 5
    (call,) = found.calls
    assert (call.cycle, call.point, call.readings) == ("G71", S, ((),))


def test_after_roughing_the_program_goes_on_after_q() -> None:
    found = trace(BEGIN + ROUGH + PROFILE + "G00 Z50.\n")
    assert ways(found.motions)[-1] == ("rapid", S, (50.0, 30.0))
    assert found.motions.block[-1] == 9


def test_finishing_follows_the_profile_with_its_own_feed() -> None:
    found = trace(BEGIN + ROUGH + PROFILE + "G70 P10 Q20\nG00 Z50.\n")
    last = found.motions.call == 1
    assert ways(found.motions)[-5:] == [
        ("rapid", S, (5.0, 20.0)),
        ("feed", (5.0, 20.0), (-20.0, 20.0)),
        ("feed", (-20.0, 20.0), (-20.0, 31.0)),
        ("rapid", (-20.0, 31.0), S),
        ("rapid", S, (50.0, 30.0)),
    ]
    assert found.motions.feed[last & (found.motions.kind == 1)].tolist() == [0.1, 0.1]


def test_profile_of_one_block_is_finished() -> None:
    """P and Q may name the same block: to r 20 in it, and back to the point of call."""
    found = trace(BEGIN + "G70 P10 Q10\nM30\nN10 G01 X40. F.1\n")
    assert not found.findings
    assert ways(found.motions)[2:] == [("feed", S, (5.0, 20.0)), ("rapid", (5.0, 20.0), S)]


def test_profile_elsewhere_goes_on_after_the_call() -> None:
    found = trace(BEGIN + ROUGH + "G00 Z50.\nM30\n" + PROFILE)
    assert not found.findings
    assert ways(found.motions)[-1] == ("rapid", S, (50.0, 30.0))


def test_profile_after_the_end_of_a_subprogram_is_reached_by_the_call_alone() -> None:
    """M99 ends what runs as M30 does; M98 comes back, and the way runs on into the profile."""
    main = BEGIN + "M98 P2\nG00 Z50.\nM30\n"
    ended = trace("O0001\n" + main + "O0002\n" + ROUGH + "G00 X62.\nM99\n" + PROFILE)
    assert not ended.findings
    assert ways(ended.motions)[-2:] == [
        ("rapid", S, (5.0, 31.0)),
        ("rapid", (5.0, 31.0), (50.0, 31.0)),
    ]
    text = BEGIN + ROUGH + "M98 P2\n" + PROFILE + "M30\nO0002\nG00 X62.\nM99\n"
    assert codes(trace("O0001\n" + text)) == ["cannot-follow"]


def test_arcs_of_a_profile_keep_their_block() -> None:
    profile = "N10 G00 X40.\nG01 Z-20.\nG02 X46. Z-23. R3.\nN20 G01 X62.\n"
    found = trace(BEGIN + "G70 P10 Q20\nM30\n" + profile)
    points = found.motions.end[found.motions.profile == 8]
    assert len(points) > 5
    # A fillet of 3 mm about (-20, 23): it runs from (-20, 20) to (-23, 23).
    assert np.allclose(np.hypot(points[:, 0] + 20, points[:, 1] - 23), 3)
    assert (points[:, 0] < -20).all() and (points[:, 1] < 23.001).all()


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("G71 U2. R1.\nG71 P10 Q30\n" + PROFILE, "label-missing"),
        ("G71 U2. R1.\nG71 P20 Q10\n" + PROFILE, "profile-crossed"),
        ("G71 U2. R1.\nG71 P10 U.4\n" + PROFILE, "profile-missing"),
        (ROUGH + PROFILE + "N0010 M08\n", "label-doubled"),
        (ROUGH + "G04 P100\n" + PROFILE, "cannot-follow"),
        (ROUGH + PROFILE.replace("G01", "M98 P5 G01"), "cannot-follow"),
        (ROUGH + PROFILE.replace("G01", "M05 G01"), "cannot-follow"),
        (ROUGH + PROFILE.replace("G01", "G90"), "cannot-follow"),
        (ROUGH + "N10 M08\nN20 M09\n", "profile-missing"),
        ("G71 P10 Q20 U.4\n" + PROFILE, "cycle-depth-unknown"),
        ("G72 W1. R1.\nG71 P10 Q20 U.4\n" + PROFILE, "cycle-depth-unknown"),
        ("G74 Z-5. Q1.\n", "cycle-depth-unknown"),
        ("G71 U2. R1.\nG71 P10 Q20 D3.\n" + PROFILE, "cannot-follow"),
    ],
)
def test_faults_of_a_call(text: str, code: str) -> None:
    found = trace(BEGIN + text + "G00 Z9.\n")
    assert code in codes(found)
    assert unproven_from(found) == 2


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("G71 U2. R1.\nG71 P20 Q10\n" + PROFILE, "last block stands before its first"),
        ("G71 U2. R1.\n" + PROFILE.replace("G01 Z", "G71 P10 Q20 Z"), "stands inside"),
    ],
)
def test_how_call_and_profile_are_crossed_is_told(text: str, words: str) -> None:
    (crossed,) = (f for f in trace(BEGIN + text).findings if f.code == "profile-crossed")
    assert words in crossed.message
    assert [place.line for place in crossed.related] == sorted(
        (place.line for place in crossed.related), reverse="before" in words
    )


@pytest.mark.parametrize(
    ("text", "code", "beside"),
    [
        # The allowance's sign is wrong in the call; a profile that runs back, in its own block.
        (ROUGH.replace("U.4", "U-.4") + PROFILE, "allowance-wrong-side", []),
        (
            ROUGH + PROFILE.replace("Z-20. F.1", "Z-20. F.1\nX44. Z-18."),
            "profile-not-monotone",
            ["X44. Z-18."],
        ),
        ("G76 P010000 Q100 R0\nG76 X18. Z5. P1000 Q600 F1.5\n", "profile-stands-still", []),
    ],
)
def test_a_fault_is_told_at_the_call_and_beside_it_the_block_of_the_profile(
    text: str, code: str, beside: list[str]
) -> None:
    fault = next(f for f in trace(BEGIN + text).findings if f.code == code)
    assert fault.place is not None and fault.place.line == 6
    assert [place.words for place in fault.related] == beside


def test_depth_and_withdrawal_of_the_job_where_the_program_sets_none() -> None:
    rows = {"roughing_depth": 4.0, "roughing_withdrawal": 1.0}
    stated = trace(BEGIN + "G71 P10 Q20 U.4 W.1 F.3\n" + PROFILE, control=rows)
    written = trace(BEGIN + ROUGH + PROFILE)
    assert ways(stated.motions) == ways(written.motions)


def test_depth_that_the_other_roughing_cycle_has_set_makes_the_jobs_doubtful() -> None:
    rows = {"roughing_depth": 4.0, "roughing_withdrawal": 1.0}
    found = trace(BEGIN + "G72 W1. R1.\nG71 P10 Q20 U.4\n" + PROFILE, control=rows)
    assert codes(found) == ["cycle-depth-unknown"]


def test_profile_before_the_call_goes_on_after_the_call() -> None:
    found = trace(BEGIN + ROUGH + PROFILE + "G71 P10 Q20 U.2 W.1\nG00 Z50.\n")
    assert [call.block for call in found.calls] == [5, 9]
    assert ways(found.motions)[-1] == ("rapid", S, (50.0, 30.0))


def test_labels_of_another_program_in_the_file_do_not_count() -> None:
    text = "O0001\n" + BEGIN + ROUGH + PROFILE + "M30\nO0002\nN10 G00 X1.\nM30\n"
    assert codes(trace(text)) == []


def test_cycle_called_from_home_is_not_followed() -> None:
    found = trace("G21\nT0101\n" + ROUGH + PROFILE)
    assert codes(found) == ["position-unknown"]


def test_no_motion_word_after_a_cycle() -> None:
    assert codes(trace(BEGIN + ROUGH + PROFILE + "Z50.\n")) == ["cannot-follow"]


def test_open_rows_of_a_call_become_variants() -> None:
    found = trace(BEGIN + ROUGH + PROFILE, control={"levels_from": None})
    (call,) = found.calls
    assert len(call.readings) == 2
    m = found.motions
    for variant in (0, 1):
        rows = np.flatnonzero((m.call == 0) & (m.variant == variant))
        assert (np.diff(rows) == 1).all()
        assert tuple(m.start[rows[0]]) == tuple(m.end[rows[-1]]) == S


def test_peck_drilling() -> None:
    """Pecks of 4 mm from z 5: 1, -3, then -5; back 0.5 between them."""
    text = "G21 G54\nT0101\nG97 S1000 M03\nG00 X0. Z5.\nG74 R.5\nG74 Z-5. Q4000 F.1\n"
    found = trace(text, control={"cycle_number_without_point": "increment"})
    assert ways(found.motions)[2:] == [
        ("feed", (5.0, 0.0), (1.0, 0.0)),
        ("rapid", (1.0, 0.0), (1.5, 0.0)),
        ("feed", (1.5, 0.0), (-3.0, 0.0)),
        ("rapid", (-3.0, 0.0), (-2.5, 0.0)),
        ("feed", (-2.5, 0.0), (-5.0, 0.0)),
        ("rapid", (-5.0, 0.0), (5.0, 0.0)),
    ]


def test_grooving_with_steps_along_z() -> None:
    """From (5, 30) to X50 Z1 in steps of 2: columns at 5, 3 and 1; one peck deep enough."""
    found = trace(BEGIN + "G75 R1.\nG75 X50. Z1. P6. Q2. F.1\n")
    feeds = [(start, end) for kind, start, end in ways(found.motions) if kind == "feed"]
    assert feeds == [((z, 30.0), (z, 25.0)) for z in (5.0, 3.0, 1.0)]


def test_numbers_of_a_cycle_without_a_point_have_their_own_row() -> None:
    text = BEGIN + "G75 R1.\nG75 X50. P6000 F.1\n"
    both = traces(text, control={"cycle_number_without_point": None})
    assert [t.reading for t in both] == [
        ("cycle_number_without_point=increment",),
        ("cycle_number_without_point=unit",),
    ]
    assert all("number-without-point" in codes(t) for t in both)


def test_single_passes_repeat_from_the_same_start() -> None:
    found = trace(BEGIN + "G90 X50. Z-9. F.1\nX40.\nU-24. W-4.\nM08\nG00 X80.\n")
    rows = ways(found.motions)[2:]
    assert [row[2] for row in rows[:4]] == [(5.0, 25.0), (-9.0, 25.0), (-9.0, 30.0), S]
    assert [row[2] for row in rows[4:8]] == [(5.0, 20.0), (-9.0, 20.0), (-9.0, 30.0), S]
    assert [row[2] for row in rows[8:12]] == [(5.0, 18.0), (1.0, 18.0), (1.0, 30.0), S]
    assert rows[12:] == [("rapid", S, (5.0, 40.0))]
    assert [call.block for call in found.calls] == [4, 5, 6]


def test_tapers_of_single_passes() -> None:
    """R is start less end: G90 R-2 starts 2 below its end radius; G94 R-2 2 behind its end z."""
    along = ways(trace(BEGIN + "G90 X50. Z-9. R-2. F.1\n").motions)[2:]
    across = ways(trace(BEGIN + "G94 X40. Z-1. R-2. F.1\n").motions)[2:]
    assert along[1] == ("feed", (5.0, 23.0), (-9.0, 25.0))
    assert across[1] == ("feed", (-3.0, 30.0), (-1.0, 20.0))


def test_older_words_for_the_taper_of_single_passes() -> None:
    assert ways(trace(BEGIN + "G90 X50. Z-9. I-2. F.1\n").motions) == ways(
        trace(BEGIN + "G90 X50. Z-9. R-2. F.1\n").motions
    )
    assert ways(trace(BEGIN + "G94 X40. Z-1. K-2. F.1\n").motions) == ways(
        trace(BEGIN + "G94 X40. Z-1. R-2. F.1\n").motions
    )


def test_counted_passes_sweep_what_one_does() -> None:
    once = ways(trace(BEGIN + "G90 X50. Z-9. F.1\n").motions)
    assert ways(trace(BEGIN + "G90 X50. Z-9. L3 F.1\n").motions) == once


@pytest.mark.parametrize(
    "text",
    [
        "G90 U-4. Z-9. L3 F.1\n",
        "G90 X50. Z-9. L0 F.1\n",
        "G90 X50. Z-9. K3 F.1\n",
        "G90 X50. Z-9. R-1. I-1. F.1\n",
        "G94 X50. F.1\n",
        "G90 Z-9. F.1\n",
    ],
)
def test_single_passes_that_are_not_followed(text: str) -> None:
    found = trace(BEGIN + text)
    assert codes(found) == ["cannot-follow"]


def test_cycle_before_the_mark_makes_no_rows() -> None:
    text = BEGIN + ROUGH + PROFILE + "G28 U0 W0\nM00\nT0202\nG00 X60. Z5.\n"
    found = trace(text, setups=[{"start": {"stop": 1}}])
    assert not found.calls and not found.findings
    assert ways(found.motions)[-1][2] == S
