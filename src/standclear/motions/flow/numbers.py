"""Values of variables: floating numbers that know whether rounding could have touched them.

Controls compute in floating or decimal numbers of their own width, so two of them may differ in the
last digits of a result. That never moves a tool by a micrometre, but it can decide a comparison or
a FIX. Binary floats are used here because the functions need them; each value therefore carries how
it came about, and a comparison that only rounding decides is put to `Ties` instead of being
answered by our own last digit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import IntEnum
from typing import Protocol

NEAR = 1e-7
"""Relative to the larger of 1 and the values: two values nearer than this are one but for rounding.
Controls hold about eight digits or more (common practice, no source)."""
GREATEST = 1e15
_FINEST = 1024.0
_GREATEST_SURE = 2.0**40


class FlowFault(ValueError):
    """Why an expression or a statement cannot be followed, as a clause for a finding."""


class Sure(IntEnum):
    """How a value came about."""

    EXACT = 0
    """A short binary fraction: the same on every control."""
    WRITTEN = 1
    """As a program or job writes it (0.3): the same wherever it is written."""
    COMPUTED = 2
    """Rounding had a part in it."""


@dataclass(frozen=True, slots=True)
class Value:
    """A value of a variable or an expression; `number` None is the empty one (`#0`)."""

    number: float | None
    sure: Sure = Sure.EXACT

    @property
    def or_zero(self) -> float:
        """The number; 0 where empty, as arithmetic takes it."""
        return 0.0 if self.number is None else self.number


EMPTY = Value(None)
TRUE, FALSE = Value(1.0), Value(0.0)


class Ties(Protocol):
    """Says how the control in hand takes two values that only rounding tells apart."""

    def are_equal(self, a: float, b: float) -> bool:
        """True: as equal."""


class NoTies:
    """Every tie is a fault."""

    def are_equal(self, a: float, b: float) -> bool:
        """Raises FlowFault."""
        raise FlowFault(f"only rounding decides between {a:g} and {b:g}")


def is_binary(number: float) -> bool:
    """True for a number that binary and decimal arithmetic hold alike."""
    return abs(number) < _GREATEST_SURE and (number * _FINEST).is_integer()


def written(number: float) -> Value:
    """A number as a program or a job states it."""
    return Value(number, Sure.EXACT if is_binary(number) else Sure.WRITTEN)


def result(number: float, *of: Value) -> Value:
    """What arithmetic makes `of` its operands. Raises FlowFault where no control could hold it."""
    if not math.isfinite(number) or abs(number) > GREATEST:
        raise FlowFault("a result is larger than any control holds")
    if is_binary(number) and all(each.sure == Sure.EXACT for each in of):
        return Value(number)
    return Value(number, Sure.COMPUTED)


def is_tie(a: Value, b: Value) -> bool:
    """True where rounding alone may decide whether two values are equal."""
    x, y = a.or_zero, b.or_zero
    if max(a.sure, b.sure) < Sure.COMPUTED:
        return False
    return abs(x - y) <= NEAR * max(1.0, abs(x), abs(y))


def whole(value: Value, what: str) -> int:
    """The value as a whole number: a label, the number of a variable, a count.

    Raises FlowFault where it is empty or has a part behind the point.
    """
    if value.number is None:
        raise FlowFault(f"{what} is an empty variable")
    nearest = round(value.number)
    if abs(value.number - nearest) > NEAR * max(1.0, abs(value.number)):
        raise FlowFault(f"{what} is {value.number:g}, which is not a whole number")
    return nearest
