"""A certificate made by hand, mm written out; every motion of it can be followed in the head.

Bar 40, its face at Z1, its back at Z-40; jaws from Z-60 to Z-40, from diameter 40 out. The tool
cuts with a slightly leaning edge ahead (towards -Z) and one below, and has its holder above. First
end: two passes to Z-20, at X36 and X32, and back in rapid along the last. Turned round, z becomes
c - z with c from -40.1 to -39.9, so its raw face lies between Z-0.1 and Z0.1; it is faced at Z0.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from standclear.audit.exact import Point
from standclear.audit.read import (
    APPEAR,
    FEED,
    RAPID,
    STRAIGHT,
    Certificate,
    Row,
    Source,
    Stage,
    Tool,
    content_hash,
)
from standclear.certificate.write import certificate_text

MM = 1_000_000
Places = Iterable[tuple[int, float, float]]


def nm(*points: tuple[float, float]) -> tuple[Point, ...]:
    return tuple((round(z * MM), round(r * MM)) for z, r in points)


OUTLINE = nm((0, 0), (6, 0.5), (24, 4), (24, 90), (1.5, 90), (1.5, 12))
TURNING = Tool(
    "T1",
    OUTLINE,
    (
        nm((0, 0), (6, 0.5), (24, 4), (24, 12), (1.5, 12)),
        nm((1.5, 12), (24, 12), (24, 90), (1.5, 90)),
    ),
    OUTLINE,
    (True, False, False, False, False, True),
    nm((0, 0), (6, 0.5), (6, 12), (1.5, 12)),
    spindle=1,
    on_axis=False,
    opens=True,
    wear=0,
)
JAWS = ("jaws", nm((-60, 20), (-40, 20), (-40, 40), (-60, 40)))
FIRST: list[tuple[int, float, float]] = [
    (RAPID, 3, 18),
    (FEED, -20, 18),
    (FEED, -20, 21),
    (RAPID, 3, 21),
    (RAPID, 3, 16),
    (FEED, -20, 16),
    (FEED, -20, 21),
    (RAPID, -20, 18.5),
    (RAPID, -20, 16),
    (RAPID, 3, 16),
    (RAPID, 30, 30),
]
SECOND: list[tuple[int, float, float]] = [
    (RAPID, 5, 22),
    (RAPID, 0, 22),
    (FEED, 0, -0.2),
    (RAPID, 5, -0.2),
    (RAPID, 30, 30),
]


def rows(places: Places, at: tuple[float, float] = (30, 30)) -> tuple[Row, ...]:
    """Motions from place to place; the tool appears at the first."""
    start = nm(at)[0]
    found = [Row(APPEAR, STRAIGHT, start, start, 0, 0, 0, -1, 0, True, 0, 1)]
    for line, (kind, z, r) in enumerate(places, 1):
        end = nm((z, r))[0]
        found.append(Row(kind, STRAIGHT, start, end, 0, 0, line, -1, 0, True, 0, 1))
        start = end
    return tuple(found)


def first_end(motions: tuple[Row, ...]) -> Stage:
    blank = (-40 * MM, 0, MM, 20 * MM)
    return Stage("front", blank, None, (JAWS,), motions, 0, {}, (), (), ())


def knowing(stage: Stage) -> Stage:
    """The stage with the most generous witness: all that is earlier and may be named."""
    motions = stage.motions
    earlier = {
        k: tuple(
            j
            for j in range(k)
            if motions[j].choice < 0
            or motions[j].choice != row.choice
            or motions[j].reading == row.reading
        )
        for k, row in enumerate(motions)
    }
    return replace(stage, earlier=earlier, taken_by=tuple(range(len(motions))))


def all_knowing(certificate: Certificate) -> Certificate:
    return replace(certificate, stages=tuple(map(knowing, certificate.stages)))


def hand_certificate() -> Certificate:
    """Both ends."""
    first = replace(
        knowing(first_end(rows(FIRST))),
        stays=(
            nm((-40, 0), (-20, 0), (-20, 20), (-40, 20)),
            nm((-20, 0), (1, 0), (1, 16), (-20, 16)),
        ),
    )
    turned = Source(0, False, -1, round(-40.1 * MM), round(-39.9 * MM), None)
    second = knowing(Stage("back", None, turned, (JAWS,), rows(SECOND), 0, {}, (), (), ()))
    return Certificate("by hand", {}, 5000, (TURNING,), (first, second))


def document(certificate: Certificate) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(certificate_text(certificate))
    return found


def signed(document: dict[str, Any]) -> bytes:
    """The file as whoever altered it would sign it again."""
    return json.dumps({**document, "sha256": content_hash(document)}).encode("ascii")
