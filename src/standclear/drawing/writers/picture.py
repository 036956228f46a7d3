"""Drawings to a file of any form, by the ending of its name."""

from __future__ import annotations

from collections.abc import Sequence

from standclear.drawing.shapes import Drawing
from standclear.drawing.stacked import stacked
from standclear.drawing.writers.svg import to_svg


def picture(title: str, drawings: Sequence[Drawing], ending: str) -> bytes:
    """The bytes of a file: a page each as PDF, else all on one sheet under each other.

    Raises ValueError for an ending that is not among `standclear.drawing.kinds.ENDINGS`.
    """
    if ending == ".pdf":
        from standclear.drawing.writers.pdf import to_pdf

        return to_pdf(drawings)
    one = stacked(title, drawings)
    if ending == ".dxf":
        from standclear.drawing.writers.dxf import to_dxf

        return to_dxf(one)
    if ending == ".png":
        from standclear.drawing.writers.png import to_png

        return to_png(to_svg(one))
    if ending == ".svg":
        return to_svg(one).encode("utf-8")
    raise ValueError(f"no drawing ends in {ending!r}")
