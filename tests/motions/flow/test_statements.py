"""Statements: what each form is read as, and what is refused."""

from __future__ import annotations

import pytest

from standclear.motions.flow.numbers import FlowFault
from standclear.motions.flow.statement import Assign, Do, End, If, Jump, read_statements


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("#1=5", [Assign]),
        ("#1=5 #2=[#1+3]#3=#2", [Assign, Assign, Assign]),
        ("##1=3", [Assign]),
        ("#[#1+1] = 2", [Assign]),
        ("if[#1eq1]goto10", [If]),
        ("IF [#1 EQ 1] THEN #3=4", [If]),
        ("IF [#1 EQ 1] THEN GOTO 5", [If]),
        ("WHILE[#1LT5]DO1", [Do]),
        ("DO 2", [Do]),
        ("END3", [End]),
        ("GOTO#1", [Jump]),
        ("GOTO [#1+5]", [Jump]),
        ("#1=1 GOTO 5", [Assign, Jump]),
        ("", []),
    ],
)
def test_forms(text: str, kinds: list[type]) -> None:
    assert [type(each) for each in read_statements(text)] == kinds


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("#1", "an assignment"),
        ("#1+2=5", "an assignment"),
        ("#1=", "missing"),
        ("END4", "from 1 to 3"),
        ("DO", "from 1 to 3"),
        ("IF #1 EQ 2 GOTO 3", "brackets"),
        ("IF [#1 EQ 2] G01", "IF is followed"),
        ("IF [#1 EQ 2] THEN #1=1 #2=2", "more stands"),
        ("ELSE #1=1", "not understood"),
        ("WHILE [#1 EQ 2]", "without DO"),
        ("#1=2 G01", "not understood"),
        ("GOTO 10 #2=3", "more stands"),
        ("#1=1 DO1", "blocks of their own"),
    ],
)
def test_what_is_refused_says_why(text: str, says: str) -> None:
    with pytest.raises(FlowFault, match=says):
        read_statements(text)
