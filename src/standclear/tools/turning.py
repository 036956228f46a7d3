"""Turning tools and boring bars: insert and holder by designation, to a shape in the section."""

from __future__ import annotations

from typing import Literal

from shapely.geometry.base import BaseGeometry

from standclear.job.models import Tool
from standclear.tools.errors import MismatchError, ToolError
from standclear.tools.head import Shank, head_envelope
from standclear.tools.holder import Holder, check_pair, read_holder
from standclear.tools.holder_tables import SHARES_OF_OFFSET
from standclear.tools.insert import Insert, read_insert
from standclear.tools.insert_outline import place_insert
from standclear.tools.measured import measured_outline
from standclear.tools.outline import held, rounded
from standclear.tools.reflections import (
    Reflection,
    across_axis,
    along_axis,
    exchanged,
    in_section,
    reflected,
    reflected_point,
)
from standclear.tools.shape import ToolShape, in_both

LONGEST_SHANK_MM = 500.0
"""Taken where the length letter says special: the longest that ISO 5608 lists."""


def indexable_tool(tool: Tool) -> ToolShape:
    """Shape of a tool given by `holder` and `insert`, lengths in mm.

    An external shank is taken to stand across the axis, a bar along it. Seen from the shank with
    the insert's face up, a right-hand tool cuts to the left; with M03 the work comes down on that
    face where left is towards the chuck, with M04 where it is away from it (common practice, no
    source; it follows from the sense of M03 in ISO 841). So the hand and `cuts_with` together say
    which way the section lies. A bar cuts on the +X side: a right-hand bar with M03, a left-hand
    one with M04, else `MismatchError`.
    Raises `ToolError`, `DesignationError` or `MismatchError` naming what disagrees.
    """
    if tool.holder is None or tool.insert is None:
        missing = "holder" if tool.holder is None else "insert"
        raise ToolError(f"tool {tool.station} has no `{missing}`: give both holder and insert")
    holder, insert = read_holder(tool.holder), read_insert(tool.insert)
    check_pair(holder, insert)
    neutral = _is_neutral(holder, insert)
    placed = place_insert(insert, holder.entering_angle, neutral)
    to_section = _to_section(holder, tool.cuts_with)
    outer, inner = (
        in_section(rounded(placed.corners, placed.radii, placed.cuts, side), to_section)
        for side in ("outer", "inner")
    )
    trust = [*insert.warnings, *holder.trust, *_trust_of_place(holder, tool.cuts_with)]
    body: BaseGeometry
    if tool.holder_outline is not None:
        body = measured_outline(tool.holder_outline)
    else:
        body = reflected(head_envelope(placed, _shank(holder)), to_section)
        trust.extend(("holder from designation: verify", *_trust_of_shank(holder)))
    whole, free = held(outer, inner, body, tool.station)
    return ToolShape(
        outer=whole.points,
        outer_cuts=whole.cuts,
        inner=free.points,
        inner_cuts=free.cuts,
        cutting_part=inner.points,
        nose_radius_mm=placed.nose_radius,
        nose_centre=reflected_point(placed.nose_centre, to_section),
        kind="boring" if holder.kind == "bar" else "turning",
        assumed=tuple(trust),
    )


def _is_neutral(holder: Holder, insert: Insert) -> bool:
    if holder.hand != "N":
        return False
    angle = insert.included_angle
    if angle is not None and abs(2 * holder.entering_angle + angle - 180) > 1e-9:
        raise MismatchError(
            f"holder {holder.designation} is neutral, but with insert {insert.designation} an "
            f"entering angle of {holder.entering_angle:g} degrees does not stand even on both "
            "sides: give the hand R or L"
        )
    return True


def _to_section(holder: Holder, cuts_with: str) -> tuple[Reflection, ...]:
    """Reflections from the frame of `insert_outline` to the section."""
    natural = (holder.hand == "L") == (cuts_with == "M04")
    if holder.kind == "bar":
        if not natural:
            other = "M04" if cuts_with == "M03" else "M03"
            raise MismatchError(
                f"boring bar {holder.designation} cuts on the far side of the axis with "
                f"{cuts_with}: give `cuts_with` {other}, the bar of the other hand, or an `outline`"
            )
        return (along_axis,)
    reflections: tuple[Reflection, ...] = (exchanged,) if holder.cutting == "end" else ()
    if holder.hand != "N" and not natural:
        reflections += (across_axis,)
    return reflections


def _trust_of_place(holder: Holder, cuts_with: str) -> list[str]:
    """What is taken for granted of how the tool stands and where its controlled point is."""
    if holder.kind == "bar":
        return []
    name = holder.designation
    trust = [f"{name}: shank taken to stand across the axis"]
    if holder.hand == "N":
        trust.append(f"{name}: controlled point taken at the lowest point of the nose")
        return trust
    if holder.entering_angle < 90:
        trust.append(f"{name}: controlled point taken at the tangents of the nose")
    if (holder.hand == "L") != (cuts_with == "M04"):
        trust.append(f"{name} with {cuts_with}: taken to cut away from the chuck")
    elif holder.hand == "L":
        trust.append(f"{name} with {cuts_with}: taken to cut towards the chuck")
    return trust


def _trust_of_shank(holder: Holder) -> list[str]:
    """Where the tip offset comes from; nothing for a shank whose letter fixes its place."""
    name, offset, width = holder.designation, holder.tip_offset_mm, holder.width_mm
    if holder.hand == "N" or holder.shank == "straight":
        return []
    if offset is not None:
        table = "ISO 6261" if holder.kind == "bar" else "ISO 5610"
        return [f"{name}: tip offset f from {table}, from memory"]
    least, greatest = (share * width for share in SHARES_OF_OFFSET[holder.kind])
    return [
        f"{name}: no table gives the tip offset f; shank drawn for every f from "
        f"{in_both(least)} to {in_both(greatest)}"
    ]


def _shank(holder: Holder) -> Shank:
    """Where the shank can lie: where no table gives the tip offset, over its whole range."""
    length = holder.length_mm or LONGEST_SHANK_MM
    width = holder.width_mm
    runs: Literal["across", "along"] = "along" if holder.cutting == "end" else "across"
    offset = holder.tip_offset_mm
    if offset is not None:
        least = greatest = offset
    elif holder.shank == "straight":
        # A straight shank holds the tip within its width, on the half towards the feed; with an
        # entering angle from 90 degrees its side would reach the shoulder first if not flush.
        least = width if holder.entering_angle >= 90 else width / 2
        greatest = width
    else:
        least, greatest = (share * width for share in SHARES_OF_OFFSET[holder.kind])
    behind = width / 2 if holder.kind == "bar" else 0.0
    return Shank(runs, least + behind - width, greatest + behind, length)
