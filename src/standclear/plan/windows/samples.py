"""Corners of a window proved again: what no window shows, such as metal that comes loose, shows
there."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Verdict
from standclear.job.models import Job
from standclear.plan.windows.frames import Across, Varied
from standclear.plan.windows.stock import Window
from standclear.proof.held import Held
from standclear.proof.prove import judge

INSIDE_MM = 0.02
"""How far within the window a corner is proved."""
MOST = 8
"""Corners proved of one window."""


@dataclass(frozen=True)
class Sample:
    """One blank proved: the quantity across, the size, and the answer."""

    across: float
    size: float
    verdict: Verdict


def prove_corners(held: Held, job: Job, window: Window) -> tuple[Sample, ...]:
    """The proof's verdict just inside each corner of a window, of its set-up or of the whole job;
    empty where the window holds nothing as wide."""
    inner = window.region.buffer(-INSIDE_MM, join_style="mitre").simplify(10 * INSIDE_MM)
    names = [setup.name for setup in job.setup]
    whole = window.across is Across.LENGTH
    index = 0 if whole else names.index(window.setup)
    varied = Varied(job, window.across, index)
    found = []
    for across, size in _corners(inner)[:MOST]:
        proof = judge(held, varied.at(across, size))
        verdict = proof.verdict if whole else proof.setups[index].verdict
        found.append(Sample(across, size, verdict))
    return tuple(found)


def _corners(region: BaseGeometry) -> list[tuple[float, float]]:
    parts = getattr(region, "geoms", [region])
    rings = [p.exterior.coords[:-1] for p in parts if not p.is_empty]
    return [(float(x), float(y)) for ring in rings for x, y in ring]
