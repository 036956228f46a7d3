from __future__ import annotations

from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reading import proved_example, stumbles
from shapely.geometry import Polygon, box

from standclear.drawing.inks import Ink, Tone
from standclear.drawing.maps.axes import Axes, ticks
from standclear.drawing.maps.stock_map import in_hand, stock_map
from standclear.drawing.shapes import Drawing, Fill, Group, Line, Shape, Text
from standclear.job.models import Job
from standclear.plan.rack.check import Fit, Row
from standclear.plan.rack.rack_file import Stock
from standclear.plan.windows.edges import Edge
from standclear.plan.windows.frames import Across
from standclear.plan.windows.stock import Window
from standclear.proof.result import JobProof

CORNERS = [(81.5, 45.4), (92.5, 45.4), (92.5, 50.8), (81.5, 50.8)]
SIDES = [
    ("does not clean up", "diameter", "front end", 0),
    ("comes loose", "metal", "back end", 41),
    ("strikes", "metal", "front end", 11),
    ("not looked further", "", "", 0),
]


def edges() -> tuple[Edge, ...]:
    ends = [*CORNERS[1:], CORNERS[0]]
    return tuple(Edge(a, b, *side) for a, b, side in zip(CORNERS, ends, SIDES, strict=True))


WINDOW = Window(
    "", Across.LENGTH, (83.0, 48.0), box(81.5, 45.4, 92.5, 50.8), edges(),
    (79.0, 36.0, 95.0, 60.0), (),
)  # fmt: skip


@pytest.fixture(scope="module")
def pin() -> tuple[Job, JobProof]:
    held, proof = proved_example("demo-pin")
    return held.files.job, proof


def row(name: str, size: float, fit: Fit, *, other_shape: bool = False) -> Row:
    known = {
        "stock": Stock(name=name, size=size, length=1000.0),
        "blank_length": 83.0,
        "fit": fit,
        "in_window": None if other_shape else fit is Fit.CLEAR,
    }
    return Row(**{field.name: known.get(field.name) for field in fields(Row)})


def words(drawing: Drawing) -> list[str]:
    return [s.string for s in drawing.leaves if isinstance(s, Text)]


def groups(shapes: tuple[Shape, ...], part: str) -> list[Group]:
    found: list[Group] = []
    for shape in shapes:
        if isinstance(shape, Group):
            found += [shape] if shape.part == part else groups(shape.shapes, part)
    return found


def test_each_edge_is_labelled_with_what_stops_there_and_its_block(
    pin: tuple[Job, JobProof],
) -> None:
    drawing = stock_map(WINDOW, *pin)
    said = words(drawing)
    assert "1. does not clean up, diameter" in said
    assert "2. comes loose, line 41" in said
    assert "3. strikes, line 11" in said
    assert "4. not looked further" in said
    assert any(w.startswith("3  strikes: front end, line 11: G94 X-1.6 Z1. F0.2") for w in said)
    assert stumbles(drawing) == []


def test_each_side_has_a_line_type_of_its_own(pin: tuple[Job, JobProof]) -> None:
    drawing = stock_map(WINDOW, *pin)
    inks = {}
    for group in groups(drawing.shapes, "edge"):
        (line,) = group.shapes
        assert isinstance(line, Line)
        inks[dict(group.data)["side"]] = line.ink
    assert inks == {
        "strikes": Ink.STRIKES_EDGE,
        "does not clean up": Ink.UNCLEAN_EDGE,
        "comes loose": Ink.LOOSE_EDGE,
        "not looked further": Ink.OPEN_EDGE,
    }


def test_the_blank_in_hand_is_a_cross_in_the_box_of_its_tolerances(
    pin: tuple[Job, JobProof],
) -> None:
    # examples/demo-pin/job.toml: 48 -0.16/0, 83 -0.2/+0.2; the front's face at Z2 is touched to
    # 0.05 and leans by 0.2: its points lie from 2 - 0.05 - 0.2 to 2 + 0.05.
    job, _ = pin
    assert in_hand(WINDOW, job).box == pytest.approx((82.8, 47.84, 83.2, 48.0))
    front = replace(WINDOW, setup="front end", across=Across.FACE, stated=(2.0, 48.0))
    assert in_hand(front, job).box == pytest.approx((1.75, 47.84, 2.05, 48.0))


def test_the_place_of_the_cross_is_that_of_the_stated_blank(pin: tuple[Job, JobProof]) -> None:
    drawing = stock_map(WINDOW, *pin)
    (blank,) = groups(drawing.shapes, "blank")
    assert dict(blank.data) == {"across": "83", "size": "48"}
    region = next(s for s in drawing.leaves if isinstance(s, Fill) and s.tone is Tone.CLEAR)
    corners = Polygon(region.rings[0]).bounds
    level = blank.shapes[1]
    assert isinstance(level, Line)
    (u0, v0), (u1, _) = level.points
    # 83 lies 1.5 of 11 into the region, 48 lies 2.6 of 5.4 up.
    assert ((u0 + u1) / 2 - corners[0]) / (corners[2] - corners[0]) == pytest.approx(1.5 / 11)
    assert (v0 - corners[1]) / (corners[3] - corners[1]) == pytest.approx(2.6 / 5.4)


def test_bars_are_points_with_their_names_told_apart_by_shape(pin: tuple[Job, JobProof]) -> None:
    rack = [
        row("rack 1", 46.0, Fit.CLEAR),
        row("rack 2", 49.0, Fit.AFTER_EDITS),
        row("rack 3", 52.0, Fit.NOT),
        row("six sides", 47.0, Fit.CLEAR, other_shape=True),
        row("thick", 90.0, Fit.NOT),
    ]
    drawing = stock_map(WINDOW, *pin, rack)
    said = words(drawing)
    assert {"rack 1: clear", "rack 2: clear after edits", "rack 3: not possible"} <= set(said)
    assert "Not on this map: six sides 47.0 mm, clear" in said
    assert "Not on this map: thick 90.0 mm, not possible" in said
    drawn = [
        tuple((type(s).__name__, getattr(s, "tone", None)) for s in group.shapes)
        for group in groups(drawing.shapes, "bar")
    ]
    assert len(drawn) == len(set(drawn)) == 3
    assert stumbles(drawing) == []


def test_it_says_where_the_blank_lies_and_what_the_proof_answers(
    pin: tuple[Job, JobProof],
) -> None:
    assert "The blank in hand: clear; it lies in the window." in words(stock_map(WINDOW, *pin))
    thick = replace(WINDOW, stated=(83.0, 52.0))
    assert "The blank in hand: clear; it lies OUTSIDE the window." in words(stock_map(thick, *pin))


def test_an_empty_window_is_said_in_words(pin: tuple[Job, JobProof]) -> None:
    drawing = stock_map(replace(WINDOW, region=Polygon(), edges=()), *pin)
    assert "no blank is clear and cleans up within what was looked at" in words(drawing)
    assert stumbles(drawing) == []


@pytest.mark.parametrize(("width", "height"), [(120.0, 100.0), (150.0, 110.0), (260.0, 150.0)])
def test_a_map_reads_well_at_other_sizes(
    pin: tuple[Job, JobProof], width: float, height: float
) -> None:
    job, proof = pin
    flats = job.model_copy(update={"blank": job.blank.model_copy(update={"shape": "hexagon"})})
    many = replace(WINDOW, notes=tuple(f"something left out, number {i}" for i in range(12)))
    drawing = stock_map(many, flats, proof, width=width, height=height)
    assert stumbles(drawing) == []
    said = words(drawing)
    assert "width across flats of the bar, mm" in said
    if height < 120:
        assert any(w.startswith("and ") and w.endswith("see the answer in words") for w in said)


@given(
    st.floats(-50, 50), st.floats(0.01, 200), st.sampled_from(["mm", "inch"])
)  # fmt: skip
def test_ticks_are_round_few_and_inside(low: float, span: float, units: str) -> None:
    found = ticks(low, low + span, units)
    one = 25.4 if units == "inch" else 1.0
    assert 2 <= len(found) <= 9
    for value, figure in found:
        assert low - 1e-6 <= value <= low + span + 1e-6
        assert float(figure) * one == pytest.approx(value, abs=1e-6 * one)


@given(st.floats(0, 10), st.floats(40, 60))
def test_a_place_on_paper_is_the_blank_that_was_put_there(x: float, y: float) -> None:
    axes = Axes((0.0, 40.0, 10.0, 60.0), (20.0, 30.0, 170.0, 110.0))
    assert axes.value(*axes.at(x, y)) == pytest.approx((x, y), abs=1e-9)
