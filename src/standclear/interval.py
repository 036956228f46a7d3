"""Interval arithmetic: a value known only to lie between two bounds."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Interval:
    """Every value from `lo` to `hi`, both included.

    Sums and differences hold every sum and difference of members. They know nothing of
    correlation: `x - x` is wider than 0, so a formula must name each uncertain value once to be
    tight. Bounds are plain floats, true to the rounding of float arithmetic.
    Raises ValueError when `lo` is above `hi` or a bound is not a number.
    """

    lo: float
    hi: float

    def __post_init__(self) -> None:
        if not self.lo <= self.hi:
            raise ValueError(f"an interval from {self.lo} to {self.hi} holds nothing")

    @classmethod
    def about(cls, value: float, error: float) -> Interval:
        """`value` plus or minus `error`."""
        return cls(value - error, value + error)

    @classmethod
    def toleranced(cls, size: float, tolerance: tuple[float, float]) -> Interval:
        """`size` with its lower and upper deviation."""
        return cls(size + tolerance[0], size + tolerance[1])

    def __add__(self, other: Interval | float) -> Interval:
        if isinstance(other, Interval):
            return Interval(self.lo + other.lo, self.hi + other.hi)
        return Interval(self.lo + other, self.hi + other)

    __radd__ = __add__

    def __neg__(self) -> Interval:
        return Interval(-self.hi, -self.lo)

    def __sub__(self, other: Interval | float) -> Interval:
        return self + -other

    def __rsub__(self, other: float) -> Interval:
        return -self + other

    def __mul__(self, factor: float) -> Interval:
        ends = self.lo * factor, self.hi * factor
        return Interval(min(ends), max(ends))

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Interval:
        ends = self.lo / divisor, self.hi / divisor
        return Interval(min(ends), max(ends))

    def __contains__(self, value: float) -> bool:
        return self.lo <= value <= self.hi

    @property
    def middle(self) -> float:
        """Half way between the bounds."""
        return (self.lo + self.hi) / 2

    @property
    def width(self) -> float:
        """Distance between the bounds; 0 for a value known exactly."""
        return self.hi - self.lo
