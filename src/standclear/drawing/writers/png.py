"""A drawing as PNG, rendered from its SVG; no font of the machine is used."""

from __future__ import annotations

DOTS_PER_MM = 6.0
"""About 150 to the inch: an A3 sheet comes out 2520 wide."""


def to_png(svg: str) -> bytes:
    """PNG bytes of an SVG drawing."""
    import resvg_py

    root = svg.split("viewBox=", 1)[1].split('"')[1].split()
    drawn = resvg_py.svg_to_bytes(
        svg_string=svg,
        width=round(float(root[2]) * DOTS_PER_MM),
        height=round(float(root[3]) * DOTS_PER_MM),
        dpi=DOTS_PER_MM * 25.4,
        skip_system_fonts=True,
    )
    return bytes(drawn)
