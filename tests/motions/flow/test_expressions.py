"""Expressions against values worked by hand and identities of trigonometry and logarithms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.motions.flow.expression import read_expression, value_of
from standclear.motions.flow.numbers import EMPTY, FlowFault, NoTies, Sure, Value, written
from standclear.motions.flow.variables import Variables


class Taken:
    """Ties all taken one way; counts them."""

    def __init__(self, equal: bool) -> None:
        self.equal, self.count = equal, 0

    def are_equal(self, a: float, b: float) -> bool:
        self.count += 1
        return self.equal


def _variables(**values: float) -> Variables:
    variables = Variables(lambda _: EMPTY)
    for name, value in values.items():
        variables.write(int(name[1:]), written(value))
    return variables


def _value(text: str, ties: Taken | NoTies | None = None, **values: float) -> float | None:
    expression, end = read_expression(text)
    assert not text[end:].strip()
    return value_of(expression, _variables(**values), ties or NoTies()).number


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1+2*3", 7),
        ("[1+2]*3", 9),
        ("10-4-3", 3),
        ("64/4/2", 8),
        ("7MOD4", 3),
        ("2 * 7 MOD 4", 2),
        ("-2.5+1", -1.5),
        ("2*-3", -6),
        ("-[1+2]*2", -6),
        (".5", 0.5),
        ("5.", 5),
        ("1 EQ 1", 1),
        ("1+1 GT 2", 0),
        ("[1 EQ 1] AND [2 EQ 3]", 0),
        ("[1 EQ 1] OR [2 EQ 3]", 1),
        ("[1 NE 1] XOR [2 NE 3]", 1),
        ("6 AND 3", 2),
        ("6 OR 3", 7),
        ("6 XOR 3", 5),
        ("ABS[-4.25]", 4.25),
        ("round[2.4]", 2),
        ("ROUND[2.5]", 3),
        ("ROUND[-2.4]", -2),
        ("FIX[2.75]", 2),
        ("FIX[-2.75]", -2),
        ("FUP[2.25]", 3),
        ("FUP[-2.25]", -3),
        ("FUP[4]", 4),
    ],
)
def test_values_worked_by_hand(text: str, expected: float) -> None:
    assert _value(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # Angles whose functions are known in closed form.
        ("SIN[30]", 0.5),
        ("COS[60]", 0.5),
        ("TAN[45]", 1.0),
        ("ASIN[0.5]", 30.0),
        ("ACOS[-0.5]", 120.0),
        ("ATAN[1]", 45.0),
        ("ATAN[-1]", -45.0),
        ("ATAN[1]/[1]", 45.0),
        ("ATAN[1]/[-1]", 135.0),
        ("ATAN[1]/[-1]/3", 45.0),
        ("ATAN[1]/3", 15.0),
        ("SQRT[2]*SQRT[2]", 2.0),
        ("LN[EXP[2.5]]", 2.5),
        ("EXP[1]", math.e),
    ],
)
def test_functions_in_degrees(text: str, expected: float) -> None:
    assert _value(text) == pytest.approx(expected, rel=1e-12)


def test_indirection() -> None:
    assert _value("##1", a1=2, a2=7.5) == 7.5
    assert _value("#[#1+1]", a1=2, a3=4) == 4
    assert _value("-#1", a1=2) == -2
    assert _value("###1", a1=2, a2=3, a3=9) == 9


def test_what_empty_means() -> None:
    assert _value("#0") is None
    assert _value("#5") is None
    assert _value("-#5") is None
    assert _value("#5+0") == 0
    assert _value("2*#5") == 0
    # EQ and NE tell empty from 0, the others do not (common practice, no source).
    assert [_value(f"#5 {op} #0") for op in ("EQ", "NE", "GE", "LE", "GT", "LT")] == [
        1, 0, 1, 1, 0, 0,
    ]  # fmt: skip
    assert [_value(f"#5 {op} 0") for op in ("EQ", "NE", "GE", "LE", "GT", "LT")] == [
        0, 1, 1, 1, 0, 0,
    ]  # fmt: skip
    assert _value("0 EQ #0") == 0


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1/0", "division by zero"),
        ("1/#5", "division by zero"),
        ("7MOD0", "division by zero"),
        ("-7MOD4", "differs"),
        ("ROUND[-2.5]", "differs"),
        ("ASIN[-0.5]", "differs"),
        ("ATAN[-1]/[1]", "differs"),
        ("ATAN[0]/[0]", "no value"),
        ("TAN[90]", "no value"),
        ("SQRT[-1]", "negative"),
        ("LN[0]", "no value"),
        ("ACOS[1.5]", "no value"),
        ("EXP[101]", "larger"),
        ("#100", "neither by the program nor by the job"),
        ("#50", "no variable"),
        ("#[1.5]", "whole number"),
        ("#[#5]", "empty"),
        ("[#5]", "empty"),
        ("#-1", "a value is missing"),
        ("SIN 30", "brackets"),
        ("1+", "a value is missing"),
        ("[1", "not closed"),
        ("1 EQ 1 AND 1", "brackets"),
        ("1 AND 1 OR 1", "brackets"),
        ("1+1 AND 1", "brackets"),
        ("1 EQ 1 EQ 1", "two comparisons"),
        ("1.5 AND 1", "whole number"),
        ("1234567890123456789", "digits"),
    ],
)
def test_what_is_not_followed_says_why(text: str, says: str) -> None:
    with pytest.raises(FlowFault, match=says):
        _value(text)


@pytest.mark.parametrize("text", ["[" * 10_000 + "1" + "]" * 10_000, "-" * 10_000 + "1"])
def test_ten_thousand_brackets_are_no_trouble(text: str) -> None:
    assert _value(text) == 1


def test_a_comparison_that_rounding_decides_is_not_answered_by_the_last_digit() -> None:
    # Ten times a tenth is one in decimal numbers, and not in sums of binary ones.
    text = "0.1+0.1+0.1+0.1+0.1+0.1+0.1+0.1+0.1+0.1"
    for op, if_equal in [("EQ", 1), ("NE", 0), ("GE", 1), ("LE", 1), ("GT", 0), ("LT", 0)]:
        assert _value(f"{text} {op} 1", Taken(True)) == if_equal
        assert _value(f"{text} {op} 1", Taken(False)) == 1 - if_equal
    assert _value("FIX[0.6/0.2]", Taken(True)) == 3
    assert _value("FIX[0.6/0.2]", Taken(False)) == 2
    assert _value("FUP[0.6/0.2]", Taken(False)) == 4
    assert _value("ROUND[0.1*25]", Taken(True)) == 3
    assert _value("ROUND[0.1*25]", Taken(False)) == 2
    assert _value("FIX[-0.1/0.1]", Taken(False)) == 0


@pytest.mark.parametrize("text", ["0.5*4 EQ 2", "FIX[7.5/2.5]", "20-0.25*80 EQ 0", "0.3 EQ 0.3"])
def test_what_every_control_holds_alike_is_no_tie(text: str) -> None:
    taken = Taken(True)
    _value(text, taken)
    assert taken.count == 0


def test_a_tie_of_two_written_numbers_is_none_and_of_computed_ones_is() -> None:
    same = Value(0.3, Sure.WRITTEN)
    assert written(0.3) == same
    taken = Taken(True)
    _value("#1*1 EQ 0.3", taken, a1=0.3)
    assert taken.count == 1


@given(st.text(alphabet="0123456789.+-*/#[] ADEFGILMNOPQRSTUX", max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        expression, end = read_expression(text)
        value_of(expression, _variables(a1=1.0), Taken(True))
    except FlowFault:
        return
    assert 0 < end <= len(text)


@given(st.lists(st.tuples(st.sampled_from("+-*"), st.integers(0, 50)), max_size=6))
def test_arithmetic_agrees_with_that_of_the_language_itself(parts: list[tuple[str, int]]) -> None:
    text = "7" + "".join(f"{op}{number}" for op, number in parts)
    assert _value(text) == eval(text)
