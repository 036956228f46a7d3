"""Functions and operators of expressions; angles in degrees.

Meanings are common practice, no source; where controls differ, a FlowFault says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from standclear.motions.flow.numbers import (
    FALSE,
    NEAR,
    TRUE,
    FlowFault,
    Sure,
    Ties,
    Value,
    is_tie,
    result,
    whole,
)


def _sine(a: Value) -> Value:
    return _rounded(math.sin(math.radians(a.or_zero)))


def _cosine(a: Value) -> Value:
    return _rounded(math.cos(math.radians(a.or_zero)))


def _tangent(a: Value) -> Value:
    angle = math.radians(a.or_zero)
    if abs(math.cos(angle)) < NEAR:
        raise FlowFault(f"TAN of {a.or_zero:g} degrees has no value")
    return _rounded(math.tan(angle))


def _arc_sine(a: Value) -> Value:
    if a.or_zero < 0:
        raise FlowFault("ASIN of a negative number differs between controls by a turn")
    return _rounded(math.degrees(math.asin(_ratio(a, "ASIN"))))


def _arc_cosine(a: Value) -> Value:
    return _rounded(math.degrees(math.acos(_ratio(a, "ACOS"))))


def _ratio(a: Value, name: str) -> float:
    number = a.or_zero
    if abs(number) > 1.0 + NEAR:
        raise FlowFault(f"{name} of {number:g} has no value")
    return max(-1.0, min(1.0, number))


def _arc_tangent(a: Value) -> Value:
    return _rounded(math.degrees(math.atan(a.or_zero)))


def arc_tangent_of(a: Value, b: Value) -> Value:
    """ATAN[a]/[b], degrees from 0 to 180. Raises FlowFault for a negative `a`."""
    if a.or_zero < 0:
        raise FlowFault("ATAN[a]/[b] of a negative a differs between controls by a turn")
    if a.or_zero == b.or_zero == 0:
        raise FlowFault("ATAN[0]/[0] has no value")
    return _rounded(math.degrees(math.atan2(a.or_zero, b.or_zero)))


def _root(a: Value) -> Value:
    if a.or_zero < 0:
        raise FlowFault(f"SQRT of {a.or_zero:g}: a root of a negative number")
    return _rounded(math.sqrt(a.or_zero))


def _logarithm(a: Value) -> Value:
    if a.or_zero <= 0:
        raise FlowFault(f"LN of {a.or_zero:g} has no value")
    return _rounded(math.log(a.or_zero))


def _exponential(a: Value) -> Value:
    if a.or_zero > 100:
        raise FlowFault("a result is larger than any control holds")
    return _rounded(math.exp(a.or_zero))


def _magnitude(a: Value) -> Value:
    return Value(abs(a.or_zero), a.sure)


def _rounded(number: float) -> Value:
    """A result that always passed through rounding."""
    return result(number, Value(0.0, Sure.COMPUTED))


PLAIN: dict[str, Callable[[Value], Value]] = {
    "SIN": _sine,
    "COS": _cosine,
    "TAN": _tangent,
    "ASIN": _arc_sine,
    "ACOS": _arc_cosine,
    "ATAN": _arc_tangent,
    "SQRT": _root,
    "ABS": _magnitude,
    "LN": _logarithm,
    "EXP": _exponential,
}
TO_WHOLE = ("ROUND", "FIX", "FUP")
FUNCTIONS = (*PLAIN, *TO_WHOLE)


def to_whole(name: str, a: Value, ties: Ties) -> Value:
    """ROUND to the nearest whole number, FIX towards 0, FUP away from 0.

    Where rounding in the digits before could move the answer by one, `ties` decides. Raises
    FlowFault for ROUND of a negative number halfway between two.
    """
    number = abs(a.or_zero)
    sign = -1.0 if a.or_zero < 0 else 1.0
    edge = math.floor(number) + 0.5 if name == "ROUND" else float(round(number))
    if a.sure == Sure.COMPUTED and abs(number - edge) <= NEAR * max(1.0, number):
        # On the edge: as if rounding had left it there, or had moved it to the side that counts.
        equal = ties.are_equal(number, edge)
        if name == "ROUND":
            return Value(sign * (edge + 0.5 if equal else edge - 0.5))
        step = {"FIX": -1.0, "FUP": 1.0}[name]
        return Value(sign * max(0.0, edge if equal else edge + step))
    if name == "FIX":
        return Value(sign * math.floor(number))
    if name == "FUP":
        return Value(sign * math.ceil(number))
    if sign < 0 and number == edge:
        raise FlowFault(f"ROUND of {a.or_zero:g} differs between controls")
    return Value(sign * math.floor(number + 0.5))


def _divide(a: Value, b: Value) -> Value:
    if b.or_zero == 0:
        raise FlowFault("a division by zero")
    return result(a.or_zero / b.or_zero, a, b)


def _remainder(a: Value, b: Value) -> Value:
    x, y = whole(Value(a.or_zero, a.sure), "MOD of"), whole(Value(b.or_zero, b.sure), "MOD by")
    if y == 0:
        raise FlowFault("a division by zero")
    if x < 0 or y < 0:
        raise FlowFault("MOD of a negative number differs between controls")
    return Value(float(x % y))


def _bits(a: Value, b: Value) -> tuple[int, int]:
    x, y = whole(Value(a.or_zero, a.sure), "a value"), whole(Value(b.or_zero, b.sure), "a value")
    if not (0 <= x < 2**31 and 0 <= y < 2**31):
        raise FlowFault("AND, OR, XOR of a number that is negative or very large")
    return x, y


def _and(a: Value, b: Value) -> Value:
    x, y = _bits(a, b)
    return Value(float(x & y))


def _or(a: Value, b: Value) -> Value:
    x, y = _bits(a, b)
    return Value(float(x | y))


def _xor(a: Value, b: Value) -> Value:
    x, y = _bits(a, b)
    return Value(float(x ^ y))


ARITHMETIC: dict[str, Callable[[Value, Value], Value]] = {
    "+": lambda a, b: result(a.or_zero + b.or_zero, a, b),
    "-": lambda a, b: result(a.or_zero - b.or_zero, a, b),
    "*": lambda a, b: result(a.or_zero * b.or_zero, a, b),
    "/": _divide,
    "MOD": _remainder,
    "AND": _and,
    "OR": _or,
    "XOR": _xor,
}
LOGIC = frozenset({"AND", "OR", "XOR"})
COMPARISONS = frozenset({"EQ", "NE", "GT", "GE", "LT", "LE"})


def compare(name: str, a: Value, b: Value, ties: Ties) -> Value:
    """1 where the comparison holds, else 0.

    EQ and NE tell the empty value from 0; the others take it as 0. `ties` decides where rounding
    alone would: as equal, or as the other answer.
    """
    if name in ("EQ", "NE") and (a.number is None or b.number is None):
        same = a.number is b.number
        return TRUE if same == (name == "EQ") else FALSE
    x, y = a.or_zero, b.or_zero
    if is_tie(a, b):
        holds_if_equal = name in ("EQ", "GE", "LE")
        return TRUE if ties.are_equal(x, y) == holds_if_equal else FALSE
    holds = {
        "EQ": x == y,
        "NE": x != y,
        "GT": x > y,
        "GE": x >= y,
        "LT": x < y,
        "LE": x <= y,
    }[name]
    return TRUE if holds else FALSE
