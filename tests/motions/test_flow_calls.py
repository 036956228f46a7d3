"""Subprograms and macros: what is called, how often, with which variables, and where it goes on."""

from __future__ import annotations

import pytest
from lathe_shop import BEGIN, codes, job, trace, traces, unproven_from, ways

from standclear.blocks.program import linked
from standclear.blocks.read import read_program
from standclear.motions.table import Trace
from standclear.motions.trace import trace_setup

SUB = "M30\nO1234\nG00 W-1.\nM99\n"


def _places(found: Trace) -> list[tuple[float, float]]:
    """(z, X on diameter) where each motion after the first way ends."""
    return [(end[0], 2 * end[1]) for _, _, end in ways(found.motions)[2:]]


@pytest.mark.parametrize(
    ("call", "times"),
    [
        ("M98 P1234", 1),
        ("M98 P1234 L1", 1),
        ("M98 P1234 L3", 3),
        ("M98 P31234", 3),
        ("m98 p0031234", 3),
        ("G65 P1234", 1),
        ("G65 P1234 L1", 1),
        ("G65 P1234 L2", 2),
        ("#1=1234\nM98 P#1", 1),
        ("G04 X1.\nM08 M98 P1234", 1),
    ],
)
def test_how_often_a_subprogram_runs(call: str, times: int) -> None:
    found = trace(BEGIN + f"{call}\nG00 X58.\n" + SUB)
    assert codes(found) == []
    down = [(5.0 - k, 60.0) for k in range(1, times + 1)]
    assert _places(found) == [*down, (5.0 - times, 58.0)]


def test_a_motion_in_the_block_of_the_call_comes_first() -> None:
    found = trace(BEGIN + "G00 X50. M98 P1234\nX48.\n" + SUB)
    assert _places(found) == [(5.0, 50.0), (4.0, 50.0), (4.0, 48.0)]


def test_a_call_from_a_label_on() -> None:
    text = BEGIN + "M98 P1234 Q20\nM30\nO1234\nG00 W-1.\nN20 G00 W-10.\nM99\n"
    assert _places(trace(text)) == [(-5.0, 60.0)]


def test_a_call_of_blocks_in_the_same_program() -> None:
    text = BEGIN + "M98 Q20 L2\nM30\nN20 G00 W-10.\nM99\n"
    assert _places(trace(text)) == [(-5.0, 60.0), (-15.0, 60.0)]


def test_a_return_to_a_label_of_the_caller() -> None:
    text = BEGIN + "M98 P1234\nG00 Z-90.\nN7 G00 X58.\nM30\nO1234\nG00 W-1.\nM99 P7\n"
    assert _places(trace(text)) == [(4.0, 60.0), (4.0, 58.0)]


def test_calls_in_calls_keep_the_locals_of_their_level() -> None:
    text = (
        BEGIN + "#1=58.\nG65 P1 A56.\nG00 X#1\nM30\n"
        "O1\nG00 X#1\nM98 P2\n#1=50.\nM99\nO2\n#1=#1-2.\nG00 X#1\nM99\n"
    )
    # O2 is no macro: it sees the #1 of O1, and changes it; the main program's is another.
    assert _places(trace(text)) == [(5.0, 56.0), (5.0, 54.0), (5.0, 58.0)]


def test_the_first_list_of_arguments() -> None:
    text = BEGIN + "G65 P1 A1. B2. C3. I4. J5. K6. D7. E8. F9. H11 M13 Q17. R18. S19 T20 U21. V22."
    text += " W23. X24. Y25. Z26.\nM30\nO1\n#30=0\n#31=0\n"
    numbers = [*range(1, 10), 11, 13, *range(17, 27)]
    text += "".join(f"IF [#{n} NE {n}] THEN #30=#30+1\n" for n in numbers)
    text += "".join(f"IF [#{n} NE #0] THEN #30=#30+1\n" for n in (10, 12, 14, 15, 16, 27, 33))
    found = trace(text + "G00 X[60-#30]\nG00 Z1.\nM99\n")
    assert codes(found) == []
    assert _places(found)[-1] == (1.0, 60.0)


def test_the_second_list_of_arguments() -> None:
    groups = "".join(f" I{4 + 3 * k}. J{5 + 3 * k}. K{6 + 3 * k}." for k in range(10))
    text = BEGIN + f"G65 P1 A1. B2. C3.{groups}\nM30\nO1\n#100=0\n"
    text += "".join(f"IF [#{n} NE {n}] THEN #100=#100+1\n" for n in range(1, 34))
    found = trace(text + "G00 X[60-#100] Z1.\nM99\n")
    assert codes(found) == []
    assert _places(found)[-1] == (1.0, 60.0)


def test_an_argument_without_a_point_counts_as_the_job_says() -> None:
    text = BEGIN + "G65 P1 A5000\nM30\nO1\nG00 W-#1\nM99\n"
    assert _places(trace(text)) == [(0.0, 60.0)]
    both = traces(text, control={"number_without_point": None})
    assert [_places(t)[-1][0] for t in both] == [0.0, -4995.0]


@pytest.mark.parametrize(("word", "most"), [("M98", 10), ("G65", 4)])
def test_calls_stand_so_deep_in_one_another_and_no_deeper(word: str, most: int) -> None:
    def calls(count: int) -> Trace:
        """O1 calls O2 and so on; the last one moves, and what called them all moves after it."""
        bodies = [f"O{k}\n{word} P{k + 1}\nM99\n" for k in range(1, count)]
        main = BEGIN + f"{word} P1\nG00 X58.\nM30\n"
        return trace(main + "".join(bodies) + f"O{count}\nG00 W-1.\nM99\n")

    assert codes(calls(most)) == [] and _places(calls(most)) == [(4.0, 60.0), (4.0, 58.0)]
    # A call that is not followed is not passed over: where the tool stands after it is not known.
    assert codes(calls(most + 1)) == ["cannot-follow"] and _places(calls(most + 1)) == []


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("M98 P77\n" + SUB, "O0077"),
        ("M98\n" + SUB, "neither a program nor a label"),
        ("M98 P1234 L0\n" + SUB, "L0"),
        ("M98 P-1234\n" + SUB, "negative"),
        ("M98 P51234\nM30\nO1234\nM99\nO51234\nM99\n", "5 times O1234"),
        ("M98 P1234\nM30\nO1234\nM99\nO1234\nM99\n", "2 programs"),
        ("M98 P1234\nM30\nO1234\nG00 W-1.\n", "without M99"),
        ("M98 P1234\nM30\nO1234\nG00 W-1.\n%\n", "without M99"),
        ("M98 P1234\nM30\nO1234\nM98 P1234\nM99\n", "more than 10 calls"),
        ("G65 P1234\nM30\nO1234\nG65 P1234\nM99\n", "more than 4 calls"),
        ("M98 P1234 M99\n" + SUB, "same letter"),
        ("G04 P50 M98\n" + SUB, "same letter"),
        ("M98 P1234 M30\n" + SUB, "two words"),
        ("G65 A1.\n" + SUB, "names no program"),
        ("G00 X1. G65 P1234\n" + SUB, "before it"),
        ("G65 P1234 J5. I4.\n" + SUB, "out of their order"),
        ("G65 P1234 D7. I1. I2.\n" + SUB, "set before it"),
        ("G65 P1234 A1. A2.\n" + SUB, "set before it"),
        ("G65 P1234 G01 X1.\n" + SUB, "no argument"),
        ("G65 P1234 F3\n" + SUB, "without a point"),
        ("G65 P1234 A#150\n" + SUB, "#150"),
        ("G66 P1234\nG66 P1234\n" + SUB, "G66 inside another"),
        ("G66 P1234\nG28 U0. W0.\n" + SUB, "whether G66 calls"),
        ("G66 P1234\nG90 X50. Z-5. F0.1\n" + SUB, "whether G66 calls"),
        ("G65 P1234 L2 A1.\nM30\nO1234\nG00 W-#1\n#1=#1+1.\nM99\n", "changes an argument"),
        ("M98 P1234 L2\nN7 M08\nM30\nO1234\nM99 P7\n", "not yet done"),
        ("M98 P1234\nM30\nO1234\nM99 P7\nN7\n", "names a label that no block"),
    ],
)
def test_what_is_not_followed_is_named(text: str, says: str) -> None:
    found = trace(BEGIN + text)
    unproven = [f for f in found.findings if f.unproven]
    assert len(unproven) == 1
    assert says.lower() in unproven[0].message.lower()
    assert (unproven_from(found) or 0) >= 2


def test_a_repeated_macro_may_change_locals_that_it_sets_itself() -> None:
    text = BEGIN + "G65 P1 L2 A1.\nM30\nO1\n#2=#1+1.\nG00 W-#2\n#2=9.\nM99\n"
    assert _places(trace(text)) == [(3.0, 60.0), (1.0, 60.0)]


def test_a_macro_after_each_motion_until_g67() -> None:
    text = BEGIN + "G66 P1 A1.\nM08\nG00 X58.\nG04 X1.\nG01 X56. F0.2\nG67\nX54.\nM30\n"
    found = trace(text + "O1\nG00 W-#1\nG01 X50.\nX[#5001+4]\nM99\n")
    assert codes(found) == []
    first = [(5.0, 58.0), (4.0, 58.0), (4.0, 50.0), (4.0, 54.0)]
    second = [(4.0, 56.0), (3.0, 56.0), (3.0, 50.0), (3.0, 54.0)]
    assert _places(found) == [*first, *second]


def test_a_program_that_is_not_called_is_not_run() -> None:
    assert _places(trace(BEGIN + "G00 X58.\nO77\nG00 Z-90.\nM30\n")) == [(5.0, 58.0)]


def test_a_subprogram_in_another_file_is_named_with_its_file() -> None:
    main = read_program((BEGIN + "M98 P1234\nG00 X58.\nM30\n").encode(), "p.nc")
    other = read_program(b"%\nO1234\nG00 W-1.\nC90.\nM99\n%\n", "sub.nc")
    (found,) = trace_setup(linked(main, [other]), job(), 0)
    assert _places(found) == [(4.0, 60.0), (4.0, 58.0)]
    (finding,) = found.findings
    assert finding.place is not None
    assert (finding.place.program, finding.place.line) == ("sub.nc", 4)
    assert finding.place.in_words == "sub.nc line 4"
    # Labels of the other file are its own.
    assert linked(main, [other]).own_blocks == main.blocks


def test_a_file_that_is_only_linked_is_not_run() -> None:
    main = read_program((BEGIN + "G00 X58.\n").encode(), "p.nc")
    other = read_program(b"G00 Z-90.\n", "sub.nc")
    (found,) = trace_setup(linked(main, [other]), job(), 0)
    assert _places(found) == [(5.0, 58.0)]
