"""Boring bars: what they are made of, how slender they stand out, how far they give way."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.estimate.bending import RADIAL_SHARE, bar_bend
from standclear.interval import Interval
from standclear.job.models import Tool
from standclear.tools.errors import ToolError
from standclear.tools.holder import Holder, read_holder

STEEL = (205_000.0, 210_000.0)
CARBIDE = (550_000.0, 630_000.0)
"""E, N/mm2, least and most; from memory of handbook tables."""
CARBIDE_SHANKS = "CEFG"
"""First letters of ISO 6261 for a shank of carbide (from memory); the rest count as steel."""
MOST_SLENDER = {True: 7.0, False: 4.0}
"""Overhang over diameter that carbide and steel are used to; common practice, no source."""


@dataclass(frozen=True)
class BoringBar:
    """A bar as it stands out. Millimetres."""

    diameter: float
    overhang: float
    carbide: bool

    @property
    def slenderness(self) -> float:
        """Overhang over diameter."""
        return self.overhang / self.diameter


def is_boring_bar(tool: Tool) -> bool:
    """True where the holder's designation is one of a boring bar."""
    return _holder(tool) is not None


def boring_bar(tool: Tool) -> BoringBar | None:
    """The bar of a tool whose holder is one by its designation and whose overhang the job states;
    None for any other."""
    holder = _holder(tool)
    if holder is None or tool.overhang is None:
        return None
    carbide = holder.designation[:1].upper() in CARBIDE_SHANKS
    return BoringBar(holder.height_mm, tool.overhang, carbide)


def gives_way(bar: BoringBar, force: Interval) -> Interval:
    """How far its tip gives way across the axis under cutting forces of `force` N, mm."""
    least, most = CARBIDE if bar.carbide else STEEL
    return Interval(
        bar_bend(force.lo * RADIAL_SHARE.lo, bar.overhang, bar.diameter, most),
        bar_bend(force.hi * RADIAL_SHARE.hi, bar.overhang, bar.diameter, least),
    )


def _holder(tool: Tool) -> Holder | None:
    """The holder, where it is a bar."""
    if tool.holder is None:
        return None
    try:
        holder = read_holder(tool.holder)
    except ToolError:
        return None
    return holder if holder.kind == "bar" else None
