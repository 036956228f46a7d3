"""The holder between shank and insert, as an outer envelope.

A designation fixes shank, tip offset and entering angle, not the head. The envelope is ours and
meant never to be smaller than a head that can be used with that insert:

* beside the insert it keeps `SEAT_BACK_MM` behind the cutting edges and the nose, nearer than the
  seat of an insert stands (common practice, no source);
* beyond the far corner of the main edge it goes straight on across the feed; where the entering
  angle is under 90 degrees, along the edge's line leaned out by `HEAD_LEAN_DEGREES`;
* beyond the far corner of the trailing edge it follows that edge leaned out by the same angle,
  the two or three degrees by which a heel is known to rub earlier than the insert alone (common
  practice, no source); beside a round insert both sides spread at 45 degrees;
* it never ends further out than shank and insert do, and holds the whole shank from where the
  head can have ended.
Frame as in `insert_outline`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon, box

from standclear.tools.insert_outline import PlacedInsert

SEAT_BACK_MM = 0.2
HEAD_LEAN_DEGREES = 3.0
ROUND_FLANK_DEGREES = 45.0
_NOSE_STEP_DEGREES = 5.0


@dataclass(frozen=True, slots=True)
class Shank:
    """Where the shank lies beside the tip, in the frame of `insert_outline`.

    `across`: it runs across the feed (+r) and `low`, `high` are its sides in z. `along`: it runs
    along the feed (+z) and they are its sides in r. `length` is counted from the tip.
    """

    runs: Literal["across", "along"]
    low: float
    high: float
    length: float


def head_envelope(insert: PlacedInsert, shank: Shank) -> Polygon:
    """Outer bound of head and shank, mm; its cutting edges stay free by `SEAT_BACK_MM`."""
    main_ray, trailing_ray = _rays(insert, shank)
    rim = _seat_rim(insert)
    reach = 4 * (shank.length + abs(shank.low) + shank.high + 100.0)
    wedge = Polygon(
        [*rim, rim[-1] + reach * _heading(trailing_ray), rim[0] + reach * _heading(main_ray)]
    )
    z, r = np.array(insert.corners).T
    if shank.runs == "across":
        limits = box(min(shank.low, z.min()), r.min(), max(shank.high, z.max()), shank.length)
        start = max(
            _height_at(rim[-1], trailing_ray, shank.high), _height_at(rim[0], main_ray, shank.low)
        )
        body = box(shank.low, start, shank.high, shank.length)
    else:
        limits = box(z.min(), min(shank.low, r.min()), shank.length, max(shank.high, r.max()))
        body = box(insert.trailing_end[0], shank.low, shank.length, shank.high)
    whole = shapely.union_all([shapely.intersection(wedge, limits), body])
    return Polygon(whole.exterior)


def _rays(insert: PlacedInsert, shank: Shank) -> tuple[float, float]:
    """Headings in which the head goes on beyond the ends of main and trailing edge, degrees."""
    if insert.is_round:
        spreads = shank.runs == "across" and shank.low < insert.main_end[0]
        return (90.0 + ROUND_FLANK_DEGREES if spreads else 90.0), 90.0 - ROUND_FLANK_DEGREES
    main = insert.main_angle + HEAD_LEAN_DEGREES if insert.main_angle > 90 else 90.0
    return main, max(insert.trailing_angle - HEAD_LEAN_DEGREES, 0.0)


def _seat_rim(insert: PlacedInsert) -> list[NDArray[np.float64]]:
    """Edge of the seat from the far end of the main edge round the nose to the trailing end."""
    into_main = _heading(insert.main_angle - 90)
    into_trailing = _heading(insert.trailing_angle + 90)
    centre = np.array(insert.nose_centre)
    first = np.array(insert.main_end) + SEAT_BACK_MM * into_main
    last = np.array(insert.trailing_end) + SEAT_BACK_MM * into_trailing
    radius = insert.nose_radius - SEAT_BACK_MM
    sweep = 180 - (insert.main_angle - insert.trailing_angle)
    if radius > 0:
        pieces = math.ceil(sweep / _NOSE_STEP_DEGREES)
        nose = [
            centre + radius * _heading(insert.main_angle + 90 + sweep * i / pieces)
            for i in range(pieces + 1)
        ]
    else:
        half = math.radians(90 - sweep / 2)
        bisector = (insert.main_angle + insert.trailing_angle) / 2
        nose = [centre - radius / math.sin(half) * _heading(bisector)]
    return [first, *nose, last]


def _height_at(start: NDArray[np.float64], ray: float, z: float) -> float:
    """r where a ray from `start` reaches `z`; the start's own r where it never does."""
    way = (z - start[0]) / math.cos(math.radians(ray)) if ray != 90 else 0.0
    return float(start[1] + max(way, 0.0) * math.sin(math.radians(ray)))


def _heading(degrees: float) -> NDArray[np.float64]:
    return np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
