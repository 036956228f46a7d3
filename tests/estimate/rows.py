"""Hand-made tables of motions: feeds on given ways, everything else as said."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np

from standclear.motions.table import FeedMode, Kind, Motions, SpeedMode, Spindle

PLAIN: dict[str, Any] = {
    "kind": Kind.FEED,
    "path": 0,
    "sagitta": 0.0,
    "tool": 0,
    "block": 0,
    "profile": -1,
    "call": -1,
    "variant": 0,
    "credited": True,
    "crest": 0.0,
    "compensated": False,
    "spindle": Spindle.FORWARD,
    "feed": 0.2,
    "feed_mode": FeedMode.PER_REV,
    "speed": 200.0,
    "speed_mode": SpeedMode.SURFACE,
    "clamp": np.inf,
    "coolant": True,
}


def rows(*ways: tuple[tuple[float, float], tuple[float, float]], **said: Any) -> Motions:
    """Motions on `ways`, each ((z, diameter) from, (z, diameter) to); `said` are columns, one value
    for all rows or one for each."""
    given = PLAIN | said
    start = np.array([[z, d / 2] for (z, d), _ in ways], dtype=float)
    end = np.array([[z, d / 2] for _, (z, d) in ways], dtype=float)
    columns = {
        f.name: np.array(np.broadcast_to(given[f.name], len(ways)))
        for f in fields(Motions)
        if f.name not in ("start", "end")
    }
    return Motions(start=start, end=end, **columns)
