"""Checks between the keys of one table: what a single key's type and limits cannot say.

Each check takes a table and yields flaws with places in that table. A check asks for every key it
needs and for no more, since on a salvaged table an absent key ends it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from standclear.job.models import (
    BarBought,
    Blank,
    GroovingTool,
    Jaws,
    Job,
    Machine,
    Mark,
    Part,
    Seat,
    Shop,
    Table,
    Tap,
    Tool,
    ToolOutline,
    ToolsFile,
    WantedSize,
)
from standclear.job.units import Units, lengths_of, millimetres
from standclear.job.wording import Flaw, Place, member, shown
from standclear.motions.flow.variables import is_common
from standclear.motions.table import FAR

SAME_PLACE = 1e-9
"""Coordinates closer than this, in the file's unit, are the same number written twice."""

Check = Callable[[Any], Iterator[Flaw]]


def table_flaws(root: Table, units: Units, *, partial: bool) -> Iterator[Flaw]:
    """Flaws of `root` and of every table inside it, places counted from `root`.

    `partial` says that the table is salvaged: a check that needs an absent key says nothing.
    """
    for place, table in _tables_in(root, ()):
        for kind in type(table).__mro__:
            for check in CHECKS.get(kind, ()):
                yield from _run(check, table, place, partial)
        yield from _too_far(table, units, place)


def run_checks(checks: Sequence[Check], table: Table, *, partial: bool) -> Iterator[Flaw]:
    """Flaws that `checks` find in `table` alone; see `table_flaws` for `partial`."""
    for check in checks:
        yield from _run(check, table, (), partial)


def _run(check: Check, table: Table, place: Place, partial: bool) -> list[Flaw]:
    found: list[Flaw] = []
    try:
        for flaw in check(table):
            found.append(Flaw((*place, *flaw.place), flaw.found, flaw.accepted))
    except AttributeError:
        if not partial:
            raise
    return found


def _tables_in(value: object, place: Place) -> Iterator[tuple[Place, Table]]:
    if isinstance(value, Table):
        yield place, value
        for name in type(value).model_fields:
            yield from _tables_in(member(value, name), (*place, name))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _tables_in(item, (*place, index))


def _too_far(table: Table, units: Units, place: Place) -> Iterator[Flaw]:
    """Coordinates of unknown places stand at FAR; nothing real may lie beyond them."""
    for inner, value in lengths_of(table):
        if abs(value) >= FAR / millimetres(1.0, units):
            limit = f"{FAR / 1000:g} m"
            yield Flaw((*place, *inner), shown(value), f"give a length below {limit}")


def _bore(blank: Blank) -> Iterator[Flaw]:
    if blank.shape == "tube" and blank.bore is None:
        yield Flaw(("bore",), "missing", "give the bore of the tube, a diameter greater than 0")
    if blank.shape != "tube" and blank.bore is not None:
        yield Flaw(
            ("bore",), shown(blank.bore), 'leave it out, or give blank.shape as "tube" to use it'
        )


def _bore_in_size(blank: Blank) -> Iterator[Flaw]:
    if blank.bore is None:
        return
    largest, smallest = blank.bore + blank.bore_tolerance[1], blank.size + blank.size_tolerance[0]
    if blank.bore >= blank.size:
        yield Flaw(("bore",), shown(blank.bore), f"give less than the size, {shown(blank.size)}")
    elif largest >= smallest:
        yield Flaw(
            ("bore_tolerance",),
            shown(blank.bore_tolerance),
            f"the largest bore, {shown(largest)}, must stay below the smallest size, "
            f"{shown(smallest)}",
        )


def _something_left(size: str) -> Check:
    tolerance = f"{size}_tolerance"

    def check(blank: Blank) -> Iterator[Flaw]:
        nominal, deviations = getattr(blank, size), getattr(blank, tolerance)
        if nominal is not None and nominal + deviations[0] <= 0:
            yield Flaw(
                (tolerance,),
                shown(deviations),
                f"the lower deviation must leave something of the {size}, {shown(nominal)}",
            )

    return check


def _one_size(size: WantedSize) -> Iterator[Flaw]:
    if (size.diameter is None) == (size.length is None):
        found = "missing" if size.diameter is None else "given together with length"
        yield Flaw(("diameter",), found, "give either diameter or length")
    if size.diameter is not None and size.at_z is None:
        yield Flaw(("at_z",), "missing", "give the Z at which the diameter is measured")


def _sizes_on_part(part: Part) -> Iterator[Flaw]:
    for index, size in enumerate(part.sizes):
        at_z = member(size, "at_z")
        if isinstance(at_z, int | float) and not -part.length <= at_z <= 0:
            yield Flaw(
                ("sizes", index, "at_z"),
                shown(at_z),
                f"give a Z on the part, from {shown(-part.length)} to 0",
            )


def _outline_ends(part: Part) -> Iterator[Flaw]:
    if part.outline is None:
        return
    if len(part.outline) < 2:
        yield Flaw(("outline",), shown(part.outline), "give two or more points (z, diameter)")
        return
    for index, wanted, end in ((0, 0.0, "front face"), (-1, -part.length, "back face")):
        z = part.outline[index][0]
        if abs(z - wanted) > SAME_PLACE:
            place = ("outline", index % len(part.outline), 0)
            yield Flaw(place, shown(z), f"give {shown(wanted)}, the Z of the {end}")


def _outline_between(part: Part) -> Iterator[Flaw]:
    sound = True
    for index, (z, diameter) in enumerate(part.outline or ()):
        if (
            not -part.length - SAME_PLACE <= z <= SAME_PLACE
            and 0 < index < len(part.outline or ()) - 1
        ):
            sound = False
            accepted = f"give a Z on the part, from {shown(-part.length)} to 0"
            yield Flaw(("outline", index, 0), shown(z), accepted)
        if diameter < 0:
            sound = False
            yield Flaw(("outline", index, 1), shown(diameter), "give a diameter, 0 or more")
    if part.outline and len(part.outline) > 1 and sound:
        # Closed along a line just below the axis, so that a point on the axis is no crossing.
        below = -max(1.0, part.length)
        closed = [*part.outline, (part.outline[-1][0], below), (part.outline[0][0], below)]
        yield from _crossing(closed, "outline")


def _crossing(points: Sequence[Sequence[float]], key: str) -> Iterator[Flaw]:
    """A flaw where the closed polygon crosses or touches itself or encloses nothing."""
    # Shapely takes longer to import than a job takes to read, and most tables have no outline.
    from shapely import Polygon, is_valid_reason

    polygon = Polygon([tuple(point) for point in points])
    if polygon.is_valid and polygon.area > 0:
        return
    where = re.search(r"\[(\S+) (\S+)\]", is_valid_reason(polygon))
    near = f" near [{float(where[1]):.6g}, {float(where[2]):.6g}]" if where else ""
    yield Flaw(
        (key,), f"an outline that crosses or touches itself{near}", "give the corners in order"
    )


def _bent_rates(machine: Machine) -> Iterator[Flaw]:
    if machine.rapid_path == "bent" and machine.rapid_rates is None:
        yield Flaw(
            ("rapid_rates",),
            "missing",
            'give the rates x and z that bent rapids follow, or rapid_path as "unknown"',
        )


def _jaw_profile(jaws: Jaws) -> Iterator[Flaw]:
    yield from _crossing(jaws.profile, "profile")
    if max(h for _, h in jaws.profile) <= 0:
        yield Flaw(
            ("profile",),
            "an outline with nothing outside the gripping surface",
            "give points with h greater than 0",
        )


def _shape_of_tool(tool: Tool) -> Iterator[Flaw]:
    kinds = {
        "insert with holder": tool.insert is not None or tool.holder is not None,
        "outline": tool.outline is not None,
        "grooving": tool.grooving is not None,
        "threading": tool.threading is not None,
        "drill": tool.drill is not None,
        "tap": tool.tap is not None,
    }
    given = [kind for kind, there in kinds.items() if there]
    wanted = "give insert with holder, outline, grooving, threading, drill or tap"
    if not given:
        yield Flaw((), "without a shape", wanted)
    elif len(given) > 1:
        yield Flaw((), f"given by {' and '.join(given)}", f"{wanted}: one of them")


def _hole_of_tap(tap: Tap) -> Iterator[Flaw]:
    if tap.hole >= tap.diameter:
        yield Flaw(
            ("hole",), shown(tap.hole), f"give less than the diameter, {shown(tap.diameter)}"
        )


def _insert_in_holder(tool: Tool) -> Iterator[Flaw]:
    for key, other in (("insert", "holder"), ("holder", "insert")):
        if getattr(tool, key) is None and getattr(tool, other) is not None:
            yield Flaw((key,), "missing", f"give it together with the {other}")


def _holder_outline(tool: Tool) -> Iterator[Flaw]:
    if tool.holder_outline is not None:
        if len(tool.holder_outline) < 3:
            yield Flaw(("holder_outline",), shown(tool.holder_outline), "give three or more points")
        else:
            yield from _crossing(tool.holder_outline, "holder_outline")


def _outline_points(outline: ToolOutline) -> Iterator[Flaw]:
    first, last = tuple(outline.points[0]), tuple(outline.points[-1])
    if first == last:
        place = ("points", len(outline.points) - 1)
        yield Flaw(place, "the first point again", "leave it out: the outline closes by itself")
    else:
        yield from _crossing(outline.points, "points")


def _outline_edges(outline: ToolOutline) -> Iterator[Flaw]:
    count = len(outline.points)
    for index, edge in enumerate(outline.cutting):
        if edge >= count:
            yield Flaw(("cutting", index), shown(edge), f"give an edge from 0 to {count - 1}")


def _outline_corners(outline: ToolOutline) -> Iterator[Flaw]:
    count = len(outline.points)
    seen: set[int] = set()
    for index, corner in enumerate(outline.corners):
        point = member(corner, "point")
        if not isinstance(point, int):
            continue
        place = ("corners", index, "point")
        if point >= count:
            yield Flaw(place, shown(point), f"give a point from 0 to {count - 1}")
        elif point in seen:
            yield Flaw(place, f"{point} a second time", "give each corner once")
        seen.add(point)


def _corner_radius(tool: GroovingTool) -> Iterator[Flaw]:
    if 2 * tool.corner_radius > tool.width:
        yield Flaw(
            ("corner_radius",),
            shown(tool.corner_radius),
            f"give at most half of the width, {shown(tool.width / 2)}",
        )


def _same_tool(table: Job | ToolsFile) -> Iterator[Flaw]:
    if isinstance(table.tools, str):
        return
    first_with: dict[tuple[int, int], int] = {}
    for index, tool in enumerate(table.tools):
        station = member(tool, "station")
        offset = station if member(tool, "offset") is None else member(tool, "offset")
        if not (isinstance(station, int) and isinstance(offset, int)):
            continue
        before = first_with.setdefault((station, offset), index)
        if before != index:
            yield Flaw(
                ("tools", index),
                f"T{station} with offset {offset}, as tools[{before}] is",
                "give each pair of station and offset once",
            )


def _one_mark(mark: Mark) -> Iterator[Flaw]:
    marks = (("label", mark.label), ("stop", mark.stop), ("offset", mark.offset))
    given = [key for key, value in marks if value is not None]
    if len(given) != 1:
        found = f"given by {' and '.join(given)}" if given else "empty"
        yield Flaw((), found, "give one of label, stop and offset")
    if mark.reached is not None and mark.label is None:
        yield Flaw(("reached",), "given without a label", "leave it out, or start at a label")


def _one_price(bar: BarBought) -> Iterator[Flaw]:
    prices = (bar.price_per_metre, bar.price_per_kilogram)
    if sum(price is not None for price in prices) != 1:
        found = "priced twice" if all(p is not None for p in prices) else "without a price"
        yield Flaw((), found, "give price_per_metre or price_per_kilogram")


def _one_use(shop: Shop) -> Iterator[Flaw]:
    stations = [edge.station for edge in shop.edges]
    for index, station in enumerate(stations):
        if station in stations[:index]:
            place: Place = ("edges", index, "station")
            yield Flaw(place, str(station), "give each station once")


def _common_variables(job: Job) -> Iterator[Flaw]:
    variables = member(job, "variables")
    for name in variables if isinstance(variables, dict) else ():
        if not (name.isascii() and name.isdigit() and is_common(int(name[:9]))):
            accepted = "give common variables by number: 100 to 199, 500 to 999"
            yield Flaw(("variables", name), "no common variable", accepted)


def _stick_out(seat: Seat) -> Iterator[Flaw]:
    if seat.on == "stick-out" and seat.stick_out is None:
        yield Flaw(("stick_out",), "missing", "give how far the blank stands out of the jaws")


CHECKS: dict[type, tuple[Check, ...]] = {
    Blank: (
        _bore,
        _bore_in_size,
        _something_left("size"),
        _something_left("length"),
        _something_left("bore"),
    ),
    WantedSize: (_one_size,),
    Part: (_sizes_on_part, _outline_ends, _outline_between),
    Machine: (_bent_rates,),
    Jaws: (_jaw_profile,),
    Tool: (_shape_of_tool, _insert_in_holder, _holder_outline),
    ToolOutline: (_outline_points, _outline_edges, _outline_corners),
    GroovingTool: (_corner_radius,),
    Tap: (_hole_of_tap,),
    Mark: (_one_mark,),
    BarBought: (_one_price,),
    Shop: (_one_use,),
    Seat: (_stick_out,),
    Job: (_same_tool, _common_variables),
    ToolsFile: (_same_tool,),
}
"""Checks of each table; a table of a shared file inherits those of what it holds."""
