"""T words: which tool they call, and where its controlled point then stands."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.job.models import Machine, Tool
from standclear.motions.coordinates.places import Coordinate, Standing
from standclear.motions.state import Loss
from standclear.motions.table import FAR


@dataclass(frozen=True, slots=True)
class ToolCall:
    """A T word read. `station` None keeps the station; `offset` 0 cancels the offset."""

    station: int | None
    offset: int


def read_t_word(digits: str, tools: list[Tool]) -> ToolCall | None:
    """`T0101` and `T101`: station 01, offset 01; `T010112`: geometry 01, wear 12; `T11`, `T01`.

    Two digits are a station and an offset of one digit each, or a station alone; the job's stations
    decide; blanks mean nothing. None where they do not decide, or the word has another form.
    """
    digits = "".join(digits.split())
    if not digits.isdigit():
        return None
    if int(digits) == 0:
        return ToolCall(None, 0)
    if len(digits) in (3, 5):
        digits = "0" + digits
    if len(digits) in (4, 6):
        return ToolCall(int(digits[:2]), int(digits[2:4]))
    if len(digits) != 2:
        return None
    ways = [ToolCall(int(digits), int(digits))]
    if digits[0] != "0":
        ways.insert(0, ToolCall(int(digits[0]), int(digits[1])))
    stations = {tool.station for tool in tools}
    held = [way for way in ways if way.station in stations]
    if len(held) > 1:
        return None
    return held[0] if held else ways[0]


def find_tool(tools: list[Tool], station: int, offset: int) -> tuple[int, bool]:
    """(index of the tool, whether the offset is its own); index -1 if the station is empty."""
    at_station = [i for i, tool in enumerate(tools) if tool.station == station]
    for i in at_station:
        own = tools[i].offset
        if offset == (station if own is None else own):
            return i, True
    return (at_station[0], False) if at_station else (-1, True)


@dataclass(frozen=True, slots=True)
class Change:
    """Where the new tool stands, why that is believed, and what is missing where it is not."""

    standing: Standing
    trusted: str = ""
    loss: Loss | None = None


_CURE = (
    "give both tools' geometry offsets, or change tools at home or beyond the machine file's "
    "safe_x and safe_z"
)


def after_change(
    standing: Standing, old: Tool | None, new: Tool | None, machine: Machine, diameters: bool
) -> Change:
    """Where the controlled point stands once `new` has taken the place of `old`.

    The slides stand still, so with both geometry offsets known the point moves by their difference
    (common practice, no source: place = machine place - work offset - geometry offset). Beyond the
    work it stays there; beyond a safe place it is taken to. Otherwise it is unknown.
    """
    if standing.z == FAR and standing.r == FAR:
        return Change(standing, "tools are changed at home, clear of everything")
    old_geometry, new_geometry = (tool.geometry if tool else None for tool in (old, new))
    if old_geometry is not None and new_geometry is not None:
        dz = old_geometry.z - new_geometry.z
        dr = (old_geometry.x - new_geometry.x) / 2
        return Change(Standing(_by(standing.z, dz), _by(standing.r, dr), standing.offset))
    x = None if standing.r is None else (2 * standing.r if diameters else standing.r)
    safe_x = standing.r == FAR or _reaches(x, machine.safe_x)
    safe_z = standing.z == FAR or _reaches(standing.z, machine.safe_z)
    loss = Loss(
        "tool-change-place-unknown",
        "where the new tool stands after this change is not known, and it moves from there",
        _CURE,
    )
    if not (safe_x or safe_z):
        # A place that was lost before has been reported where it was lost.
        known = standing.position is not None
        return Change(Standing(None, None, standing.offset), loss=loss if known else None)
    there = Standing(FAR if safe_z else None, FAR if safe_x else None, standing.offset)
    return Change(
        there,
        "tools are changed beyond the place that the machine file calls safe",
        None if there.position is not None else loss,
    )


def _by(coordinate: Coordinate, distance: float) -> Coordinate:
    return coordinate if coordinate is None or coordinate == FAR else coordinate + distance


def _reaches(value: float | None, limit: float | None) -> bool:
    return value is not None and limit is not None and value >= limit
