"""Which way home after a cycle strikes, where the job does not say which one the control takes.

The proof sweeps the whole rectangle between the end of the cycle and the point of call, which holds
every way; this only gives the strike the names of the ways that make it.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely

from standclear.job.models import Job, Machine
from standclear.motions.table import Kind, Motions, Path
from standclear.proof.result import Strike
from standclear.sweeps.outline import Outline
from standclear.sweeps.strike import body_sweeps
from standclear.sweeps.sweep import Tooling

ROW = "home_after_cycle"


def ways_that_strike(
    job: Job,
    motions: Motions,
    tools: tuple[Tooling | None, ...],
    strikes: Iterable[Strike],
) -> dict[int, tuple[str, ...]]:
    """For each striking motion that is an open way home, `home_after_cycle=x-first or z-first`: the
    ways that meet the metal which the rectangle meets.

    Only for machines whose rapids are straight: elsewhere the rectangle may stand for the rapid
    path.
    """
    found: dict[int, tuple[str, ...]] = {}
    machine = job.machine
    assert isinstance(machine, Machine)
    if machine.rapid_path != "straight" or machine.control.home_after_cycle is not None:
        return found
    for strike in strikes:
        motion = strike.motion
        tooling = tools[int(motions.tool[motion])]
        if tooling is None or not _is_way_home(motions, motion):
            continue
        shape = tooling.shape
        body = (Outline(shape.outer, shape.outer_cuts),)
        (z, r), (home_z, home_r) = motions.start[motion], motions.end[motion]
        ways = {
            "direct": [(z, r), (home_z, home_r)],
            "x-first": [(z, r), (z, home_r), (home_z, home_r)],
            "z-first": [(z, r), (home_z, r), (home_z, home_r)],
        }
        met = [value for value, way in ways.items() if _meets(body, way, strike)]
        found[motion] = (f"{ROW}={' or '.join(met)}",) if met else ()
    return found


def _is_way_home(motions: Motions, motion: int) -> bool:
    return bool(
        motions.path[motion] == Path.ANYWHERE
        and motions.kind[motion] == Kind.RAPID
        and motions.call[motion] >= 0
    )


def _meets(body: tuple[Outline, ...], way: list[tuple[float, float]], strike: Strike) -> bool:
    points = np.array(way, dtype=np.float64)
    pieces, _ = body_sweeps(body, points[:-1], points[1:])
    common = shapely.intersection(pieces, strike.overlap)
    return bool((shapely.area(common) > 0).any())
