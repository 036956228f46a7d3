"""What a reader of a drawing would stumble over."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import shapely

import standclear
from standclear.drawing.inks import Ink
from standclear.drawing.labels import TAILED, overlap
from standclear.drawing.lettering import DESCENT, width_of
from standclear.drawing.shapes import Box, Drawing, Line, Text
from standclear.proof.held import Held
from standclear.proof.result import JobProof

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted(path.parent.name for path in (ROOT / "examples").glob("*/job.toml"))
THIN = {Ink.DIMENSION, Ink.LEADER, Ink.STRIKE_MARK}
FRAMES = {Ink.FRAME, Ink.TABLE, Ink.DETAIL}


def proved_example(name: str) -> tuple[Held, JobProof]:
    files = standclear.read_job(ROOT / "examples" / name)
    held = standclear.hold(files)
    return held, standclear.judge(held, files.job)


def letters_box(text: Text) -> Box:
    """The ink of a text, tails included, without any air."""
    length = width_of(text.string, text.height)
    tail = DESCENT * text.height if TAILED.intersection(text.string) else 0.0
    x, y = text.at
    if text.upright:
        return (x, y - tail, x + length, y + text.height)
    return (x - text.height, y, x + tail, y + length)


def stumbles(drawing: Drawing) -> list[str]:
    """Texts on texts, thin lines and frames through texts, and what leaves the sheet."""
    leaves = list(drawing.leaves)
    texts = [(t, letters_box(t)) for t in leaves if isinstance(t, Text) and t.string.strip()]
    found = [
        f"{a.string!r} on {b.string!r}"
        for (a, u), (b, v) in combinations(texts, 2)
        if overlap(u, v)
    ]
    boxes = shapely.box(*np.array([box for _, box in texts]).T)
    tree = shapely.STRtree(boxes)
    for line in leaves:
        if isinstance(line, Line) and line.ink in THIN | FRAMES and len(line.points) > 1:
            for way in ways_of(line):
                for i in tree.query(way, "intersects"):
                    # Touching the rim of a letter's box is not running through it.
                    if shapely.intersection(way, boxes[i].buffer(-0.05)).length > 0.05:
                        found.append(f"{line.ink} line through {texts[i][0].string!r}")
    for text, (x0, y0, x1, y1) in texts:
        if x0 < 0 or y0 < 0 or x1 > drawing.width or y1 > drawing.height:
            found.append(f"{text.string!r} off the sheet")
    return found


def ways_of(line: Line) -> Iterator[shapely.LineString]:
    points = (*line.points, line.points[0]) if line.closed else line.points
    for a, b in pairwise(points):
        yield shapely.LineString([a, b])
