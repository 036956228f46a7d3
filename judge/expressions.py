"""Variables and expressions of a program, as the judge reckons them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from judge.motion import Undecided

Value = float | None
"""None: a variable that was never given a value."""

_TOKEN = re.compile(
    r"\d+\.?\d*|\.\d+|MOD|AND|OR|XOR|EQ|NE|GT|GE|LT|LE|[A-Z]+|[-+*/#\[\]]"
)  # fmt: skip

_FUNCTIONS: dict[str, Callable[[float], float]] = {
    "SIN": lambda v: math.sin(math.radians(v)),
    "COS": lambda v: math.cos(math.radians(v)),
    "TAN": lambda v: math.tan(math.radians(v)),
    "ASIN": lambda v: math.degrees(math.asin(v)),
    "ACOS": lambda v: math.degrees(math.acos(v)),
    "SQRT": math.sqrt,
    "ABS": abs,
    "ROUND": lambda v: math.copysign(math.floor(abs(v) + 0.5), v),
    "FIX": math.trunc,
    "FUP": lambda v: math.copysign(math.ceil(abs(v)), v),
    "LN": math.log,
    "EXP": math.exp,
}

_TESTS: dict[str, Callable[[float, float], bool]] = {
    "EQ": lambda a, b: a == b,
    "NE": lambda a, b: a != b,
    "GT": lambda a, b: a > b,
    "GE": lambda a, b: a >= b,
    "LT": lambda a, b: a < b,
    "LE": lambda a, b: a <= b,
}


class _Reader:
    """Reads one expression from left to right, looser operators further out."""

    def __init__(self, text: str, variables: Callable[[int], Value]) -> None:
        self.tokens = _TOKEN.findall(text)
        if "".join(self.tokens) != text:
            raise Undecided(f"expression {text!r}")
        self.text = text
        self.variables = variables
        self.at = 0

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        token = self.peek()
        self.at += 1
        return token

    def test(self) -> Value:
        left = self.sum()
        while self.peek() in _TESTS:
            word = self.take()
            right = self.sum()
            if word in ("EQ", "NE") and (left is None or right is None):
                same = left is None and right is None
                left = float(same == (word == "EQ"))
            else:
                left = float(_TESTS[word](left or 0.0, right or 0.0))
        return left

    def sum(self) -> Value:
        left = self.product()
        while self.peek() in ("+", "-", "OR", "XOR"):
            word = self.take()
            a, b = left or 0.0, self.product() or 0.0
            if word in ("+", "-"):
                left = a + b if word == "+" else a - b
            else:
                left = float(int(a) | int(b) if word == "OR" else int(a) ^ int(b))
        return left

    def product(self) -> Value:
        left = self.factor()
        while self.peek() in ("*", "/", "MOD", "AND"):
            word = self.take()
            a, b = left or 0.0, self.factor() or 0.0
            if word in ("/", "MOD") and b == 0:
                raise Undecided(f"division by nothing in {self.text!r}")
            if word == "*":
                left = a * b
            elif word == "/":
                left = a / b
            else:
                left = math.fmod(a, b) if word == "MOD" else float(int(a) & int(b))
        return left

    def factor(self) -> Value:
        token = self.take()
        if token in ("-", "+"):
            value = self.factor() or 0.0
            return -value if token == "-" else value
        if token == "#":
            place = self.factor()
            if place is None:
                raise Undecided(f"variable without number in {self.text!r}")
            return self.variables(round(place))
        if token == "[":
            value_in = self.test()
            if self.take() != "]":
                raise Undecided(f"expression {self.text!r}")
            return value_in
        if token == "ATAN":
            rise = self.factor() or 0.0
            if self.peek() != "/":
                return math.degrees(math.atan(rise))
            self.take()
            return math.degrees(math.atan2(rise, self.factor() or 0.0)) % 360.0
        if token in _FUNCTIONS:
            try:
                return float(_FUNCTIONS[token](self.factor() or 0.0))
            except ValueError:
                raise Undecided(f"no value for {self.text!r}") from None
        if re.fullmatch(r"\d+\.?\d*|\.\d+", token):
            return float(token)
        raise Undecided(f"expression {self.text!r}")


def evaluate(text: str, variables: Callable[[int], Value]) -> Value:
    """The value of an expression without blanks; 1 and 0 for a test that holds or does not."""
    reader = _Reader(text, variables)
    value = reader.test()
    if reader.peek():
        raise Undecided(f"expression {text!r}")
    return value
