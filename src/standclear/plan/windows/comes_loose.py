"""Blanks of a window of which some metal comes loose.

Judged on the largest blank that the window has left: what of it comes to hang on nothing does so in
every smaller one too, so blanks that hold any of it are blocked. Metal that only a smaller blank
lets go, where the larger hangs by its outside, is not found here: the proofs of the window's
corners tell of it.
"""

from __future__ import annotations

from collections.abc import Iterator

from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.plan.windows.plane import blocked_blanks, drawn
from standclear.plan.windows.sources import Scope, Source, cuts_of
from standclear.proof.held import HeldReading
from standclear.proof.section import rectangle
from standclear.proof.shares import BURR_MM, first_loosened, shares_of
from standclear.sweeps.areas import less

MOST = 12
"""Pieces looked for in one set-up."""
HOLD_MM = 1.0
"""Length from the chuck-side end that counts as held where the job gives no jaws."""


def loosened(scope: Scope, k: int, open_region: BaseGeometry) -> Iterator[Source]:
    """What blocks blanks of `open_region`, which nothing else does, since metal comes loose in
    set-up `k`; one source for each piece."""
    if open_region.is_empty:
        return
    frame = scope.frames[k]
    x_min, _, x_max, size = open_region.bounds
    face = max(frame.face.value(x_min), frame.face.value(x_max))
    raw = rectangle(scope.back(k), face, scope.bore(k), frame.radius.value(size))
    metal = less(raw, cuts_of(scope, range(k), k).at(0.0))
    for reading in scope.held.readings[k]:
        for area, line in _pieces(scope, k, reading, metal):
            # A blank that holds no more of it than burr frees swarf: it holds more where its own
            # outline drawn in by half a burr reaches the piece drawn in as far.
            thick = translate(area.buffer(-BURR_MM / 2), BURR_MM / 2, BURR_MM / 2)
            pairs = blocked_blanks(thick, scope.plane(k))
            region = drawn(pairs, frame.face, frame.radius, scope.box)
            yield Source(region, "comes loose", "metal", k, line)


def _pieces(
    scope: Scope, k: int, reading: HeldReading, metal: BaseGeometry
) -> Iterator[tuple[BaseGeometry, int]]:
    """Each piece that comes loose and does not fall by the job's word, and the line of the block
    that frees it."""
    setup, begin = scope.proof.setups[k], 0
    blocks, motions = setup.program.blocks, reading.trace.motions
    grip = _grip(scope, k)
    for _ in range(MOST):
        shares = shares_of(metal, reading.keep.cut_most)
        piece, _burr = first_loosened(less(metal, reading.keep.most_cut), shares, grip, begin)
        if piece is None:
            return
        block = int(motions.block[piece.motion])
        line = blocks[block].line if block >= 0 else 0
        falls = block >= 0 and not blocks[block].file and line in scope.job.setup[k].falls_at
        if not falls:
            yield piece.area, line
        metal, begin = less(metal, piece.area), piece.motion + 1


def _grip(scope: Scope, k: int) -> Interval:
    """Z between which the blank is held."""
    jaws = scope.proof.setups[k].obstacles.get("jaws")
    back = scope.back(k)
    if jaws is None or jaws.is_empty:
        return Interval(back, back + HOLD_MM)
    return Interval(min(back, jaws.bounds[0]), max(back, jaws.bounds[2]))
