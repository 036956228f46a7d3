"""A guessed value with what it was guessed from, and lengths in the unit of the job."""

from __future__ import annotations

from dataclasses import dataclass

MM_PER_INCH = 25.4
"""Exact by definition (ISO 80000-3)."""


@dataclass(frozen=True, slots=True)
class Guess:
    """A value of the job file nobody has confirmed, and the reason for it, a sentence's part."""

    value: float | str | bool
    because: str


@dataclass(frozen=True, slots=True)
class Unit:
    """The unit of the job file. Values inside are millimetres."""

    name: str

    @property
    def inch(self) -> bool:
        """True for a job in inches."""
        return self.name == "inch"

    def out(self, mm: float) -> float:
        """Millimetres as a number of the file: 0.001 mm or 0.0001 in fine."""
        return round(mm / MM_PER_INCH, 4) + 0.0 if self.inch else round(mm, 3) + 0.0

    def mm(self, value: float) -> float:
        """A number of the file in millimetres."""
        return value * MM_PER_INCH if self.inch else value

    def either(self, in_mm: float, in_inch: float) -> float:
        """One of two values that the trade has for the two units, in millimetres."""
        return in_inch * MM_PER_INCH if self.inch else in_mm

    def said(self, mm: float) -> str:
        """A length as a reason quotes it: `48.5`."""
        return f"{self.out(mm):g}"
