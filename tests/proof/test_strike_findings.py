"""Which of the strikes of one block is told."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from proof_shop import files_of, measured

from standclear import hold
from standclear.findings.finding import Finding
from standclear.motions.table import Path
from standclear.proof.facts import Scene, obstacle_findings, strike_findings
from standclear.proof.obstacles import Encounter
from standclear.proof.result import Part, Strike


@pytest.fixture(scope="module")
def facing() -> tuple[Scene, list[int]]:
    """A facing cycle, and the numbers of its motions: to the front, across, back, home."""
    held = hold(files_of("G00 X44. Z4.\nG94 X-0.6 Z0. F0.2\nG00 X60."))
    trace = held.readings[0][0].trace
    rows = [k for k in range(len(trace.motions)) if trace.motions.call[k] >= 0]
    assert len(rows) == 4 and len({int(trace.motions.block[k]) for k in rows}) == 1
    return Scene("one", held.programs["one.nc"], trace, len(trace.motions)), rows


def strike(motion: int, deep: float) -> Strike:
    box = shapely.box(0.0, 10.0, deep, 10.0 + deep)
    return Strike(motion, Part.TOOL_IN_RAPID, box, deep, deep)


def told(scene: Scene, *strikes: Strike) -> Finding:
    (found,) = strike_findings(scene, strikes, {})
    return found


def test_the_deepest_is_told_and_of_equals_the_first(facing: tuple[Scene, list[int]]) -> None:
    scene, rows = facing
    assert told(scene, strike(rows[0], 1.0), strike(rows[2], 2.0)).motion == rows[2]
    assert told(scene, strike(rows[0], 2.0), strike(rows[2], 1.0)).motion == rows[0]
    same = told(scene, strike(rows[0], 1.0), strike(rows[2], 1.0))
    assert same.motion == rows[0]
    assert measured(same, "count") == 2 and "2 motions of this block" not in same.message
    assert "({count} motions of this block strike" in same.message


def test_a_sure_strike_is_told_before_a_deeper_one_that_is_not(
    facing: tuple[Scene, list[int]],
) -> None:
    scene, rows = facing
    unsure = Scene(scene.setup, scene.program, scene.trace, rows[1])
    found = told(unsure, strike(rows[0], 1.0), strike(rows[2], 5.0))
    assert found.motion == rows[0] and "may run" not in found.message
    assert "may run" in told(unsure, strike(rows[2], 5.0)).message


def test_a_strike_is_told_with_its_place(facing: tuple[Scene, list[int]]) -> None:
    scene, rows = facing
    # From Z0 to Z2. and r 10 to 13; the cycle goes down at Z0 first.
    struck = Strike(rows[0], Part.TOOL_IN_RAPID, shapely.box(0.0, 10.0, 2.0, 13.0), 3.0, 2.0)
    found = told(scene, struck)
    places = {"depth": 2.0, "z_from": 0.0, "z_to": 2.0, "d_from": 20.0, "d_to": 26.0}
    assert {name: measured(found, name) for name in places} == places
    jaws = Encounter(rows[0], "jaws", 0.0, struck.overlap, strikes=True)
    (found,) = obstacle_findings(scene, [jaws], 1.0)
    assert found.message.startswith("The tool strikes the jaws")
    places = {"depth": 2.0, "z_from": 0.0, "z_to": 2.0}
    assert {name: measured(found, name) for name in places} == places
    (unsure,) = obstacle_findings(replace(scene, unproven_from=rows[0]), [jaws], 1.0)
    assert unsure.message.startswith("The tool may strike the jaws")


def test_the_motion_that_could_not_be_followed_strikes_no_more_surely_than_those_after_it(
    facing: tuple[Scene, list[int]],
) -> None:
    scene, rows = facing
    unsure = replace(scene, unproven_from=rows[0])
    found = told(unsure, strike(rows[0], 1.0), strike(rows[2], 5.0))
    assert found.motion == rows[2] and "may run" in found.message
    assert "may run" in told(unsure, strike(rows[0], 1.0)).message


def test_only_of_a_way_that_is_not_known_is_it_said_that_any_is_tried(
    facing: tuple[Scene, list[int]],
) -> None:
    """Outside a cycle a rapid has no way home; what is not known of it is told elsewhere."""
    scene, rows = facing
    tried = "the way is not stated"
    assert tried not in told(scene, strike(rows[0], 1.0)).message
    motions = scene.motions
    path = motions.path.copy()
    path[[0, rows[0]]] = Path.ANYWHERE
    unknown = replace(scene, trace=replace(scene.trace, motions=replace(motions, path=path)))
    assert tried in told(unknown, strike(rows[0], 1.0)).message
    assert tried not in told(unknown, strike(rows[2], 1.0)).message
    assert motions.call[0] < 0 and tried not in told(unknown, strike(0, 1.0)).message


@pytest.mark.parametrize(
    ("first", "second", "told_first"),
    [
        # (distance, side of the overlap, strikes)
        ((0.5, 0.0, False), (0.3, 0.0, False), False),
        ((0.3, 0.0, False), (0.5, 0.0, False), True),
        ((0.0, 0.1, True), (0.0, 0.2, True), False),
        ((0.0, 0.2, True), (0.0, 0.2, True), True),
        ((0.0, 0.1, True), (0.0, 0.2, False), True),
    ],
)
def test_of_an_obstacle_a_strike_then_the_nearest_then_the_deepest_is_told(
    facing: tuple[Scene, list[int]],
    first: tuple[float, float, bool],
    second: tuple[float, float, bool],
    *,
    told_first: bool,
) -> None:
    scene, rows = facing
    met = [
        Encounter(row, "jaws", away, shapely.box(0.0, 20.0, side, 20.0 + side), strikes)
        for row, (away, side, strikes) in zip((rows[0], rows[2]), (first, second), strict=True)
    ]
    (found,) = obstacle_findings(scene, met, 1.0)
    assert found.motion == (rows[0] if told_first else rows[2])
