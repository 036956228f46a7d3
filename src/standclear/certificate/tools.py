"""The tools of a set-up as a certificate holds them."""

from __future__ import annotations

import shapely

from standclear.audit.exact import Point
from standclear.audit.read import Tool
from standclear.certificate.errors import NoCertificate
from standclear.certificate.parts import convex_parts, nm, nm_above, ring_nm
from standclear.proof.held import HeldReading
from standclear.sweeps.sweep import ON_CENTRE
from standclear.tools.shape import ToolShape

SHARE_OF_LIMIT = 0.94
"""How much of the contact limit a body is drawn in by: the checker's own rim reaches 0.949 of it,
for it is a polygon inside the circle."""


def certificate_tools(held: HeldReading, contact_limit: float) -> list[Tool]:
    """The tools that the trace names, in its order."""
    motions, tools = held.trace.motions, []
    for index, tooling in enumerate(held.tools):
        if tooling is None:
            raise NoCertificate(f"{held.names[index]} is not among the job's tools")
        shape = tooling.shape
        bent = float(motions.sagitta[motions.tool == index].max(initial=0.0))
        by = SHARE_OF_LIMIT * (contact_limit - bent)
        body = shapely.Polygon(shape.outer).buffer(-by, join_style="round", quad_segs=4)
        if body.is_empty:
            raise NoCertificate(f"{held.names[index]} is thinner than the contact limit")
        edges, cuts = _flagged(shape)
        tools.append(
            Tool(
                held.names[index],
                tuple(ring_nm(shape.outer.tolist())),
                tuple(tuple(part) for part in convex_parts(body)),
                edges,
                cuts,
                tuple(ring_nm(shape.cutting_part.tolist())),
                int(tooling.cuts_with),
                shape.kind in ON_CENTRE,
                shape.kind != "tap",
                nm_above(held.wear[index]),
            )
        )
    return tools


def _flagged(shape: ToolShape) -> tuple[tuple[Point, ...], tuple[bool, ...]]:
    """The inner outline with its flags, less edges without length."""
    points = [(nm(z), nm(r)) for z, r in shape.inner.tolist()]
    ends = [*points[1:], points[0]]
    kept = [k for k, (p, q) in enumerate(zip(points, ends, strict=True)) if p != q]
    return tuple(points[k] for k in kept), tuple(bool(shape.inner_cuts[k]) for k in kept)
