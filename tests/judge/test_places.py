"""Work offsets, tool offsets and machine places as the judge reads them; ends of moves by hand.

Set-up `one` stands in G54 unless said otherwise; places are (z, r) from its part zero.
"""

from __future__ import annotations

import pytest
from hand_jobs import ends_of, hand_job
from judge.jobfile import read_job_text
from judge.play import play_programs
from judge.replay import judge

FROM = "G00 X50. Z0.\n"


def with_setup(program: str, rows: str, **given: str) -> dict[str, str]:
    """The job with further rows in its only set-up."""
    files = hand_job(program, **given)
    files["job.toml"] = files["job.toml"].replace('name = "one"\n', f'name = "one"\n{rows}\n')
    return files


def ends(files: dict[str, str]) -> list[tuple[float, float]]:
    played = play_programs(read_job_text(files["job.toml"]), files)
    assert not played.unfollowed, played.unfollowed
    return [(round(m.end[0], 3), round(m.end[1], 3)) for m in played.moves[0]]


def test_an_offset_that_is_not_the_set_ups_is_placed_by_both_values() -> None:
    # G55 lies 2.5 nearer the chuck than G54: its Z-3 is -5.5 here.
    files = hand_job(FROM + "G55\nG00 Z-3.\nG54\nG00 Z-3.", second=FROM)
    text = files["job.toml"].replace('name = "one"\n', 'name = "one"\noffset_z = -100.0\n')
    rows = 'name = "two"\noffset = "G55"\noffset_z = -102.5\n'
    files["job.toml"] = text.replace('name = "two"\n', rows)
    assert ends(files)[1:] == [(-5.5, 25), (-3, 25)]


def test_an_offset_that_is_not_the_set_ups_needs_both_values() -> None:
    verdict = judge(hand_job("G55\n" + FROM))
    assert (verdict.word, "G55" in verdict.reason) == ("undecided", True)


def test_a_further_offset_is_the_set_ups_own() -> None:
    files = with_setup("G54.1 P3\n" + FROM + "G00 Z-4.", 'offset = "G54.1 P3"')
    assert ends(files)[1:] == [(-4, 25)]


@pytest.mark.parametrize(
    ("block", "z"),
    [
        # The job has part zero at -100; the program keys in another value.
        ("G10 L2 P1 Z-100.", -4.0), ("G10 L2 P1 Z-99.4", -3.4), ("G10 L2 P1 W-0.5", -4.5),
    ],
)  # fmt: skip
def test_the_program_sets_a_work_offset(block: str, z: float) -> None:
    files = with_setup(f"{block}\n{FROM}G00 Z-4.", "offset_z = -100.0")
    assert ends(files)[-1] == (z, 25)


def test_a_value_that_only_the_program_knows_puts_the_part_zero_there() -> None:
    assert ends_of("G10 L2 P1 Z250.\n" + FROM + "G00 Z-4.")[-1] == ("R", -4, 25)


def test_a_tool_offset_moved_by_the_program_moves_the_tool() -> None:
    # Keyed in before the call: U as a diameter.
    found = ends_of("", head="G21\nG10 P1 U0.4 W-0.3\nT0101\n" + FROM + "G00 Z-4.\n")
    assert found[:2] == [("R", -0.3, 25.2), ("R", -4.3, 25.2)]
    worn = ends_of("G00 Z-4.", head="G21\nG10 P1 X0. Z0.\nT0101\n" + FROM)
    assert worn[-1] == ("R", -4, 25)


def test_the_offset_of_the_tool_in_use_is_not_followed() -> None:
    assert judge(hand_job(FROM + "G10 P1 U0.4")).word == "undecided"


def test_machine_places() -> None:
    """place = machine place - work offset - geometry: Z 80 - 100 + 25 = 5, X (10 + 50) / 2."""
    files = with_setup(FROM + "G00 G53 X10. Z80.", "offset_z = 100.0")
    files["job.toml"] = files["job.toml"].replace(
        "station = 1\n", "station = 1\ngeometry = { x = -50.0, z = -25.0 }\n"
    )
    assert ends(files)[-1] == (5, 30)
    home = hand_job(FROM + "G00 G53 X0\nG53 Z0\nG00 X60. Z5.")
    assert judge(home).word == "clear"
    assert judge(hand_job(FROM + "G00 G53 X10.")).word == "undecided"


def test_a_zero_named_by_g50_and_moved_by_g10_at_once() -> None:
    """G50 at Z5 names it Z0, so Z-4 is 1."""
    files = with_setup("G00 X50. Z5.\nG50 Z0.\nG00 Z-4.", "offset_z = -100.0")
    assert ends(files)[-1] == (1, 25)
