"""Flow, variables and coordinates as the judge runs them: ends of moves worked by hand, (z, r)."""

from __future__ import annotations

import pytest
from hand_jobs import CONTROL, ends_of, hand_job
from judge.expressions import evaluate
from judge.replay import judge

Row = list[tuple[str, float, float]]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1+2*3", 7), ("[1+2]*3", 9), ("#1-[-2.5]", 12.5), ("10MOD4", 2), ("SQRT[16]", 4),
        ("SIN[30]*2", 1), ("ATAN[1]/[1]", 45), ("FIX[-1.7]", -1), ("FUP[1.2]", 2),
        ("ROUND[2.5]", 3),
        ("#1GT9", 1), ("#1LE9", 0), ("#2EQ#0", 1), ("#1NE#0", 1), ("[#1GT9]AND[#1LT9]", 0),
        ("6/4", 1.5), ("-#1", -10), ("##3", 10), ("5OR2", 7), ("5XOR1", 4),
    ],
)  # fmt: skip
def test_expressions(text: str, value: float) -> None:
    assert evaluate(text, {1: 10.0, 3: 1.0}.get) == pytest.approx(value)


def test_a_subprogram_is_called_as_often_as_it_says() -> None:
    program = (
        "G00 X50. Z0.\nM98 P0031000\nG00 X60.\nM30\nO1000\nG00 W-4.\nG01 U-2. F0.1\nG00 U2.\nM99"
    )
    once: Row = [("R", -4, 25), ("F", -4, 24), ("R", -4, 25)]
    found = ends_of(program)[1:]
    assert found == [
        *once, *((k, z - 4, r) for k, z, r in once), *((k, z - 8, r) for k, z, r in once),
        ("R", -12, 30),
    ]  # fmt: skip
    assert ends_of(program.replace("P0031000", "P1000 L3"))[1:] == found


def test_a_subprogram_in_a_file_of_its_own() -> None:
    found = ends_of("G00 X50. Z0.\nM98 P7\nG00 X60.", others={"sub.nc": "O0007\nG00 Z-3.\nM99\n"})
    assert found[1:] == [("R", -3, 25), ("R", -3, 30)]


def test_a_subprogram_may_return_to_a_label() -> None:
    program = "G00 X50. Z0.\nM98 P7\nG00 Z-9.\nN50 G00 Z-5.\nM30\nO0007\nG00 Z-3.\nM99 P50"
    assert ends_of(program)[1:] == [("R", -3, 25), ("R", -5, 25)]


def test_a_loop_counts() -> None:
    program = "G00 X50. Z0.\n#1=1\nWHILE[#1LE3]DO1\nG00 Z[-#1*2.5]\n#1=#1+1\nEND1\nG00 Z-20."
    assert ends_of(program)[1:] == [
        ("R", -2.5, 25), ("R", -5, 25), ("R", -7.5, 25), ("R", -20, 25),
    ]  # fmt: skip


def test_a_jump_backwards_until_a_test_fails() -> None:
    program = "G00 X50. Z0.\n#100=48.\nN10 G00 X#100\n#100=#100-2.\nIF[#100GT44.]GOTO10\nG00 Z-1."
    assert ends_of(program)[1:] == [("R", 0, 24), ("R", 0, 23), ("R", -1, 23)]


def test_if_then_sets_a_variable_or_not() -> None:
    program = "G00 X50. Z0.\n#100=1.\nIF[#100EQ1.]THEN#101=3.\nIF[#100EQ2.]THEN#101=9.\nG00 Z-#101"
    assert ends_of(program)[1:] == [("R", -3, 25)]


def test_a_call_with_arguments_has_its_own_locals() -> None:
    program = (
        "G00 X50. Z0.\n#1=9.\nG65 P8000 A4. Z-6.\nG00 Z-#1\nM30\nO8000\nG00 Z#26\nG00 U#1\nM99"
    )
    assert ends_of(program)[1:] == [("R", -6, 25), ("R", -6, 27), ("R", -9, 27)]


def test_an_empty_variable_takes_its_word_with_it() -> None:
    assert ends_of("G00 X50. Z0.\nG00 X#5 Z-5.")[1:] == [("R", -5, 25)]


def test_common_variables_of_the_job() -> None:
    found = ends_of("G00 X50. Z0.\nG00 Z-#500", top='variables = { "500" = 12.5 }\n')
    assert found[1:] == [("R", -12.5, 25)]


def test_an_endless_loop_is_not_decided() -> None:
    assert judge(hand_job("N10 G00 X50. Z5.\nGOTO10")).word == "undecided"


@pytest.mark.parametrize(("switch", "word"), [("on", "clear"), ("off", "contact")])
def test_block_delete(switch: str, word: str) -> None:
    program = "G00 X30. Z6.\n/G00 Z-3.\nG00 X60."
    control = CONTROL.replace('block_delete = "off"', f'block_delete = "{switch}"')
    assert judge(hand_job(program, control=control)).word == word


def test_block_delete_left_open_is_tried_either_way() -> None:
    control = CONTROL.replace('block_delete = "off", ', "")
    assert control != CONTROL
    assert judge(hand_job("G00 X30. Z6.\n/G00 Z-3.", control=control)).word == "contact"


def test_a_local_zero_moves_absolute_words_only() -> None:
    program = "G00 X50. Z0.\nG52 X2. Z-10.\nG00 X50. Z1.\nG00 W-1.\nG52 X0. Z0.\nG00 X50. Z1."
    assert ends_of(program)[1:] == [("R", -9, 26), ("R", -10, 26), ("R", 1, 25)]


def test_a_place_is_given_a_new_name() -> None:
    # At X50 Z0 the program says X60 Z10: its zero lies 5 lower and 10 behind.
    program = "G00 X50. Z0.\nG50 X60. Z10.\nG00 X58. Z8.\nG50 W-3.\nG00 X58. Z5."
    assert ends_of(program)[1:] == [("R", -2, 24)]


def test_home_named_by_the_program_is_a_known_place() -> None:
    found = ends_of("G50 X200. Z100.\nG00 X44. Z2.", rapid="bent")
    # Rates X 5000, Z 10000: 98 of Z take as long as 49 of X.
    assert found == [("R", 2, 51), ("R", 2, 22)]


def test_t_words_of_two_four_and_six_digits() -> None:
    for word in ("T11", "T0101", "T010101"):
        assert ends_of("G00 X50. Z3.", head=f"G21\n{word}\nG97 S800 M03\n") == [("R", 3, 25)]
    assert judge(hand_job("G00 X50. Z3.", head="T0102\n")).word == "undecided"
