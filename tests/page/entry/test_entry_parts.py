"""Small parts of the form: numbers as typed, corners, steps of jaws, rows, pictures."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standclear.page.answers import Refused
from standclear.page.entry.acting import acted
from standclear.page.entry.checking import tool_in_mm
from standclear.page.entry.entries import rows_in
from standclear.page.entry.jaw_rows import JawStep, StepMisfit, jaw_steps_of, profile_of
from standclear.page.entry.naming import label_of
from standclear.page.entry.numbers import NotRead, number_of, number_text
from standclear.page.entry.part_reading import steps_of
from standclear.page.entry.part_rows import (
    Corner,
    CornerMisfit,
    Step,
    corner_of,
    length_of,
    outline_of,
)
from standclear.page.entry.pictures import jaw_picture, part_picture, tool_picture
from standclear.tools.errors import ToolError


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("52", 52.0),
        (" 52.5 ", 52.5),
        ("52,5", 52.5),
        ("-.16", -0.16),
        ("3.", 3.0),
        ("1 7/8", 1.875),
        ("1-7/8", 1.875),
        ("-1/2", -0.5),
        ("+4", 4.0),
        ("-0", 0.0),
    ],
)
def test_numbers_as_a_shop_writes_them(text: str, value: float) -> None:
    found = number_of(text)
    assert found == value
    assert math.copysign(1.0, found) == math.copysign(1.0, value)


@pytest.mark.parametrize(
    "text", ["", "x", "5 2", "1e3", "1/0", "52mm", "1,000.5", "--3", "9" * 40, "nan", "²"]
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(NotRead):
        number_of(text)


@settings(max_examples=200)
@given(st.floats(-1e6, 1e6, allow_nan=False).map(lambda v: round(v, 6) + 0.0))
def test_a_number_shown_is_the_number_read(value: float) -> None:
    assert number_of(number_text(value)) == value
    assert "e" not in number_text(value)


@pytest.mark.parametrize(
    ("text", "corner"),
    [
        ("", Corner()),
        ("0", Corner()),
        ("1", Corner(1.0)),
        ("1x45", Corner(1.0)),
        ("1 X 30°", Corner(1.0, 30.0)),
        ("R0.5", Corner(0.5, round=True)),
        ("r 2", Corner(2.0, round=True)),
    ],
)
def test_corners_as_a_drawing_writes_them(text: str, corner: Corner) -> None:
    assert corner_of(text) == corner


@pytest.mark.parametrize("text", ["x", "1x", "1x90", "1x0", "-1", "R1x45", "C1", "1x45x2"])
def test_what_is_no_corner_is_refused(text: str) -> None:
    with pytest.raises(NotRead):
        corner_of(text)


def test_the_outline_of_the_demo_pin_by_hand() -> None:
    """Front 30 over 22 with 1.5 at the face, collar 45 over 30 broken 1 both sides, back 36 over
    27 with 1.5 at the face: the points that its job file has."""
    steps = [
        Step(30, 22, front=corner_of("1.5")),
        Step(45, 30, front=corner_of("1"), back=corner_of("1")),
        Step(36, 27, back=corner_of("1.5")),
    ]
    wanted = [(0, 27), (-1.5, 30), (-22, 30), (-22, 43), (-23, 45)]
    wanted += [(-51, 45), (-52, 43), (-52, 36), (-77.5, 36), (-79, 33)]
    assert outline_of(steps, 0.001)[0] == wanted
    assert length_of(steps) == 79
    assert steps_of(wanted, 79.0, 0.001) == steps


def test_a_fillet_lies_in_the_inside_corner() -> None:
    """R2 between a journal of 20 and a shoulder up to 40: centre at Z-8, 12 from the axis; every
    point of the corner lies 2 from it, and the chords leave the arc by 0.001 at most."""
    outline, _ = outline_of([Step(20, 10, back=corner_of("R2")), Step(40, 10)], 0.001)
    arc = [(z, d / 2) for z, d in outline if -10 <= z <= -8 and 20 <= d <= 24]
    assert arc[0] == (-8, 10) and arc[-1] == (-10, 12)
    for z, r in arc:
        assert math.isclose(math.hypot(z + 8, r - 12), 2, abs_tol=2e-6)
    for (z0, r0), (z1, r1) in pairwise(arc):
        middle = math.hypot((z0 + z1) / 2 + 8, (r0 + r1) / 2 - 12)
        assert 2 - middle <= 0.001 + 2e-6


def test_a_chamfer_of_30_degrees_by_its_tangent() -> None:
    outline, _ = outline_of([Step(30, 22, front=corner_of("3x30"))], 0.001)
    assert outline[0] == (0, pytest.approx(30 - 2 * 3 * math.tan(math.pi / 6), abs=1e-5))
    assert outline[1] == (-3, 30)


@pytest.mark.parametrize(
    ("steps", "row", "end"),
    [
        ([Step(30, 2, front=Corner(2.5))], 0, "front"),
        ([Step(30, 2, front=Corner(1.5), back=Corner(1))], 0, "front"),
        ([Step(30, 5), Step(32, 5, front=Corner(1.5))], 1, "front"),
        ([Step(30, 5, back=Corner(0.8, round=True)), Step(32, 5, front=Corner(0.5))], 1, "front"),
        ([Step(30, 5), Step(30, 5, front=Corner(1))], 1, "front"),
        ([Step(30, 5), Step(20, 5, back=Corner(11))], 1, "back"),
        ([Step(30, 0)], 0, "length"),
        ([Step(-1, 5)], 0, "diameter"),
        ([Step(30, 5, -2)], 0, "to"),
    ],
)
def test_a_corner_without_room_is_named(steps: list[Step], row: int, end: str) -> None:
    with pytest.raises(CornerMisfit) as error:
        outline_of(steps, 0.001)
    assert (error.value.row, error.value.end) == (row, end)


def test_outlines_that_no_steps_give_stay_points() -> None:
    undercut = [
        (0.0, 20.0),
        (-10.0, 20.0),
        (-8.0, 16.0),
        (-12.0, 16.0),
        (-12.0, 30.0),
        (-20.0, 30.0),
    ]
    assert steps_of(undercut, 20.0, 0.001) is None
    curve = [(0.0, 0.0)] + [(-float(i), 2.0 * i**0.5) for i in range(1, 20)]
    assert steps_of(curve, 19.0, 0.001) is None
    assert steps_of([(0.0, 20.0), (-10.0, 20.0)], 12.0, 0.001) is None


def test_the_jaws_of_the_demo_pin_by_hand() -> None:
    """Teeth of 9.6 by 20 in front of a body of 14.4 by 45."""
    profile, owners = profile_of([JawStep(9.6, 20), JawStep(14.4, 45)])
    assert profile == [(0, 0), (24, 0), (24, 20), (14.4, 20), (14.4, 45), (0, 45)]
    assert owners == [1, 0, 0, 0, 1, 1]
    bored = [[24.0, 0.0], [40.0, 0.0], [40.0, 30.0], [0.0, 30.0], [0.0, 10.0], [24.0, 10.0]]
    points = [(z, h) for z, h in bored]
    assert jaw_steps_of(points) == [JawStep(16, 30), JawStep(24, 30, 10)]
    assert jaw_steps_of([(-14.0, 0.0), (16.0, 0.0), (16.0, 24.0), (-14.0, 42.0)]) is None


@pytest.mark.parametrize(
    ("step", "key"),
    [(JawStep(0, 5), "length"), (JawStep(5, 5, 6), "height"), (JawStep(5, 5, -1), "relief")],
)
def test_a_jaw_that_cannot_be_is_named(step: JawStep, key: str) -> None:
    with pytest.raises(StepMisfit) as error:
        profile_of([JawStep(5, 5), step])
    assert (error.value.row, error.value.key) == (1, key)


@settings(max_examples=100)
@given(
    st.lists(
        st.builds(
            JawStep,
            st.integers(1, 300).map(lambda v: v / 10),
            st.integers(200, 600).map(lambda v: v / 10),
            st.integers(0, 190).map(lambda v: v / 10),
        ),
        min_size=1,
        max_size=5,
    )
)
def test_jaws_read_again_make_the_same_profile(steps: list[JawStep]) -> None:
    profile, _ = profile_of(steps)
    again = jaw_steps_of(profile)
    assert again is not None
    assert profile_of(again)[0] == profile


@settings(max_examples=100)
@given(st.lists(st.sampled_from(["add", "up", "remove"]), max_size=12), st.data())
def test_rows_keep_what_they_hold_whatever_is_done(acts: list[str], data: st.DataObject) -> None:
    entries = {"blank.size": "4", "subprograms[0].@": "0", "subprograms[0]": "a.nc"}
    entries |= {"tools[0].@": "0", "tools[0].station": "9", "tools[0].wear": "0.9"}
    model = [("9", "0.9")]
    for act in acts:
        if act == "add":
            entries, focus = acted(entries, "add", "tools")
            assert focus == f"tools[{len(model)}].kind"
            stations = [int(station) for station, _ in model]
            model.append((str(max(stations, default=0) + 1), ""))
            continue
        if len(model) < 2:
            continue
        index = data.draw(st.integers(1, len(model) - 1))
        entries, _ = acted(entries, act, f"tools[{index}]")
        if act == "remove":
            del model[index]
        else:
            model[index - 1], model[index] = model[index], model[index - 1]
    rows = rows_in(entries, "tools")
    assert rows == list(range(len(model)))
    held = [(entries[f"tools[{i}].station"], entries.get(f"tools[{i}].wear", "")) for i in rows]
    assert held == model
    assert entries["blank.size"] == "4" and entries["subprograms[0]"] == "a.nc"


def test_a_list_is_not_grown_without_end() -> None:
    entries = {f"subprograms[{i}].@": "+" for i in range(400)}
    with pytest.raises(Refused, match="400"):
        acted(entries, "add", "subprograms")


def test_places_are_called_by_their_own_words() -> None:
    assert label_of("blank.size") == "Diameter of the bar"
    assert label_of("tools[2]") == "Tool 3"
    assert label_of("setup[0].zero.way") == "Set-up 1: How is part zero set?"
    assert label_of("setup") == "Set-ups, in the order of the work"


def words_in(svg: str) -> list[str]:
    return re.findall(r'data-words="([^"]*)"', svg)


def test_the_part_is_drawn_with_its_sizes() -> None:
    steps = [Step(30, 22, front=Corner(1.5)), Step(45, 30), Step(36, 27)]
    svg = part_picture(outline_of(steps, 0.001)[0], "p")
    assert {"Ø30", "Ø45", "Ø36", "22", "30", "27", "79"} <= set(words_in(svg))
    assert part_picture([], "p") == ""
    assert part_picture([(0.0, 0.0), (-1.0, 0.0)], "p") == ""


def test_jaws_are_drawn_and_nonsense_is_not() -> None:
    assert "surface gripped" in jaw_picture(profile_of([JawStep(10, 20)])[0], "j")
    assert jaw_picture([(0.0, 0.0), (1.0, 1.0), (0.0, 1.0), (1.0, 0.0)], "j") == ""


SIZES = st.integers(1, 4000).map(lambda v: v / 40)


def sizes(*keys: str) -> st.SearchStrategy[dict[str, float]]:
    return st.fixed_dictionaries(dict.fromkeys(keys, SIZES))


TOOLS: st.SearchStrategy[dict[str, object]] = st.one_of(
    st.fixed_dictionaries({"drill": sizes("diameter", "length")}),
    st.fixed_dictionaries({"grooving": sizes("width", "reach")}),
    st.fixed_dictionaries({"threading": sizes("width", "reach")}),
    st.fixed_dictionaries({"tap": sizes("diameter", "hole", "length")}),
    st.fixed_dictionaries(
        {
            "insert": st.sampled_from(["CNMG120408", "CCMT060204", "RCMT1204M0", "CN", ""]),
            "holder": st.sampled_from(["PCLNR2525M12", "A10K-SCLCR06", "SRDCN2525M12", "P"]),
        }
    ),
)


@settings(max_examples=150)
@given(TOOLS)
def test_a_tool_half_typed_is_drawn_or_refused_in_words(raw: dict[str, object]) -> None:
    kind = next(iter(raw))
    tool = tool_in_mm({"kind": kind, "station": 1, **raw}, "mm")
    if tool is None:
        return
    try:
        svg, _ = tool_picture(tool, "t")
    except ToolError:
        return
    assert svg.startswith("<svg")
