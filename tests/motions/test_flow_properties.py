"""What must hold of any flow: an answer to any text, and the motions of the blocks written out."""

from __future__ import annotations

from unittest.mock import patch

from hypothesis import given, settings
from hypothesis import strategies as st
from lathe_shop import BEGIN, codes, trace, traces, ways

from standclear.motions.flow import jumps

LINES = st.sampled_from(
    [
        "#1=#1+1", "#2=#1*0.1", "#100=#2", "#[#1]=5", "#3=#5001", "#3000=1", "#3006=1",
        "IF [#1 LT 3] GOTO 10", "IF [#1 GT 0.3] THEN #2=1", "GOTO 20", "GOTO #1", "N10",
        "N20 G00 W-1.", "WHILE [#1 LT 4] DO1", "WHILE [#2 NE 1] DO2", "DO3", "END1", "END2", "END3",
        "/END1", "M98 P77", "M98 P277", "M98 Q10", "M98 P78 L2", "G65 P77 A1. I2. I3.",
        "G66 P77 A#1",
        "G67", "M99", "M99 P10", "O77", "O78", "%", "M30", "M00", "G01 X#1 F.1", "G00 U[#2/#1]",
        "X[", "G71 U1. R1.", "G71 P10 Q20 U0. W0. F.1", "T#1", "G#1 Z1.", "G28 U0. W0.",
        "G90 X#2 Z-1.",
    ]
)  # fmt: skip


@settings(max_examples=150)
@given(st.lists(LINES, max_size=14), st.sampled_from([None, "off"]))
def test_any_flow_has_an_answer(lines: list[str], delete: str | None) -> None:
    with patch.object(jumps, "MOST_BLOCKS", 200), patch.object(jumps, "MOST_ROWS", 100):
        for found in traces(BEGIN + "\n".join(lines), control={"block_delete": delete}):
            assert all(f.message for f in found.findings)


BODIES = st.lists(
    st.sampled_from(
        ["G00 W-1.", "G01 U-.5 W-.25 F.1", "G00 U.5", "G01 X50. F.2", "M08", "G04 X1."]
    ),
    min_size=1,
    max_size=5,
).map(lambda lines: "\n".join(lines) + "\n")


@settings(max_examples=40)
@given(BODIES, st.integers(0, 4))
def test_every_way_to_repeat_blocks_is_as_writing_them_again(body: str, times: int) -> None:
    plain = trace(BEGIN + body * times)
    ways_to_repeat = [
        f"#1=0\nWHILE [#1 LT {times}] DO1\n#1=#1+1\n{body}END1\n",
        f"#1=0\nN5 IF [#1 EQ {times}] GOTO 6\n{body}#1=#1+1\nGOTO 5\nN6\n",
    ]
    if times:
        ways_to_repeat += [
            f"M98 P77 L{times}\nM30\nO77\n{body}M99\n",
            f"G65 P77 L{times}\nM30\nO77\n{body}M99\n",
            f"M98 Q5 L{times}\nM30\nN5\n{body}M99\n",
        ]
    for text in ways_to_repeat:
        found = trace(BEGIN + text)
        assert codes(found) == codes(plain)
        assert ways(found.motions) == ways(plain.motions)


@settings(max_examples=40)
@given(st.lists(st.decimals(-40, 40, places=3), min_size=1, max_size=5))
def test_a_value_by_way_of_a_variable_is_the_value(values: list[object]) -> None:
    plain = "".join(f"G01 X[{v}] Z{v} F0.1\n" for v in values)
    by_variable = "".join(f"#1={v}\nG01 X#1 Z[#1*1] F0.1\n" for v in values)
    assert ways(trace(BEGIN + by_variable).motions) == ways(trace(BEGIN + plain).motions)
