"""Where programmed coordinates lie: local shift, coordinate setting, offsets set by the program.

Places are worked by hand: place = programmed + what G52 and settings add, in the frame of the work
offset; X words are diameters, so half of X is r.
"""

import pytest
from lathe_shop import BEGIN, FAR, codes, trace, unproven_from, ways

from standclear.findings.finding import Severity


def test_a_local_shift_moves_what_is_programmed_and_not_the_tool() -> None:
    found = trace(BEGIN + "G52 Z-2. X1.\nG00 Z5.\nX60.\nW-1.\nG52 X0 Z0\nG00 Z5.\n")
    assert ways(found.motions)[2:] == [
        ("rapid", (5.0, 30.0), (3.0, 30.0)),
        ("rapid", (3.0, 30.0), (3.0, 30.5)),
        ("rapid", (3.0, 30.5), (2.0, 30.5)),
        ("rapid", (2.0, 30.5), (5.0, 30.5)),
    ]
    assert codes(found) == []


def test_a_local_shift_by_increments_adds_to_itself() -> None:
    found = trace(BEGIN + "G52 Z-2.\nG52 W-1.\nG00 Z5.\n")
    assert ways(found.motions)[2:] == [("rapid", (5.0, 30.0), (2.0, 30.0))]
    across = trace(BEGIN + "G52 X2.\nG52 U1.\nG00 X60.\n")
    assert ways(across.motions)[2:] == [("rapid", (5.0, 30.0), (5.0, 31.5))]


def test_a_setting_renames_a_known_place() -> None:
    """The tool stands at z 5, r 30 and calls it Z10 X50: all that follows lies 5 nearer the chuck
    and 5 further out."""
    found = trace(BEGIN + "G50 X50. Z10.\nG00 Z7.\nX40.\n")
    assert ways(found.motions)[2:] == [
        ("rapid", (5.0, 30.0), (2.0, 30.0)),
        ("rapid", (2.0, 30.0), (2.0, 25.0)),
    ]


def test_a_setting_by_increments_adds_to_the_name_of_the_place() -> None:
    """X60 Z5 is called X62 Z2 from now on: X60 lies 1 further in, and Z0 2 nearer the chuck."""
    found = trace(BEGIN + "G50 U2. W-3.\nG00 X60.\nZ0.\n")
    assert ways(found.motions)[2:] == [
        ("rapid", (5.0, 30.0), (5.0, 29.0)),
        ("rapid", (5.0, 29.0), (3.0, 29.0)),
    ]


def test_a_setting_makes_an_unknown_place_known_on_trust() -> None:
    text = "G21 T0101\nG50 X200. Z100.\nG97 S500 M03\nG00 X60. Z5.\n"
    found = trace(text, home="unknown")
    assert ways(found.motions) == [
        ("appear", (100.0, 100.0), (100.0, 100.0)),
        ("rapid", (100.0, 100.0), (5.0, 30.0)),
    ]
    assert codes(found) == []
    assert "the tool stands at X200. Z100. where line 2 says so" in found.trusted


def test_a_clamp_alone_sets_no_coordinates() -> None:
    found = trace(BEGIN + "G50 S2000\nG00 Z4.\n")
    assert ways(found.motions)[2:] == [("rapid", (5.0, 30.0), (4.0, 30.0))]


def test_coordinates_set_in_the_first_clamping_name_nothing_in_the_second() -> None:
    text = BEGIN + "G50 X60. Z5.\nG00 Z4.\nM00\nG00 Z3.\nX58.\n"
    setups = [{"end": {"stop": 1}}, {"start": {"stop": 1}}]
    found = trace(text, setup=1, setups=setups)
    assert codes(found) == ["position-unknown"]
    assert unproven_from(found) == 0


def test_an_offset_set_by_the_program_moves_its_zero() -> None:
    """G54 stands at -400 in the job and is set to -403: Z5. then lies at 2 from the part zero."""
    found = trace(BEGIN + "G10 L2 P1 Z-403.\nG00 Z5.\n", setups=[{"offset_z": -400.0}])
    assert ways(found.motions)[2:] == [("rapid", (5.0, 30.0), (2.0, 30.0))]


def test_an_offset_without_a_value_in_the_job_is_trusted_to_be_set_right() -> None:
    found = trace("G10 L2 P1 Z-403.\n" + BEGIN)
    assert ways(found.motions)[-1] == ("anywhere", (FAR, FAR), (5.0, 30.0))
    assert any("puts the part zero where the job has it" in each for each in found.trusted)
    again = trace("G10 L2 P1 Z-403.\n" + BEGIN + "G10 L2 P1 W1.\nG00 Z5.\n")
    assert ways(again.motions)[-1] == ("rapid", (5.0, 30.0), (6.0, 30.0))


@pytest.mark.parametrize("setting", ["G10 L2 P2 W-1.", "G10 L2 P1 W1.2.3"])
def test_an_offset_moved_from_or_by_what_nobody_knows_is_not_followed(setting: str) -> None:
    """G55 has no value in the job; 1.2.3 is no number."""
    found = trace(f"{BEGIN}{setting}\nG00 Z4.\n", setups=[{"offset_z": -400.0}])
    assert "cannot-follow" in codes(found)


def test_a_further_offset_is_the_set_ups_own_where_the_job_says_so() -> None:
    text = BEGIN.replace("G54", "G54.1 P3")
    own = trace(text, setups=[{"offset": "G54.1 P3"}])
    assert codes(own) == []
    other = trace(text, setups=[{"offset": "G54.1 P4"}])
    assert [(f.code, f.severity) for f in other.findings] == [("wrong-work-offset", Severity.STOP)]
    assert codes(trace(BEGIN + "G54.1\nG00 Z4.\n")) == ["cannot-follow"]


def test_the_way_home_by_distances_counts_from_no_offset() -> None:
    """X and Z of G28 are a distance after G91: as U and W they name no place."""
    own, words = [{"offset": "G55"}], {"cycle_words": "cycles-g77"}
    program = "G21\n{}\nG55\nT0101\nG97 S800 M03\nG00 X60. Z5.\n"
    by_distance = trace(program.format("G91 G28 X0. Z0.\nG90"), setups=own, control=words)
    assert "wrong-work-offset" not in codes(by_distance)
    by_place = trace(program.format("G90\nG28 X80. Z80."), setups=own, control=words)
    assert "wrong-work-offset" in codes(by_place)


def test_a_tool_offset_moved_by_the_program_moves_the_tool_when_it_is_called() -> None:
    """Offset 2 is moved by U-1. (half of it radial) and W0.5 before tool 2 is called at home."""
    text = (
        BEGIN + "G10 P2 U-1. W0.5\nG28 U0 W0\nT0202\nG00 X60. Z5.\nG28 U0 W0\nT0101\nG00 Z5. X60."
    )
    found = ways(trace(text).motions)
    assert [way[2] for way in found if way[0] == "anywhere" and FAR not in way[2]] == [
        (5.0, 30.0),
        (5.5, 29.5),
        (5.0, 30.0),
    ]


def test_the_offset_in_use_is_not_changed_unseen() -> None:
    assert codes(trace(BEGIN + "G10 P1 U-1.\nG00 Z4.\n")) == ["cannot-follow"]
    assert codes(trace(BEGIN + "G10 P2 X-1.\nG00 Z4.\n")) == ["cannot-follow"]
    assert codes(trace(BEGIN + "G10 P2 X0 Z0\nG00 Z4.\n")) == []


def test_a_second_reference_place_lies_beyond_only_where_the_machine_file_says() -> None:
    text = BEGIN + "G30 P2 U0 W0\nT0202\nG00 X60. Z5.\n"
    assert codes(trace(text)) == ["position-unknown"]
    known = trace(text, second_home="beyond")
    assert codes(known) == []
    assert ways(known.motions)[2] == ("anywhere", (5.0, 30.0), (FAR, FAR))
