"""State of the control while the judge runs a program, and how it reads numbers and places."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field

from judge.curve import centre_of
from judge.expressions import evaluate
from judge.jobfile import JobFile
from judge.motion import FAR, Arc, Leg, Point, Step, Thread, Undecided
from judge.rows import stated
from judge.words import Line

AXES = frozenset("XZUW")


@dataclass
class State:
    """Where everything stands, and the steps made so far.

    Places are counted along the machine's Z: a work offset whose value is not known lies at 0.
    """

    job: JobFile
    at: Point = (FAR, FAR)
    """As programmed."""
    station: int = -1
    spindle: int = 0
    mode: str = ""
    """The motion word in force; empty: rapid."""
    inch: bool = False
    incremental: bool = False
    side: int = 0
    """Nose compensation: 1 for G42, -1 for G41."""
    preset: Point = (0.0, 0.0)
    """Place of the zero set by G50."""
    local: Point = (0.0, 0.0)
    """Place of the zero set by G52, from the other one."""
    offset: str = "G54"
    """Work offset in force."""
    values: dict[str, float] = field(default_factory=dict)
    """Machine Z of each work offset that is known; the others count from 0."""
    first_values: dict[str, float] = field(default_factory=dict)
    """The first value that the program gave each offset."""
    shifts: dict[int, Point] = field(default_factory=dict)
    """By how much the program has moved each tool offset, (z, r)."""
    threaded: bool = False
    """The motion before was a thread pass."""
    modal: dict[str, float] = field(default_factory=dict)
    """What a single-pass cycle keeps from block to block."""
    kept: dict[str, float] = field(default_factory=dict)
    """What the cycles keep from call to call, mm."""
    returns: str = ""
    """`initial` or `r-level` once a word has said so."""
    locals_of: list[dict[int, float]] = field(default_factory=lambda: [{}])
    commons: dict[int, float] = field(default_factory=dict)
    steps: list[Step] = field(default_factory=list)
    stops: int = 0
    cuts: list[tuple[str, int]] = field(default_factory=list)
    """(mark, number of steps made before it): `label 10`, `stop 1`, `offset G55`."""
    used: Counter[str] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        self.inch = self.job.unit != 1.0
        self.commons = {int(name): float(value) for name, value in self.job.variables.items()}
        self.values = dict(self.job.offset_values)

    # --- numbers -----------------------------------------------------------------------------

    def value(self, text: str) -> float | None:
        """A word's number as it is, or what its variable or expression comes to."""
        if "#" in text or "[" in text:
            return evaluate(text, self.variable)
        return float(text)

    def variable(self, number: int) -> float | None:
        """What a variable holds; a local that was never set, and #0, are empty."""
        if number < 100:
            return self.locals_of[-1].get(number)
        if number in self.commons:
            return self.commons[number]
        return self.of_control(number)

    def of_control(self, number: int) -> float:
        """A variable that the control itself fills: #5001 and #5002, the end of the block before in
        X and Z."""
        at = {5001: self.at[1], 5002: self.at[0]}.get(number, FAR)
        if at == FAR or self.side != 0:
            raise Undecided(f"#{number}: nobody knows what it holds")
        self.used["#5001"] += 1
        diameter = self.job.control.get("x_words", "diameter") == "diameter"
        length = at - self.zero[0] if number == 5002 else (at - self.zero[1]) * (1 + diameter)
        return round(length / (25.4 if self.inch else 1.0), 6)

    def whole(self, text: str) -> int:
        """A count, a label or a number of a program."""
        value = self.value(text)
        if value is None or abs(value - round(value)) > 1e-6:
            raise Undecided(f"{text} is no whole number")
        return round(value)

    def assign(self, number: int, value: float | None) -> None:
        """Gives a variable its value; None empties it."""
        table = self.locals_of[-1] if number <= 33 else self.commons
        if number == 0 or 33 < number < 100 or number > 999:
            raise Undecided(f"variable #{number}")
        table.pop(number, None)
        if value is not None:
            table[number] = value

    def length(self, text: str, row: str = "number_without_point") -> float:
        """A length word in mm."""
        unit = 25.4 if self.inch else 1.0
        value = self.value(text)
        if value is None:
            raise Undecided(f"{text} is empty")
        if not text.lstrip("+-").isdigit() or value == 0:
            return value * unit
        if stated(self.job.control, row) == "unit":
            return value * unit
        return value * float(self.job.machine.get("increment", 0.001)) * self.job.unit

    def radial(self, text: str) -> float:
        """An X or U word as a radius in mm."""
        half = 1.0 if self.job.control.get("x_words", "diameter") == "radius" else 0.5
        return self.length(text) * half

    # --- places ------------------------------------------------------------------------------

    @property
    def zero(self) -> Point:
        """Place of the zero that absolute words count from."""
        z = self.preset[0] + self.local[0] + self.values.get(self.offset, 0.0)
        return z, self.preset[1] + self.local[1]

    def target(self, line: Line, origin: Point) -> Point:
        """End point of a block that starts at `origin`."""
        z, r = origin
        v = line.values
        zero = origin if self.incremental else self.zero
        if "X" in v:
            r = self.radial(v["X"]) + zero[1]
        if "U" in v:
            r = origin[1] + self.radial(v["U"])
        if "Z" in v:
            z = self.length(v["Z"]) + zero[0]
        if "W" in v:
            z = origin[0] + self.length(v["W"])
        return z, r

    def _angled(self, line: Line, origin: Point, end: Point) -> Point:
        """A straight block that gives one axis and its angle from +Z."""
        text = line.values.get(",A", line.values.get("A"))
        if text is None:
            return end
        angle = math.radians(self.value(text) or 0.0)
        has_r = bool({"X", "U"} & line.values.keys())
        has_z = bool({"Z", "W"} & line.values.keys())
        if has_r and not has_z and abs(math.sin(angle)) > 1e-9:
            return origin[0] + (end[1] - origin[1]) / math.tan(angle), end[1]
        if has_z and not has_r and abs(math.cos(angle)) > 1e-9:
            return end[0], origin[1] + (end[0] - origin[0]) * math.tan(angle)
        raise Undecided(f"line {line.number}: an angle that tells no end")

    def _corner(self, line: Line) -> tuple[str, float] | None:
        for word in (",C", ",R", "C", "R"):
            if word in line.values:
                return word[-1], abs(self.length(line.values[word]))
        return None

    def leg(self, line: Line, mode: str, origin: Point, side: int) -> Leg:
        """The leg of a block in a motion mode."""
        end = self.target(line, origin)
        v = line.values
        if mode == "G01":
            return Leg(False, self._angled(line, origin, end), side=side, corner=self._corner(line))
        if mode not in ("G02", "G03"):
            return Leg(True, end, side=side)
        clockwise = mode == "G02"
        if "R" in v:
            centre = centre_of(origin, end, clockwise, self.length(v["R"]))
        elif "I" in v or "K" in v:
            dr, dz = self.length(v.get("I", "0")), self.length(v.get("K", "0"))
            if stated(self.job.control, "arc_centre") == "incremental":
                centre = (origin[0] + dz, origin[1] + dr)
            else:
                centre = (dz + self.zero[0], dr + self.zero[1])
        else:
            raise Undecided(f"line {line.number}: arc without centre")
        return Leg(False, end, side=side, arc=Arc(centre, clockwise))

    # --- steps -------------------------------------------------------------------------------

    def go(self, leg: Leg, line: int) -> None:
        """Adds a leg with the state it runs in, and stands at its end."""
        if leg.end == self.at and leg.arc is None and not leg.placed:
            return
        if self.threaded and leg.rapid and leg.thread is None and leg.end[0] == self.at[0]:
            # The withdrawal after a single pass, straight out, may be in its thread.
            leg = Leg(True, leg.end, leg.straight, thread=Thread())
        self.threaded = False
        shift = self.shifts.get(self.station, (0.0, 0.0))
        self.steps.append(Step(leg, self.station, self.spindle, line, self.offset, shift))
        self.at = leg.end
