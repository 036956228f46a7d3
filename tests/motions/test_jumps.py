"""Jumps without a condition, and M99 at the end of a main program."""

from __future__ import annotations

import pytest
from lathe_shop import BEGIN, codes, trace, unproven_from, ways

HOME = "G28 U0. W0.\n"


@pytest.mark.parametrize("jump", ["GOTO 50", "goto50", "N60 GOTO 50", "M99 P50", "N60 M99 P50."])
def test_a_jump_back_comes_round_without_end(jump: str) -> None:
    found = trace(BEGIN + f"N50 G00 Z4.\n{jump}\nG00 Z-90.\n")
    assert codes(found) == ["endless-loop"]
    finding = found.findings[0]
    assert finding.unproven
    assert finding.place and finding.place.line == 6
    assert [place.line for place in finding.related] == [5]
    # What follows the jump is never run.
    assert ways(found.motions)[-1] == ("rapid", (5.0, 30.0), (4.0, 30.0))


def test_a_jump_to_its_own_block_comes_round_without_end() -> None:
    assert codes(trace(BEGIN + "G00 Z4.\nN50 GOTO 50\n")) == ["endless-loop"]


@pytest.mark.parametrize("jump", ["GOTO 50", "M99 P50", "IF [1 EQ 1] GOTO 50", "#1=50\nGOTO#1"])
def test_a_jump_ahead_leaves_out_what_stands_between(jump: str) -> None:
    found = trace(BEGIN + f"{jump}\nG00 Z-90.\nN50 G00 Z4.\nM30\n")
    assert codes(found) == []
    assert ways(found.motions)[2:] == [("rapid", (5.0, 30.0), (4.0, 30.0))]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("GOTO 51\n", "label-missing"),
        ("M99 P51\n", "label-missing"),
        ("N50 M08\nGOTO 50\n", "label-doubled"),
        ("GOTO #1\n", "cannot-follow"),
        ("GOTO #150\n", "cannot-follow"),
        ("GOTO 50.5\n", "cannot-follow"),
        ("IF [#150 EQ 2] GOTO 50\n", "cannot-follow"),
        ("M99 P#150\n", "cannot-follow"),
        ("M99 P50.5\n", "cannot-follow"),
        ("G04 P50 M99\n", "cannot-follow"),
        ("M98 P50\n", "cannot-follow"),
    ],
)
def test_a_jump_that_leads_nowhere_known_is_unproven(text: str, code: str) -> None:
    found = trace(BEGIN + "N50 G00 Z4.\n" + text)
    assert codes(found) == [code]
    assert unproven_from(found) == 3


def test_labels_of_another_program_do_not_take_a_jump() -> None:
    found = trace("O0001\n" + BEGIN + "N50 G00 Z4.\nGOTO 50\nO0002\nN50 M08\nM30\n")
    assert codes(found) == ["endless-loop"]


def test_running_again_from_home_is_one_pass() -> None:
    found = trace(BEGIN + "G00 Z4.\n" + HOME + "M99\nG00 Z-90.\n")
    assert codes(found) == []
    assert any("M99" in sentence for sentence in found.trusted)
    assert len(found.motions) == len(trace(BEGIN + "G00 Z4.\n" + HOME + "M30\n").motions)


@pytest.mark.parametrize("home", ["", "G28 U0.\n", "G28 W0.\n"])
def test_running_again_from_elsewhere_is_unproven(home: str) -> None:
    found = trace(BEGIN + "G00 Z4.\n" + home + "M99\n")
    assert codes(found) == ["cannot-follow"]
    assert unproven_from(found) == len(found.motions)


def test_running_again_from_a_home_that_is_not_known_is_unproven() -> None:
    found = trace(BEGIN + "G00 Z4.\n" + HOME + "M99\n", home="unknown")
    assert "cannot-follow" in codes(found)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # The second pass would still count from G55, with nothing to say so.
        ("G21\nT0101\nG97 S1000 M03\nG00 X60. Z5.\n" + HOME + "G55\n", ["cannot-follow"]),
        ("G21\nT0101\nG97 S1000 M03\nG00 X60. Z5.\n" + HOME + "G54\n", []),
        (BEGIN + HOME + "G55\n", []),
        # A single-pass word would still be in force at the first axis word of the second pass.
        (BEGIN + "G90 X50. Z-5. F.2\n" + HOME, ["cannot-follow"]),
    ],
)
def test_words_in_force_at_the_end_that_the_top_does_not_undo(
    text: str, expected: list[str]
) -> None:
    assert codes(trace(text + "M99\n")) == expected


@pytest.mark.parametrize(("word", "expected"), [("G91", ["cannot-follow"]), ("G90", [])])
def test_increments_in_force_at_the_end_are_so_in_the_next_pass(
    word: str, expected: list[str]
) -> None:
    text = BEGIN + "G00 Z4.\n" + HOME + f"{word}\nM99\n"
    assert codes(trace(text, control={"cycle_words": "cycles-g77"})) == expected


def test_a_loop_before_the_set_up_begins_is_told() -> None:
    found = trace("N50 G00 X60. Z5.\nGOTO 50\nM00\n", setups=[{"start": {"stop": 1}}])
    assert codes(found) == ["endless-loop"]
