"""Expressions: text to a list of small steps, and the steps to a value.

Reading and computing both keep a stack of their own, so that brackets may be nested as deep as a
line is long.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Protocol

from standclear.motions.flow.functions import (
    ARITHMETIC,
    COMPARISONS,
    FUNCTIONS,
    LOGIC,
    PLAIN,
    arc_tangent_of,
    compare,
    to_whole,
)
from standclear.motions.flow.numbers import FlowFault, Ties, Value, whole, written

BLANKS = " \t\v\f\x00\x7f"
_NAMES = sorted((*FUNCTIONS, *COMPARISONS, *LOGIC, "MOD"), key=len, reverse=True)
_TOKEN = re.compile(
    rf"[{BLANKS}]*(?:(?P<number>\d+\.?\d*|\.\d+)"
    rf"|(?P<sign>[#\[\]+\-*/])|(?P<name>{'|'.join(_NAMES)}))",
    re.ASCII | re.IGNORECASE,
)
_SECOND_ARGUMENT = re.compile(rf"[{BLANKS}]*/[{BLANKS}]*(?=\[)")
_LONGEST_NUMBER = 18
_NEGATIVE, _VARIABLE, _ATAN_OF_TWO = "negative", "#", "ATAN of two"
_PREFIXES = frozenset({_VARIABLE, _ATAN_OF_TWO, *FUNCTIONS})
_STRENGTH = {
    **dict.fromkeys(COMPARISONS, 1),
    **dict.fromkeys(("+", "-", "OR", "XOR"), 2),
    **dict.fromkeys(("*", "/", "MOD", "AND"), 3),
    _NEGATIVE: 4,
}
Step = Value | int | str


class Reader(Protocol):
    """Gives the values of variables."""

    def read(self, number: int) -> Value:
        """The value; raises FlowFault where it is not known."""


@dataclass(frozen=True, slots=True)
class Expression:
    """An expression in postfix order: values, numbers of variables, names of operations."""

    steps: tuple[Step, ...]
    is_variable: bool
    """A variable alone, whatever its sign: only so does an empty value stay empty."""
    is_single: bool
    """A number, a variable or one bracket: no operation stands outside brackets."""


@dataclass
class _Level:
    """What is open inside one bracket."""

    waiting: list[str] = field(default_factory=list)
    """Operations whose operands are not complete."""
    logic: str = ""
    compares: bool = False
    computes: bool = False

    @property
    def top(self) -> str:
        return self.waiting[-1] if self.waiting else ""

    def admit(self, name: str) -> None:
        """Raises FlowFault for an order of operations in which controls differ."""
        others = self.compares or self.computes
        if (self.logic and name != self.logic) or (name in LOGIC and others):
            raise FlowFault(f"{name} beside another operation needs brackets to be clear")
        if name in LOGIC:
            self.logic = name
        elif name not in COMPARISONS:
            self.computes = True
        elif self.compares:
            raise FlowFault("two comparisons stand in one bracket")
        else:
            self.compares = True


@dataclass
class _Reading:
    """One expression being read."""

    text: str
    at: int
    out: list[Step] = field(default_factory=list)
    levels: list[_Level] = field(default_factory=lambda: [_Level()])
    first: str = ""
    """The first sign that is no plus or minus."""

    def token(self) -> tuple[str, str]:
        """Number and sign or name at `at`, either empty; `at` moves behind it."""
        match = _TOKEN.match(self.text, self.at)
        if match is None:
            return "", ""
        self.at = match.end()
        number, sign, name = match.groups()
        return number or "", sign or (name or "").upper()


def read_expression(text: str, at: int = 0) -> tuple[Expression, int]:
    """The expression that begins at `at`, and where it ends: before the first sign that cannot
    belong to it. Raises FlowFault where none can be read."""
    reading = _Reading(text, at)
    while True:
        _read_operand(reading)
        if not _read_operator(reading):
            break
    if len(reading.levels) > 1:
        raise FlowFault("a bracket is not closed")
    base = reading.levels[0]
    alone = not (base.compares or base.computes or base.logic)
    return Expression(tuple(reading.out), alone and reading.first == "#", alone), reading.at


def _read_operand(reading: _Reading) -> None:
    """Reads signs, functions and brackets up to and with the value that they wait for."""
    while True:
        begin, level = reading.at, reading.levels[-1]
        number, sign = reading.token()
        after_hash = level.top == _VARIABLE
        if not number and sign in ("+", "-") and not after_hash:
            if sign == "-":
                level.waiting.append(_NEGATIVE)
            continue
        reading.first = reading.first or number or sign
        if number:
            _take_number(reading, number)
            return
        if sign == "[":
            reading.levels.append(_Level())
        elif sign == "#":
            level.waiting.append(_VARIABLE)
        elif sign in FUNCTIONS and not after_hash:
            level.waiting.append(sign)
            if not reading.text[reading.at :].lstrip(BLANKS).startswith("["):
                raise FlowFault(f"{sign} needs its value in brackets")
        else:
            raise FlowFault(f"a value is missing at {_shown(reading.text, begin)}")


def _take_number(reading: _Reading, digits: str) -> None:
    if len(digits) > _LONGEST_NUMBER:
        raise FlowFault(f"a number of more than {_LONGEST_NUMBER} digits")
    value, waiting = written(float(digits)), reading.levels[-1].waiting
    if waiting and waiting[-1] == _VARIABLE:
        waiting.pop()
        reading.out.append(whole(value, "the number of a variable"))
    else:
        reading.out.append(value)
    _complete(reading)


def _complete(reading: _Reading) -> None:
    """A value is complete: whatever stands right before it takes it."""
    waiting = reading.levels[-1].waiting
    while waiting and waiting[-1] in _PREFIXES:
        name = waiting.pop()
        if name == "ATAN" and (match := _SECOND_ARGUMENT.match(reading.text, reading.at)):
            reading.at = match.end()
            waiting.append(_ATAN_OF_TWO)
            # The second argument is a value of its own, to be taken together with the first.
            _read_operand(reading)
            return
        reading.out.append(name)


def _read_operator(reading: _Reading) -> bool:
    """Reads closing brackets and one operation of two values; False where the expression ends."""
    while True:
        begin, level = reading.at, reading.levels[-1]
        _, sign = reading.token()
        if sign == "]" and len(reading.levels) > 1:
            reading.out.extend(reversed(level.waiting))
            reading.levels.pop()
            _complete(reading)
            continue
        if sign not in ARITHMETIC and sign not in COMPARISONS:
            reading.at = begin
            if len(reading.levels) == 1:
                reading.out.extend(reversed(level.waiting))
            return False
        level.admit(sign)
        while level.waiting and _STRENGTH[level.top] >= _STRENGTH[sign]:
            reading.out.append(level.waiting.pop())
        level.waiting.append(sign)
        return True


def _shown(text: str, at: int) -> str:
    rest = text[at:].strip(BLANKS)
    return rest[:20] if rest else "the end"


def value_of(
    expression: Expression, variables: Reader, ties: Ties, *, in_word: bool = False
) -> Value:
    """Computes an expression. Raises FlowFault where a control would stop, or might differ.

    `in_word`: it stands in a word such as `X[...]`, where ROUND may mean the least increment.
    """
    stack: list[Value] = []
    for step in expression.steps:
        if isinstance(step, Value):
            stack.append(step)
        elif isinstance(step, int):
            stack.append(variables.read(step))
        elif step in ARITHMETIC:
            b = stack.pop()
            stack[-1] = ARITHMETIC[step](stack[-1], b)
        elif step in COMPARISONS:
            b = stack.pop()
            stack[-1] = compare(step, stack[-1], b, ties)
        elif step == _NEGATIVE:
            if stack[-1].number is not None:
                stack[-1] = Value(-stack[-1].number, stack[-1].sure)
        elif step == _VARIABLE:
            stack[-1] = variables.read(whole(stack[-1], "the number of a variable"))
        elif step == _ATAN_OF_TWO:
            b = stack.pop()
            stack[-1] = arc_tangent_of(stack[-1], b)
        elif step in PLAIN:
            stack[-1] = PLAIN[step](stack[-1])
        elif in_word and step == "ROUND" and not stack[-1].or_zero.is_integer():
            raise FlowFault("ROUND in a word rounds to the increment or to whole units")
        else:
            stack[-1] = to_whole(step, stack[-1], ties)
    (value,) = stack
    if value.number is None and not expression.is_variable:
        raise FlowFault("a variable that is empty stands alone in brackets")
    return value
