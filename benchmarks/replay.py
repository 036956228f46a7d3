"""Plain replay of one blank: motion by motion, one boolean on the remaining section each.

As careful as the proof: the same sweeps, clipped to the same reach, and a piece whose box misses
the metal left costs no boolean. It answers for this one blank only.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.sweeps.sweep import Sweeps


def replay(sweeps: Sweeps, metal: BaseGeometry) -> list[int]:
    """Numbers of the motions that strike `metal`, by cutting it motion by motion."""
    pieces = np.concatenate([sweeps.strike, sweeps.cut])
    motion = np.concatenate([sweeps.strike_motion, sweeps.cut_motion])
    cuts = np.concatenate([np.zeros(len(sweeps.strike), bool), np.ones(len(sweeps.cut), bool)])
    order = np.lexsort((cuts, motion))
    box = metal.bounds
    bounds = shapely.bounds(pieces)
    near = (
        (bounds[:, 0] < box[2])
        & (bounds[:, 2] > box[0])
        & (bounds[:, 1] < box[3])
        & (bounds[:, 3] > box[1])
    )
    strikes = []
    for k in order[near[order]].tolist():
        if not shapely.intersects(metal, pieces[k]):
            continue
        if cuts[k]:
            metal = shapely.difference(metal, pieces[k])
        elif shapely.area(shapely.intersection(metal, pieces[k])) > 0:
            strikes.append(int(motion[k]))
    return sorted(set(strikes))
