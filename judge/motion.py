"""What the judge's reading of a program yields: moves of the controlled point.

Frame: section of one set-up, (z, r) in millimetres, r = half of programmed X with its sign.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

Point = tuple[float, float]
"""(z, r), mm."""

FAR = 1.0e4
"""mm; a coordinate that is only known to lie beyond the work."""


class Undecided(Exception):
    """The judge does not decide on this job, for the reason given."""


@dataclass(frozen=True, slots=True)
class Thread:
    """In which metal the insert may stand without cutting it away: that of its own thread."""

    outward: float = 0.0
    """+1 where the thread is cut from outside, -1 from inside; 0: no crest is known."""
    z: float = 0.0
    r: float = 0.0
    """A place on the crest."""
    slope: float = 0.0
    """By how much the crest's radius grows along z."""


@dataclass(frozen=True, slots=True)
class Move:
    """One move from `start` to `end`."""

    rapid: bool
    start: Point
    end: Point
    station: int
    """Tool station; -1 before the first T word."""
    spindle: int
    """1 for M03, -1 for M04, 0 when stopped."""
    line: int
    """Line of the program, from 1."""
    anywhere: bool = False
    """True: any way within the rectangle spanned by start and end."""
    thread: Thread | None = None
    """Given for passes of a thread and the withdrawals after them."""
    tapping: bool = False
    """In and out of a hole by a tap that turns with its feed."""

    @property
    def on_axis(self) -> bool:
        """Whether it runs along the axis of the work."""
        return self.start[1] == 0 and self.end[1] == 0

    def counted_from(self, zero: float) -> Move:
        """The same move with z counted from `zero`."""
        thread = self.thread
        if thread is not None:
            thread = replace(thread, z=thread.z - zero)
        start, end = _less(self.start, zero), _less(self.end, zero)
        return replace(self, start=start, end=end, thread=thread)


def _less(place: Point, zero: float) -> Point:
    return place if place[0] == FAR else (place[0] - zero, place[1])


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc's centre and sense; clockwise as drawn with Z to the right and X up."""

    centre: Point
    clockwise: bool


@dataclass(frozen=True, slots=True)
class Leg:
    """A programmed way before the machine's rapid path and its compensation are known: where to,
    and how."""

    rapid: bool
    end: Point
    straight: bool = False
    """True: straight even where the machine's rapids are bent or unknown."""
    arc: Arc | None = None
    side: int = 0
    """Nose compensation: 1 to the right of travel (G42), -1 to the left (G41)."""
    corner: tuple[str, float] | None = None
    """Corner with the next leg: (`C` or `R`, size)."""
    thread: Thread | None = None
    placed: bool = False
    """True: no motion, the place where the tool stands is known to be this from here on."""
    tapping: bool = False
    """In and out of a hole by a tap that turns with its feed."""


@dataclass(frozen=True, slots=True)
class Step:
    """A leg and the state of the machine while it runs."""

    leg: Leg
    station: int
    spindle: int
    line: int
    offset: str = "G54"
    """Work offset in force."""
    shift: Point = (0.0, 0.0)
    """By how much the program has moved the tool's offset, (z, r)."""
