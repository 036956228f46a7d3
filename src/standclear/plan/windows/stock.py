"""The stock window: blanks for which a set-up, or the whole job, is clear and cleans up.

Read off the keep-out and what is cut. Strikes: the pairs (face, radius) whose blank overlaps the
keep-out less what earlier set-ups surely cut; jaws that move with the gripped diameter against all
that the tools sweep. Clean-up: metal that no cut takes, inside (the part that is left) and outside
(what the tools never reach). Margins of air are not counted: the window's edge is a strike.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Job
from standclear.plan.windows.clean_up import FACE_STAYS, SEAT_STAYS, not_cleaned
from standclear.plan.windows.comes_loose import loosened
from standclear.plan.windows.edges import NEAR_MM, Edge, edges_of
from standclear.plan.windows.frames import Across, Varied, frames_of
from standclear.plan.windows.plane import Box, open_around
from standclear.plan.windows.sources import Scope, Source, raw_faced, widened
from standclear.plan.windows.strikes import metal_struck, obstacles_struck
from standclear.proof.held import Held
from standclear.proof.result import JobProof
from standclear.sweeps.areas import union

CANNOT_SEAT = (
    "the part cannot sit in set-up {name} as the job says: the window is what would be clear if it "
    "did"
)
LOOK_MM = 12.0
"""How far a window is looked for, either way of the stated blank: across, and on diameter. Our
choice, no source."""


@dataclass(frozen=True)
class Window:
    """Blanks that are clear and clean up. Sizes are as stated, with the job's tolerances on top."""

    setup: str
    """Empty for the whole job."""
    across: Across
    stated: tuple[float, float]
    """(across, size) of the blank in hand."""
    region: BaseGeometry
    """(across, size); empty where no blank is."""
    edges: tuple[Edge, ...]
    looked: Box
    notes: tuple[str, ...]
    """Sentences: what the window leaves out."""

    def holds(self, across: float, size: float) -> bool:
        """Whether a blank lies in the window or on its edge."""
        return bool(self.region.distance(shapely.Point(across, size)) <= NEAR_MM)


def stock_windows(
    held: Held, job: Job, proof: JobProof, *, largest: float = 0.0, longest: float = 0.0
) -> tuple[Window, ...]:
    """The window of each set-up (face allowance, size), then that of the whole job (length, size).

    `held` and `job` are what `proof` was judged from; `largest` and `longest` are a size and a
    length that the windows must reach, mm. A set-up that is not the first on its end has none.
    """
    asked = [(Varied(job, Across.FACE, k), (k,), 0.0) for k in raw_faced(proof)]
    everything = tuple(range(len(job.setup)))
    whole = (Varied(job, Across.LENGTH, 0), everything, longest)
    scopes = [_scope(held, proof, varied, largest, far) for varied, _, far in (*asked, whole)]
    wide = widened(held, scopes)
    return tuple(
        _window(replace(scope, held=wide), varied, setups)
        for scope, (varied, setups, _) in zip(scopes, (*asked, whole), strict=True)
    )


def _scope(held: Held, proof: JobProof, varied: Varied, largest: float, longest: float) -> Scope:
    job, x, size = varied.job, varied.stated, varied.job.blank.size
    low = 0.0 if varied.across is Across.FACE else job.part.length
    box = (
        max(low, x - LOOK_MM),
        max(size - LOOK_MM, 0.1),
        max(x + LOOK_MM, longest),
        max(size + LOOK_MM, largest),
    )
    return Scope(held, proof, varied, frames_of(varied, proof), box)


def _window(scope: Scope, varied: Varied, setups: tuple[int, ...]) -> Window:
    """The window of `setups` together."""
    sources, region, notes = blocking(scope, setups)
    edges = tuple(edges_of(scope, region, sources))
    name = scope.job.setup[varied.setup].name if varied.across is Across.FACE else ""
    stated = (varied.stated, scope.job.blank.size)
    return Window(name, varied.across, stated, region, edges, scope.box, notes)


def blocking(
    scope: Scope, setups: tuple[int, ...]
) -> tuple[list[Source], BaseGeometry, tuple[str, ...]]:
    """All that blocks blanks in `setups`, the region that is left open, and what is left out."""
    proof, box = scope.proof, scope.box
    sources: list[Source] = []
    notes = [CANNOT_SEAT.format(name=name) for name in not_seated(proof, setups)]
    for k in setups:
        for reading in scope.held.readings[k]:
            sources += metal_struck(scope, k, reading)
            sources += obstacles_struck(scope, k, reading)
        if k in raw_faced(proof):
            unclean, missing = not_cleaned(scope, k)
            sources += unclean
            notes += missing
    for k in set(raw_faced(proof)) - set(setups):
        # A part that lies on a face which was not cut lies elsewhere.
        if k < max(setups):
            unclean, missing = not_cleaned(scope, k)
            sources += [s for s in unclean if s.against == "face"]
            notes += [SEAT_STAYS] if FACE_STAYS in missing else []
    region = _open(sources, box)
    for k in setups:
        sources += loosened(scope, k, region)
    return sources, _open(sources, box), tuple(dict.fromkeys(notes))


def not_seated(proof: JobProof, setups: tuple[int, ...]) -> list[str]:
    """Names of those of `setups` in which the part cannot sit."""
    names = [proof.setups[k].name for k in setups]
    found = {f.setup for f in proof.findings if f.code == "cannot-seat"}
    return [name for name in names if name in found]


def _open(sources: list[Source], box: Box) -> BaseGeometry:
    return open_around(union(s.region for s in sources if not s.region.is_empty), box)
