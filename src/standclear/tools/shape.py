"""The shape of a tool in the section, whatever it was described by.

Frame: z along the spindle axis, r away from it, millimetres, seen from the controlled point
(the imaginary tip) at (0, 0) when the tool stands ready to cut.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from standclear.tools.insert_tables import INCH_MM

OUTLINE_ERROR_MM = 0.0005
"""How far a drawn outline may leave the true one where a nose or corner is an arc: half of the
thousandth that the proof may be wrong by, the other half is for the chords of arc moves."""


def in_both(mm: float) -> str:
    """A length in either unit, for a sentence that does not know its reader: `90 mm (3.543 in)`."""
    return f"{mm:g} mm ({mm / INCH_MM:.3f} in)"


@dataclass(frozen=True)
class ToolShape:
    """Two closed outlines, counter-clockwise, first point not repeated.

    The true tool lies inside `outer` and its cutting part encloses that of `inner`; each within
    `OUTLINE_ERROR_MM` along arcs. Edge i runs from point i to point i + 1 (the last to the first).
    """

    outer: NDArray[np.float64]
    """(n, 2): z, r."""
    outer_cuts: NDArray[np.bool_]
    """(n,): edge i of `outer` is a cutting edge."""
    inner: NDArray[np.float64]
    inner_cuts: NDArray[np.bool_]
    cutting_part: NDArray[np.float64]
    """(k, 2): a convex polygon inside the tool that its cutting edges bound, holder left out:
    the insert, or the whole body of a drill or tap. May grant shadow at the axis."""
    nose_radius_mm: float
    """0 for a sharp corner, for a drill and where unknown."""
    kind: str
    """`turning`, `boring`, `grooving`, `threading`, `drill`, `tap` or `outline`."""
    nose_centre: tuple[float, float] | None = None
    """(z, r) of the nose's centre from the controlled point; None where no nose is known."""
    assumed: tuple[str, ...] = ()
    """What was taken on trust, such as 'holder from designation: verify'."""
