"""Random programs of real words in every order: followed or reported, never a traceback.

The words are those of the language, so that they get past the reading and into cycles, threads,
compensation, calls and jumps; numbers are small, odd, huge or missing.
"""

from __future__ import annotations

import pytest
from fuzz import targets
from hypothesis import given, settings
from hypothesis import strategies as st

G_NUMBERS = (
    "00 01 02 03 04 9 10 17 18 20 21 28 30 31 32 33 34 40 41 42 50 52 53 54 54.1 55 65 66 67 "
    "68 70 71 72 73 74 75 76 77 78 79 80 83 84 85 90 91 92 94 95 96 97 98 99 12.1"
)
M_NUMBERS = "00 01 02 03 04 05 08 09 19 30 98 99"
NUMBERS = (
    "0 0. 1 1. -1. 2.5 -2.5 10 100 200 50. 60. -20. .5 0.1 99999 1e5 -0 20000. 001 10.0005 "
    "#1 #100 #0 #[1+1] [1/0] [SQRT[-1]] [2*3.5] -#1 [[[1]]] [#1 [ ] + . -"
)
STATEMENTS = (
    "#1=1",
    "#100=#1+1",
    "#1=#1-1.5",
    "#2=[SIN[30]*2]",
    "#5001=1",
    "#1=#5002",
    "#3000=1",
    "IF [#1 GT 0] GOTO 10",
    "IF [#1 EQ #0] THEN #1=5",
    "IF [1 EQ 1] GOTO 20",
    "GOTO 10",
    "GOTO #1",
    "WHILE [#1 LT 3] DO 1",
    "WHILE [1 EQ 1] DO 2",
    "END 1",
    "END 2",
    "DO 1",
    "IF",
    "#=",
    "O0002",
    "%",
    "N10 G01 X40.",
    "N20 Z-10.",
    "M99",
    "M98 P2",
    "M98 P20002",
    "G65 P2 A1. B2.",
    "G66 P2 X1.",
    "T0101",
    "T0202",
    "T0",
    "T01 G00 X50.",
    "G71 U2. R1.",
    "G71 P10 Q20 U.4 W.1 F.3",
    "G73 U2. W1. R3",
    "G73 P10 Q20 U.4 W.1 F.3",
    "G76 P021060 Q100 R.05",
    "G76 X30. Z-20. P1000 Q300 F1.5",
    "G00 X60. Z5.",
    "G00 X0 Z5.",
    "G96 S180 M03",
    "G42 G01 X30. F.2",
    "G01 X40. ,R2.",
    "G01 Z-20. ,C1. F.2",
    ",A30. X50.",
    "/2 Z-5.",
    "Z-3.;G00 X9.",
    "(", ")", "G01 X40. (OPEN", "G28 U0 W0",
)  # fmt: skip

words = st.one_of(
    st.sampled_from([f"G{each}" for each in G_NUMBERS.split()]),
    st.sampled_from([f"M{each}" for each in M_NUMBERS.split()]),
    st.builds(
        str.__add__,
        st.sampled_from([*"XZUWIKRPQFSTDLABCEHJN", ",C", ",R", ",A"]),
        st.sampled_from(NUMBERS.split()),
    ),
)
blocks = st.one_of(
    st.sampled_from(STATEMENTS),
    st.lists(words, max_size=6).map(" ".join),
    st.text(max_size=12),
)
programs = st.lists(blocks, max_size=30).map(
    lambda lines: "\n".join(["G21", "T0101", "G97 S900 M03", *lines]).encode("utf-8")
)


@given(programs)
@settings(max_examples=400)
def test_any_order_of_words_is_followed_or_reported(data: bytes) -> None:
    targets.program(data)


@given(st.binary(max_size=400))
@settings(max_examples=100)
def test_any_bytes_are_followed_or_reported(data: bytes) -> None:
    targets.program(data)


@pytest.mark.parametrize("key", sorted(targets.TARGETS))
@given(st.text(max_size=300))
@settings(max_examples=50)
def test_any_text_is_answered(key: str, text: str) -> None:
    targets.TARGETS[key](text.encode("utf-8", "surrogatepass"))
