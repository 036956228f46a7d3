"""Statements: assignments, IF, WHILE, DO, END and GOTO, read once from their text."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from standclear.motions.flow.expression import BLANKS, Expression, read_expression
from standclear.motions.flow.numbers import FlowFault

_WORD = re.compile(rf"[{BLANKS}]*(GOTO|THEN|WHILE|DO|END|IF|ELSE|#)", re.ASCII | re.IGNORECASE)
_EQUALS = re.compile(rf"[{BLANKS}]*=")
_LOOP_NUMBER = re.compile(rf"[{BLANKS}]*([1-3])(?!\d)", re.ASCII)
_END = re.compile(rf"[{BLANKS};]*$")


@dataclass(frozen=True, slots=True)
class Assign:
    """`#i = value`; `variable` gives the number i."""

    variable: Expression
    value: Expression


@dataclass(frozen=True, slots=True)
class Jump:
    """`GOTO label`."""

    label: Expression


@dataclass(frozen=True, slots=True)
class If:
    """`IF [condition] GOTO n` or `IF [condition] THEN #i = value`."""

    condition: Expression
    then: Assign | Jump


@dataclass(frozen=True, slots=True)
class Do:
    """`WHILE [condition] DO m`; `condition` None for `DO m` alone."""

    condition: Expression | None
    number: int


@dataclass(frozen=True, slots=True)
class End:
    """`END m`."""

    number: int


Statement = Assign | Jump | If | Do | End


@lru_cache(maxsize=4096)
def read_statements(text: str) -> tuple[Statement, ...]:
    """The statements of one block, in order. Raises FlowFault where one is not understood."""
    found: list[Statement] = []
    at = 0
    while not _END.match(text, at):
        if found and not isinstance(found[-1], Assign):
            raise FlowFault(f"more stands behind the jump or the loop: {text[at:].strip()[:20]}")
        statement, at = _read(text, at)
        if found and isinstance(statement, Do | End):
            raise FlowFault("DO and END stand in blocks of their own")
        found.append(statement)
    return tuple(found)


def _read(text: str, at: int) -> tuple[Statement, int]:
    word, behind = _word(text, at)
    if word == "#":
        return _read_assignment(text, at)
    if word == "GOTO":
        label, behind = read_expression(text, behind)
        return Jump(label), behind
    if word == "IF":
        return _read_if(text, behind)
    if word == "WHILE":
        condition, behind = _condition(text, behind)
        word, behind = _word(text, behind)
        if word != "DO":
            raise FlowFault("WHILE without DO")
        number, behind = _loop_number(text, behind)
        return Do(condition, number), behind
    if word in ("DO", "END"):
        number, behind = _loop_number(text, behind)
        return (Do(None, number) if word == "DO" else End(number)), behind
    raise FlowFault(f"{word or text[at:].strip()[:20]} is not understood here")


def _read_if(text: str, at: int) -> tuple[If, int]:
    condition, at = _condition(text, at)
    word, behind = _word(text, at)
    if word == "THEN":
        at = behind
        word, _ = _word(text, at)
    if word not in ("#", "GOTO"):
        raise FlowFault("IF is followed with GOTO and with THEN and an assignment only")
    then, at = _read(text, at)
    assert isinstance(then, Assign | Jump)
    return If(condition, then), at


def _read_assignment(text: str, at: int) -> tuple[Assign, int]:
    behind = _WORD.match(text, at)
    assert behind is not None
    # What follows the first # is the number: itself a variable, an expression, or digits.
    variable, end = read_expression(text, behind.end())
    equals = _EQUALS.match(text, end)
    if equals is None or not variable.is_single:
        raise FlowFault("an assignment is one variable, = and a value")
    value, end = read_expression(text, equals.end())
    return Assign(variable, value), end


def _condition(text: str, at: int) -> tuple[Expression, int]:
    if not text[at:].lstrip(BLANKS).startswith("["):
        raise FlowFault("a condition stands without its brackets")
    return read_expression(text, at)


def _loop_number(text: str, at: int) -> tuple[int, int]:
    match = _LOOP_NUMBER.match(text, at)
    if match is None:
        raise FlowFault("DO and END take a number from 1 to 3")
    return int(match.group(1)), match.end()


def _word(text: str, at: int) -> tuple[str, int]:
    match = _WORD.match(text, at)
    return (match.group(1).upper(), match.end()) if match else ("", at)
