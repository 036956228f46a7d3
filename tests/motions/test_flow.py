"""Variables, loops and jumps in whole programs: the motions they lead to, and the bounds."""

from __future__ import annotations

import tracemalloc
from typing import Any

import pytest
from lathe_shop import BEGIN, codes, job, trace, traces, ways

from standclear.blocks.read import read_program
from standclear.job.models import Job
from standclear.motions.flow import jumps
from standclear.motions.table import Trace
from standclear.motions.trace import trace_setup


def _ends(found: Trace) -> list[tuple[float, float]]:
    """(z, X on diameter) where each motion after the first way ends."""
    return [(end[0], 2 * end[1]) for _, _, end in ways(found.motions)[2:]]


def _with_variables(text: str, **values: float) -> tuple[Trace, ...]:
    stated: dict[str, Any] = {name[1:]: value for name, value in values.items()}
    shop: Job = job().model_copy(update={"variables": stated})
    return trace_setup(read_program(text.encode(), "p.nc"), shop, 0)


def test_a_loop_counts_down() -> None:
    text = "#1=60.\nWHILE [#1 GT 54.] DO1\n#1=#1-2.\nG00 X#1\nEND1\nG00 Z1.\n"
    found = trace(BEGIN + text)
    assert codes(found) == []
    assert _ends(found) == [(5.0, 58.0), (5.0, 56.0), (5.0, 54.0), (1.0, 54.0)]


def test_a_loop_whose_condition_never_holds_is_left_out() -> None:
    assert _ends(trace(BEGIN + "WHILE [1 GT 2] DO1\nG00 Z-90.\nEND1\nG00 Z1.\n")) == [(1.0, 60.0)]


def test_loops_in_one_another_and_a_jump_out() -> None:
    text = (
        "#1=0\nWHILE [#1 LT 2] DO1\n#1=#1+1\n#2=0\nWHILE [#2 LT 9] DO2\n#2=#2+1\n"
        "IF [#2 GT #1] GOTO 5\nG00 W-1.\nEND2\nN5 G00 U-2.\nEND1\n"
    )
    # First time round once down, second time twice.
    assert _ends(trace(BEGIN + text)) == [
        (4.0, 60.0), (4.0, 58.0), (3.0, 58.0), (2.0, 58.0), (2.0, 56.0),
    ]  # fmt: skip


def test_an_empty_value_leaves_its_word_out() -> None:
    found = trace(BEGIN + "#2=3.\nG00 X#1 Z#2\n")
    assert _ends(found) == [(3.0, 60.0)]
    assert any("local variables are empty" in sentence for sentence in found.trusted)


def test_computed_values_are_in_units_and_signed() -> None:
    text = "#1=2\n#[#1+1]=-1.5\nG00 X[60-#1*2] Z-#3\nG01 W[#3] F[#1/10]\n"
    found = trace(BEGIN + text)
    assert _ends(found) == [(1.5, 56.0), (0.0, 56.0)]
    assert found.motions.feed[-1] == 0.2


def test_tools_and_words_by_variables() -> None:
    found = trace(BEGIN + "#1=202\n#2=0\nG28 U0. W0.\nT#1\nG#2 X50. Z5.\n")
    assert codes(found) == []
    assert found.tools[found.motions.tool[-1]].station == 2


def test_commons_of_the_job() -> None:
    (found,) = _with_variables(BEGIN + "G00 X[#500+4.]\n", v500=50.0)
    assert _ends(found) == [(5.0, 54.0)]
    # What the motions then go by is printed: another bar may ask for another value.
    assert "#500 is 50 where the program starts, as the job says" in found.trusted
    (missing,) = _with_variables(BEGIN + "G00 X[#501+4.]\n", v500=50.0)
    assert codes(missing)[0] == "cannot-follow"
    assert "#501" in missing.findings[0].message


def test_the_end_of_the_last_block_and_modal_words() -> None:
    text = "G54\nG00 X50. Z-3.\n#1=#5001\n#2=#5002\n#3=#4001\n#4=#4014\n#5=#4006\n"
    found = trace(BEGIN + text + "G00 X[#1+#4-54] Z[#2+#3+#5]\n")
    assert _ends(found)[-1] == (18.0, 50.0)
    shifted = trace(BEGIN + "G52 X4. Z10.\nG00 X50. Z-3.\nG52 X0. Z0.\nG00 X50. Z-3.\n")
    again = trace(
        BEGIN + "G52 X4. Z10.\nG00 X50. Z-3.\n#1=#5001\n#2=#5002\nG52 X0. Z0.\nG00 X#1 Z#2\n"
    )
    assert _ends(again) == _ends(shifted)
    inch = trace("G20 G54\nT0101\nG00 X2. Z.5\nG00 X[#5001*2] Z[#5002+1]\n")
    assert _ends(inch)[-1] == (38.1, 101.6)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("#1=#5041\n", "#5041"),
        ("#1=#5021\n", "#5021"),
        ("#1=#2001\n", "#2001"),
        ("#2001=0.5\n", "#2001"),
        ("#1=#3001\n", "#3001"),
        ("G28 U0. W0.\n#1=#5001\n", "#5001"),
        ("X[ROUND[5.4]]\n", "ROUND in a word"),
        ("X[#1]\n", "empty"),
        ("X[1/0]\n", "division by zero"),
        ("X[2+#]\n", "missing"),
        ("IF [1 EQ 1] G01 X5.\n", "IF is followed"),
        ("WHILE [1 EQ 1] DO1\nG00 Z1.\n", "no END1"),
        ("END1\n", "closes no loop"),
        ("WHILE [1 EQ 1] DO1\nWHILE [1 EQ 1] DO2\nEND1\nEND2\n", "no END1"),
        ("GOTO 5\nWHILE [1 EQ 2] DO1\nN5 G00 Z1.\nEND1\n", "middle of a loop"),
        ("/END1\n", "closes no loop"),
        ("/WHILE [#1 LT 2] DO1\n#1=#1+1\nG00 W-1.\nEND1\n", "no END1"),
        ("GOTO 5\nG00 Z1.\n/N5 G00 Z2.\n", "block delete"),
    ],
)
def test_what_is_not_followed_is_named(text: str, says: str) -> None:
    found = trace(BEGIN + text, control={"block_delete": "on" if "/N5" in text else "off"})
    first = found.findings[0]
    assert (first.code, first.unproven) == ("cannot-follow", True)
    assert says.lower() in first.message.lower()


def test_a_comparison_that_rounding_decides_is_proved_both_ways() -> None:
    text = BEGIN + "#1=0.5\nWHILE [#1 GT 0.2] DO1\n#1=#1-0.1\nG00 W-1.\nEND1\n"
    both = traces(text)
    assert [t.reading for t in both] == [("comparison_tie=equal",), ("comparison_tie=unequal",)]
    # 0.5 - 0.1 - 0.1 - 0.1 is 0.2 and rounding: three passes, or four.
    assert [len(_ends(t)) for t in both] == [3, 4]
    (stated,) = traces(text, control={"comparison_tie": "equal"})
    assert len(_ends(stated)) == 3


def test_two_such_comparisons_are_proved_every_way() -> None:
    one = "#1=0.3\nWHILE [#1 GT {}] DO1\n#1=#1-0.1\nG00 {}-1.\nEND1\n"
    found = traces(BEGIN + one.format("0.1", "W") + one.format("0.2", "U"))
    ends = [_ends(t)[-1] for t in found]
    assert sorted(ends) == [(2.0, 58.0), (2.0, 59.0), (3.0, 58.0), (3.0, 59.0)]


def test_a_loop_in_halves_is_the_same_on_every_control() -> None:
    (only,) = traces(BEGIN + "#1=2.\nWHILE [#1 GT 0] DO1\n#1=#1-0.5\nG00 W-1.\nEND1\n")
    assert len(_ends(only)) == 4


@pytest.mark.parametrize(
    "text",
    [
        "WHILE [1 EQ 1] DO1\nG00 W-1.\nEND1\n",
        "DO1\nG00 W-1.\nEND1\n",
        "N5 #1=5\nG00 W-1.\nIF [#1 EQ 5] GOTO 5\n",
        "N5 M98 P1234\nIF [#1 EQ #0] GOTO 5\nM30\nO1234\nM99\n",
    ],
)
def test_a_loop_in_which_nothing_changes_is_endless(text: str) -> None:
    found = trace(BEGIN + text)
    assert codes(found) == ["endless-loop"]
    assert len(_ends(found)) <= 2


def test_a_loop_that_always_changes_something_ends_at_the_bounds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    counting = "N5 #1=#1+1\nGOTO 5\n"
    monkeypatch.setattr(jumps, "MOST_BLOCKS", 1000)
    found = trace(BEGIN + counting)
    assert codes(found) == ["endless-loop"]
    assert "1,000 blocks" in found.findings[0].message
    monkeypatch.setattr(jumps, "MOST_ROWS", 50)
    found = trace(BEGIN + "N5 #1=#1+1\nG00 W-1.\nGOTO 5\n")
    assert "more than 50 motions" in found.findings[0].message.lower()
    assert len(found.motions) == 51


def test_an_alarm_of_the_program_ends_it() -> None:
    found = trace(BEGIN + "#1=3.\nIF [#1 LT 5.] THEN #3000=7 (TOO SHORT)\nG00 Z-90.\n")
    assert codes(found) == ["alarm-raised"]
    assert "alarm 7" in found.findings[0].message and "TOO SHORT" in found.findings[0].message
    assert _ends(found) == []
    assert codes(trace(BEGIN + "#1=5.\nIF [#1 LT 5.] THEN #3000=7\nG00 Z1.\n")) == []


def test_a_stop_with_a_message_is_a_stop() -> None:
    text = BEGIN + "G00 X58.\n#3006=1 (TURN ROUND)\nG00 X56.\n"
    assert _ends(trace(text, setups=[{"end": {"stop": 1}}])) == [(5.0, 58.0)]


def test_rounding_of_computed_increments_adds_up() -> None:
    thirds = "#1=0\nWHILE [#1 LT 9] DO1\n#1=#1+1\nG00 W-[1/3]\nEND1\n"
    found = trace(BEGIN + thirds)
    # 0.333333 against 0.333: a third of a micrometre each, more than one after the fourth.
    assert codes(found) == ["cannot-follow"]
    assert "rounds each computed W" in found.findings[0].message
    anchored = thirds.replace("END1", "G00 Z5.\nEND1")
    assert codes(trace(BEGIN + anchored)) == []


def test_a_profile_takes_its_values_where_it_is_called() -> None:
    text = (
        BEGIN + "#1=40.\n#2=-20.\nG71 U5. R1.\nG71 P10 Q20 U0. W0. F0.2\nN10 G00 X#1\nG01 Z#2\n"
        "N20 X60.\n#1=99.\n"
    )
    plain = text.replace("X#1", "X40.").replace("Z#2", "Z-20.")
    assert ways(trace(text).motions) == ways(trace(plain).motions)
    bad = trace(text.replace("G01 Z#2", "GOTO 20"))
    assert "cannot-follow" in codes(bad)


def test_running_again_with_other_variables_is_unproven() -> None:
    home = "G28 U0. W0.\nM99\n"
    assert codes(trace(BEGIN + "#1=1.\nG00 W-#1\n#1=2.\n" + home)) == []
    (found,) = _with_variables(BEGIN + "G00 W-#500\n#500=2.\n" + home, v500=1.0)
    assert codes(found) == ["cannot-follow"]
    (same,) = _with_variables(BEGIN + "G00 W-#500\n#500=1.\n" + home, v500=1.0)
    assert codes(same) == []


def test_a_loop_of_many_motions_holds_its_memory() -> None:
    text = BEGIN + "#1=0\nWHILE [#1 LT 10000] DO1\n#1=#1+1\nG01 W-0.5 F0.1\nW0.5\nEND1\n"
    tracemalloc.start()
    found = trace(text)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert len(found.motions) == 20_002
    # A row is 110 bytes; packed, once more as columns, and what a growing array keeps spare.
    assert peak < 20_002 * 110 * 4
