"""T words and the place of a tool change."""

import pytest

from standclear.job.models import Machine, Tool
from standclear.motions.coordinates.places import Standing
from standclear.motions.table import FAR
from standclear.motions.tool_change.turret import ToolCall, after_change, find_tool, read_t_word


def tool(station: int, x: float | None = None, z: float = 0.0, offset: int | None = None) -> Tool:
    geometry = None if x is None else {"x": x, "z": z}
    return Tool.model_validate({"station": station, "geometry": geometry, "offset": offset})


@pytest.mark.parametrize(
    ("digits", "call"),
    [
        ("0101", ToolCall(1, 1)),
        ("0112", ToolCall(1, 12)),
        ("101", ToolCall(1, 1)),
        ("1212", ToolCall(12, 12)),
        ("010203", ToolCall(1, 2)),
        ("11", ToolCall(1, 1)),
        ("03", ToolCall(3, 3)),
        ("0100", ToolCall(1, 0)),
        ("0", ToolCall(None, 0)),
        ("0000", ToolCall(None, 0)),
        ("1", None),
        ("-1", None),
        ("#5", None),
    ],
)
def test_digits(digits: str, call: ToolCall | None) -> None:
    assert read_t_word(digits, [tool(1), tool(3)]) == call


def test_two_digits_that_could_be_either_are_not_guessed() -> None:
    assert read_t_word("12", [tool(12)]) == ToolCall(12, 12)
    assert read_t_word("12", [tool(1), tool(12)]) is None


def test_one_station_may_hold_two_offsets() -> None:
    tools = [tool(1), tool(1, offset=11), tool(2)]
    assert find_tool(tools, 1, 1) == (0, True)
    assert find_tool(tools, 1, 11) == (1, True)
    assert find_tool(tools, 1, 5) == (0, False)
    assert find_tool(tools, 4, 4) == (-1, True)


def test_place_follows_from_both_geometry_offsets() -> None:
    """By hand: slides at machine z -100, x -80 (diameter). A touches the face at -300, B, 50 mm
    longer, at -250, so A stands 200 in front and B 150; in X A 220 less 80... B 10 mm nearer."""
    change = after_change(
        Standing(200.0, 70.0, "G54"),
        tool(1, -220.0, -300.0),
        tool(2, -200.0, -250.0),
        Machine(),
        True,
    )
    assert change.standing == Standing(150.0, 60.0, "G54")
    assert change.loss is None and not change.trusted


def test_home_stays_home_on_trust() -> None:
    change = after_change(Standing(FAR, FAR, "G54"), None, tool(2), Machine(), True)
    assert change.standing.position == (FAR, FAR)
    assert change.trusted


@pytest.mark.parametrize("geometry", [True, False])
def test_at_home_in_one_axis_the_other_moves_with_the_tool(geometry: bool) -> None:
    """A touches off at X-220, B at X-200: B stands 10 further in on radius. Without the offsets
    of both nobody knows where; at home in Z it stays, either way."""
    tools = (tool(1, -220.0), tool(2, -200.0)) if geometry else (tool(1), tool(2))
    change = after_change(Standing(FAR, 70.0, "G54"), *tools, Machine(), True)
    assert (change.standing.z, change.standing.r) == (FAR, 60.0 if geometry else None)
    assert (change.loss is None) == geometry


@pytest.mark.parametrize(
    ("x", "z", "place", "lost"),
    [
        (150.0, 100.0, (FAR, FAR), False),
        (150.0, 20.0, (None, FAR), True),
        (60.0, 100.0, (FAR, None), True),
        (60.0, 20.0, (None, None), True),
    ],
)
def test_safe_place(x: float, z: float, place: tuple[float | None, ...], lost: bool) -> None:
    machine = Machine(safe_x=140.0, safe_z=100.0)
    change = after_change(Standing(z, x / 2, "G54"), tool(1), tool(2), machine, True)
    assert (change.standing.z, change.standing.r) == place
    assert (change.loss is not None) == lost
