"""Modal calls, the second argument list, starts at a label, M words and taps, by hand."""

from __future__ import annotations

import pytest
from hand_jobs import CONTROL, DRILL, ends_of, hand_job
from judge.replay import judge

FROM = "G00 X50. Z0.\n"
PLUNGE = "M30\nO7\nG01 X#24 F0.1\nG00 X#21\nM99"


def test_a_modal_call_follows_each_block_that_moves() -> None:
    program = f"{FROM}G66 P7 X40. U50.\nG00 Z-2.\nM08\nG00 Z-5.\nG67\nG00 Z-8.\n{PLUNGE}"
    assert ends_of(program)[1:] == [
        ("R", -2, 25), ("F", -2, 20), ("R", -2, 25),
        ("R", -5, 25), ("F", -5, 20), ("R", -5, 25), ("R", -8, 25),
    ]  # fmt: skip


def test_the_second_list_counts_groups_of_i_j_k() -> None:
    # I J K: #4 #5 #6; K alone again: #9.
    body = "M30\nO7\nG00 Z#4\nG00 X#5\nG00 Z#6\nG00 Z#9\nM99"
    program = f"{FROM}G65 P7 A1. I-2. J44. K-4. K-6.\n{body}"
    assert ends_of(program)[1:] == [("R", -2, 25), ("R", -2, 22), ("R", -4, 22), ("R", -6, 22)]


def test_a_main_program_that_runs_again_from_home() -> None:
    files = hand_job(FROM + "G00 X60.\nG28 U0 W0\nM99")
    assert judge(files).word == "clear"
    assert judge(hand_job(FROM + "G00 X60.\nM99")).word == "undecided"


SEARCHED = (
    "G00 X50. Z2.\nG28 U0 W0\nM00\nN50 G21\nT0101\nG00 X36. Z2.\nG01 Z-3. F0.1\nG01 X50.\nG28 U0 W0"
)


def searched(reached: str) -> dict[str, str]:
    """The spindle is on before the label only; the first motion strikes but for a running one."""
    files = hand_job(SEARCHED)
    mark = f'start = {{ label = 50{reached} }}\nname = "one"\n'
    files["job.toml"] = files["job.toml"].replace('name = "one"\n', mark)
    return files


@pytest.mark.parametrize(
    ("reached", "word"),
    [(', reached = "running"', "clear"), (', reached = "search"', "contact"), ("", "contact")],
)
def test_a_search_begins_in_reset_state(reached: str, word: str) -> None:
    assert judge(searched(reached)).word == word


@pytest.mark.parametrize(
    ("does", "word"), [("nothing", "clear"), ("parts-catcher", "clear"), ("tailstock", "undecided")]
)
def test_m_words_do_what_the_job_says(does: str, word: str) -> None:
    files = hand_job(FROM + "M41\nG00 Z-1.")
    files["job.toml"] += f'[[m_words]]\nnumber = 41\ndoes = "{does}"\n'
    assert judge(files).word == word


def test_what_strikes_before_the_program_is_lost_decides() -> None:
    lost = "G31 Z-5."
    assert judge(hand_job(FROM + lost)).word == "undecided"
    assert judge(hand_job(FROM + "G00 X30. Z-3.\n" + lost)).word == "contact"


TAP = "tap = { diameter = 18, hole = 16, length = 40, holder_diameter = 30 }"
ROWS = CONTROL + ', drilling_r = "incremental", drilling_return = "initial", pecking_return = 0.5'
HOLE = "G00 X0. Z5.\nG83 Z-20. F0.1\nG80\nG28 U0 W0\nT0202\nM03\nG00 X0. Z5.\n"


def tapped(block: str, tap: str = TAP) -> str:
    """A hole of 16 to Z-20 at its point, tapped M18: its wall ends 8/tan 59 = 4.807 before."""
    tools = f"{DRILL}\n[[tools]]\nstation = 2\n{tap}"
    return judge(hand_job(HOLE + block, tool=tools, control=ROWS)).word


def test_a_tap_keeps_to_the_hole_that_is_drilled() -> None:
    assert tapped("G84 Z-15. F1.5\nG80") == "clear"
    assert tapped("G84 Z-16. F1.5\nG80") == "contact"
    assert tapped("G84 Z-15. F1.5\nG80", TAP.replace("hole = 16", "hole = 17")) == "contact"


def test_a_tap_is_no_way_through_by_rapid_or_with_the_spindle_stopped() -> None:
    assert tapped("G84 Z-10. F1.5\nG80\nG00 Z-5.") == "contact"
    assert tapped("M05\nG84 Z-10. F1.5\nG80") == "contact"


def test_pecking_cycles_in_one_block() -> None:
    rows = CONTROL + ', pecking_return = 1.0, pecking_x = "radial"'
    two = "G00 X44. Z-20.\nG75 R1.\nG75 X32. Z-18. P2000 Q2000 R0.2 F0.1"
    one = "G00 X44. Z-20.\nG75 X32. Z-18. I2. K2. D0.2 F0.1"
    assert ends_of(one, control=rows) == ends_of(two, control=rows)


def test_a_pattern_in_one_block() -> None:
    profile = "N10 G00 X20.\nG01 Z-10.\nN20 X32.\nG00 Z9."
    one = "G00 X32. Z2.\nG73 P10 Q20 U1. W0.1 I4. K2. D2 F0.2\n" + profile
    two = "G00 X32. Z2.\nG73 U4. W2. R2\nG73 P10 Q20 U1. W0.1 F0.2\n" + profile
    assert ends_of(one) == ends_of(two)


def test_the_control_tells_where_the_last_block_ended() -> None:
    # X as a diameter, both from the shifted zero: Z -1 + 4 = 3 from there is 1 from the other.
    program = f"{FROM}G52 Z-2.\nG00 Z-1.\n#101=#5001\nG00 X[#101+2.]\nG00 Z[#5002+4.]"
    assert ends_of(program)[1:] == [("R", -3, 25), ("R", -3, 26), ("R", 1, 26)]


@pytest.mark.parametrize("read", ["#5041", "#500", "#3001"])
def test_what_nobody_knows_is_not_guessed(read: str) -> None:
    assert judge(hand_job(f"{FROM}G00 Z[{read}+50.]")).word == "undecided"
