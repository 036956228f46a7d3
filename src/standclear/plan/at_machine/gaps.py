"""The gaps that gauges show where a tool stands before its first cut.

Frame of a set-up: its part zero at z = 0, + away from the spindle, millimetres. Gaps are real
distances between tool and metal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from standclear.job.models import Job
from standclear.job.placing import CORNER_OVER_FLAT, Placing
from standclear.proof.bench import WIDE
from standclear.proof.result import SetupProof
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common

SAME_PLACE_MM = 0.0005
"""Clearance points of one tool that lie this close are one place to stand."""


@dataclass(frozen=True)
class Measured:
    """A gap as a sum of what is measured on the piece in hand: `whole` less `share` of it."""

    what: str
    """`diameter` or `size across flats` of the bar, `length` at its longest."""
    whole: float
    share: float
    under: float
    """A gauge thinner than the sum by this goes in."""
    over: float
    """One thicker by this does not."""


@dataclass(frozen=True)
class Gauged:
    """One gap to gauge. Millimetres, real."""

    axis: str
    """`Z` from the high spot of the outer face, or `X` from the high spot of the diameter."""
    gap: float
    """With every size and zero in mid tolerance."""
    passes: float
    """A gauge of this thickness goes in."""
    refused: float
    """One of this thickness does not."""
    past_corner: bool
    """The tool stands beyond the corner of the blank: the gauge lies on the metal and reaches out
    to the tool."""
    measured: Measured | None = None
    """Where the piece's tolerance is wider than the gauges should be: from its measured size."""


def gaps_at(
    job: Job,
    index: int,
    placing: Placing,
    setup: SetupProof,
    tool: BaseGeometry,
    allowance: float,
) -> Iterator[Gauged]:
    """The gaps of `tool` where it stands in set-up number `index`, to the foremost point of the
    blank and to its largest radius, where it stands beyond them."""
    r_min = tool.bounds[1]
    _, _, face, radius = setup.metal_before.bounds
    # What of the tool stands further out than the blank, as its holder may, is in front of nothing.
    facing = common(tool, rectangle(-WIDE, WIDE, -WIDE, radius))
    z_min = (tool if facing.is_empty else facing).bounds[0]
    ahead, over = z_min - face > 0, r_min - radius > 0
    lean = job.blank.out_of_square or 0.0
    along = max(0.0, placing.raw_face.width - lean)
    size = job.blank.size_tolerance[1] - job.blank.size_tolerance[0]
    wander = (job.blank.run_out or 0.0) / 2 + (job.blank.bow or 0.0)
    raw = radius > placing.strike_radius - SAME_PLACE_MM
    across = size / 2 * CORNER_OVER_FLAT[job.blank.shape] + wander if raw else 0.0
    for axis, there, gap, spread in (
        ("Z", ahead, z_min - face, along),
        ("X", over, r_min - radius, across),
    ):
        if not there:
            continue
        middle, half = gap + spread / 2, max(allowance, spread / 2)
        if middle - half <= 0:
            continue
        sum_ = None
        if spread / 2 > allowance:
            sum_ = (
                _from_length(job, index, z_min, allowance)
                if axis == "Z"
                else _from_size(job, r_min, wander, allowance)
            )
        yield Gauged(axis, middle, middle - half, middle + half, ahead and over, sum_)


def _from_size(job: Job, r_min: float, wander: float, allowance: float) -> Measured:
    shape = job.blank.shape
    what = "diameter" if shape in ("round", "tube") else "size across flats"
    share = CORNER_OVER_FLAT[shape] / 2
    return Measured(what, r_min, share, allowance + wander, allowance)


def _from_length(job: Job, index: int, z_min: float, allowance: float) -> Measured | None:
    """From the length of the blank, or of the part before it is turned round; None where the raw
    face lies where it was touched, whatever the length."""
    zero = job.setup[index].zero
    seated = job.setup[index].seat.on != "stick-out"
    lean = job.blank.out_of_square or 0.0
    if zero.way == "measured":
        off = max(allowance, zero.error + lean)
    elif zero.way in ("stop", "finished-on-stop") and seated:
        off = max(allowance, zero.error)
    else:
        return None
    ahead = job.part.length if zero.from_stop is None else zero.from_stop
    return Measured("length", z_min + ahead, 1.0, off, off)
