"""Times of whole small jobs by hand. Bar 40 x 60, raw face 1 in front of part zero."""

from __future__ import annotations

from typing import Any

import pytest
from tests.proof.proof_shop import CONTROL, files_of

import standclear
from standclear.estimate.job_time import JobTime, job_time
from standclear.estimate.taken import all_taken

QUICK = (
    'home = "beyond"\nrapid_path = "straight"\nspindle_limit = 2000\n'
    "rapid_rates = { x = 6000.0, z = 12000.0 }\n"
)
"""Across at 100 mm/s, along at 200 mm/s."""


def timed(program: str, second_program: str = "", **job: Any) -> JobTime:
    files = files_of(program, second_program, **job)
    held = standclear.hold(files)
    return job_time(files.job, all_taken(held, files.job, standclear.judge(held, files.job)))


def test_a_pass_by_hand_in_metal_in_air_and_in_rapid() -> None:
    """Spindle 800, feed 0.2: 160 mm/min. The pass begins at Z3, 2 before the raw face, and ends at
    Z-17: 20 long, 7.5 s, of which 18/20 in metal; out across 3 on radius, 1.125 s, in air. Then
    18 + 2 back by rapid at 200 mm/s, 0.1 s; the ways from and to home are not known."""
    program = "G00 X38. Z3.\nG01 Z-17. F0.2\nX44.\nG00 Z3.\nG28 U0 W0\n"
    time = timed(program, machine=QUICK)
    (tool,) = time.setups[0].tools
    assert tool.metal.hi == pytest.approx(7.5 * 18 / 20 + 1.125 / 3)
    assert tool.air.hi == pytest.approx(7.5 * 2 / 20 + 1.125 * 2 / 3)
    assert (tool.rapid.lo, tool.rapid.hi) == pytest.approx((0.1, 0.1))
    assert time.setups[0].unknown_rapids > 0
    assert any("to or from home" in sentence for sentence in time.left_out)


def test_what_is_done_by_hand_is_counted_where_it_is_stated_and_named_where_not() -> None:
    """One change a set-up at 3 s, one turning round at 40 s, loading 25 s."""
    jobs: dict[str, Any] = {
        "machine": QUICK,
        "second": 'zero = { way = "finished-on-stop" }\njaws = { profile = [[0, 0], [15, 0], '
        "[15, 20], [0, 20]] }",
    }
    passes = "G00 X38. Z3.\nG01 Z-5. F0.2\nG00 X44.\nG28 U0 W0\n"
    stated = timed(
        passes,
        passes,
        more="shop = { tool_change = 3.0, turn_round = 40.0, load = 25.0 }",
        **jobs,
    )
    bare = timed(passes, passes, **jobs)
    assert (stated.changing, stated.turning_round, stated.loading) == (6.0, 40.0, 25.0)
    assert stated.total.lo == pytest.approx(bare.total.lo + 6.0 + 40.0 + 25.0)
    for key in ("shop.tool_change", "shop.turn_round", "shop.load"):
        assert any(key in sentence for sentence in bare.left_out)
        assert not any(key in sentence for sentence in stated.left_out)


@pytest.mark.parametrize(
    ("words", "control", "expected"),
    [
        ("G04 X1.5", CONTROL, (1.5, 1.5)),
        ("G04 P1500", CONTROL, (1.5, 1.5)),
        ("G04 U2", CONTROL, (2.0, 2.0)),
        ("G04 U2", CONTROL.replace('"unit"', '"increment"', 1), (0.002, 0.002)),
    ],
)
def test_a_wait_takes_what_its_words_say(
    words: str, control: str, expected: tuple[float, float]
) -> None:
    """X and U in seconds, P in thousandths; common practice, no source."""
    program = f"G00 X38. Z3.\n{words}\nG01 Z-5. F0.2\nG00 X44.\nG28 U0 W0\n"
    waits = timed(program, control=control, machine=QUICK).setups[0].tools[0].waits
    assert (waits.lo, waits.hi) == pytest.approx(expected)


def test_the_spindle_takes_its_share_of_the_run_up_or_none() -> None:
    """To 800 of 2000 rpm, of which 5 s are stated from rest: 2 s, and none where rapids hide it."""
    program = "G00 X38. Z3.\nG01 Z-5. F0.2\nG00 X44.\nG28 U0 W0\n"
    time = timed(program, machine=QUICK, more="shop = { spindle_run_up = 5.0 }")
    run_up = time.setups[0].tools[0].run_up
    assert (run_up.lo, run_up.hi) == pytest.approx((0.0, 2.0))


@pytest.mark.parametrize(("turning", "expected"), [("", 2.0), ("M04\n", 6.0)])
def test_a_spindle_turned_round_slows_down_first(turning: str, expected: float) -> None:
    """Of 5 s to 2000 rpm: 2 s to 800, and from 800 one way to 800 the other 1600 of 2000, 4 s."""
    passes = "G00 X38. Z3.\nG01 Z-5. F0.2\nG00 X44.\n"
    time = timed(
        passes + turning + passes + "G28 U0 W0\n",
        machine=QUICK,
        more="shop = { spindle_run_up = 5.0 }",
    )
    assert time.setups[0].tools[0].run_up.hi == pytest.approx(expected)


def test_a_clearance_further_out_has_its_price() -> None:
    """Four levels of a roughing cycle, from diameter 42.4 down by 4 to 26.4, and the pass along the
    profile begin at the clearance point: at 160 mm/min a millimetre costs each of them 0.375 s."""
    program = (
        "G00 X42. Z3.\nG71 U2. R1.\nG71 P1 Q2 U0.4 W0.1 F0.2\nN1 G00 X26.\nG01 Z-20.\nN2 X42.\n"
        "G28 U0 W0\n"
    )
    near = timed(program, machine=QUICK)
    far = timed(program.replace("Z3.", "Z4."), machine=QUICK)
    (air,) = near.setups[0].air
    added = far.setups[0].total.lo - near.setups[0].total.lo
    assert air.cycle == "G71"
    assert air.along == pytest.approx(5 * 0.375)
    # Rapids grow by a millimetre a pass too, at 200 mm/s.
    assert added == pytest.approx(air.along, abs=0.1)


def test_a_block_that_feeds_by_itself_has_its_price_too() -> None:
    """Down from Z3 at 160 mm/min, 2 of it in air: 0.75 s, and 0.375 s for a millimetre further out;
    what feeds away from the metal has none."""
    program = "G00 X38. Z3.\nG01 Z-17. F0.2\nX44.\nG28 U0 W0\n"
    into, away = timed(program, machine=QUICK).setups[0].air
    assert (into.cycle, into.line) == ("", 6)
    assert into.seconds == pytest.approx(0.75)
    assert into.along == pytest.approx(0.375)
    assert into.across == 0.0
    assert away.seconds == pytest.approx(1.125 * 2 / 3)
    further = timed(program.replace("Z3.", "Z4."), machine=QUICK).setups[0].air[0]
    assert further.seconds - into.seconds == pytest.approx(into.along)
    groove = "T0202\nG97 S800 M03\nG00 X44. Z-10.\nG01 X36. F0.1\nG00 X44.\nG28 U0 W0\n"
    (plunge,) = timed(groove, machine=QUICK).setups[0].air
    # At 80 mm/min a millimetre on diameter, half of one on radius, takes 0.375 s.
    assert (plunge.along, plunge.across) == pytest.approx((0.0, 0.375))


def test_a_feed_without_a_number_is_named_and_not_counted() -> None:
    time = timed("G00 X38. Z3.\nG01 Z-17.\nG00 X44.\nG28 U0 W0\n", machine=QUICK)
    assert time.setups[0].unknown_feeds
    assert any("speed or feed is not known" in sentence for sentence in time.left_out)


def test_an_open_behaviour_makes_the_time_a_range() -> None:
    """Where the last level may be equalised or not, the passes differ."""
    program = (
        "G00 X42. Z3.\nG71 U3. R1.\nG71 P1 Q2 U0.4 W0.1 F0.2\nN1 G00 X26.\nG01 Z-20.\nX32. Z-28.\n"
        "N2 X42.\nG28 U0 W0\n"
    )
    open_control = CONTROL.replace('last_level = "left-to-profile", ', "")
    stated = timed(program, machine=QUICK).setups[0].total
    span = timed(program, machine=QUICK, control=open_control).setups[0].total
    assert stated.lo == stated.hi
    assert span.lo < span.hi
    assert span.lo <= stated.lo <= span.hi
