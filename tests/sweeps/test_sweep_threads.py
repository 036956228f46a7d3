"""Thread passes: the insert may be between tip and crest, nothing else may, and nothing is cut."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from section_shop import LIMIT, REACH, appear, feed, rapid, shape, table
from shapely.affinity import translate

from standclear.motions.table import Spindle
from standclear.proof.keep_out import KeepOut, keep_out
from standclear.sweeps.sweep import Tooling, sweep
from standclear.tools.shape import ToolShape

VEE = shape(
    [
        (0, 0),
        (2.5, 4.33),
        (2.5, 12),
        (9, 12),
        (9, 60),
        (-6, 60),
        (-6, 12),
        (-2.5, 12),
        (-2.5, 4.33),
    ],
    [0, 8],
    [(0, 0), (2.5, 4.33), (-2.5, 4.33)],
)
"""A V of 60 degrees 4.33 high on a blade 5 wide, its body 12 over the tip."""
HEELED = shape(
    [(0, 0), (2.5, 4.33), (2.5, 9), (6, 9), (6, 0.5), (9, 0.5), (9, 60), (-2.5, 60), (-2.5, 4.33)],
    [0, 8],
    [(0, 0), (2.5, 4.33), (-2.5, 4.33)],
)
"""The same with a heel 6 behind the tip and only 0.5 over it."""
DEEP = 1.0
PASS = [
    appear((10, 25)),
    rapid((10, 25), (10, 19)),
    feed((10, 19), (-20, 19)),
    rapid((-20, 19), (-20, 25)),
    rapid((-20, 25), (10, 25)),
]
"""A pass with its tip at r 19."""


def bar(r: float, z: float = 0.0, bore: float = 0.0) -> shapely.Polygon:
    return shapely.box(-50, bore, z, r)


def kept(tool: ToolShape, rows: list, *, spindle: int = Spindle.FORWARD) -> KeepOut:  # type: ignore[type-arg]
    """The keep-out of rows whose feeds are thread passes `DEEP` deep."""
    feeds = [row[0] == 1 for row in rows]
    motions = table(
        rows,
        credited=[not each for each in feeds],
        crest=[DEEP if each else 0.0 for each in feeds],
        spindle=spindle,
    )
    return keep_out(motions, [Tooling(tool, Spindle.FORWARD)], [0.0], LIMIT, REACH)


def struck(tool: ToolShape, rows: list, metal: shapely.Polygon) -> list[int]:  # type: ignore[type-arg]
    return kept(tool, rows).layers[0].first_strikes(metal)


def test_the_insert_runs_between_root_and_crest_and_out_again() -> None:
    assert struck(VEE, PASS, bar(20)) == []


def test_the_metal_of_the_thread_stays() -> None:
    assert kept(VEE, PASS).most_cut.is_empty
    again = [*PASS, rapid((10, 25), (10, 19.5)), rapid((10, 19.5), (-5, 19.5))]
    assert struck(VEE, again, bar(20)) == [6]


def test_metal_outside_the_crest_strikes() -> None:
    assert struck(VEE, PASS, bar(20.004)) == []
    assert struck(VEE, PASS, bar(20.01)) == [2]


def test_an_infeed_in_metal_strikes() -> None:
    assert struck(VEE, PASS, bar(20, z=7)) == []
    assert struck(VEE, PASS, bar(20, z=9.9)) == [1]


def test_a_withdrawal_that_leaves_the_groove_aslant_strikes() -> None:
    """The flanks lean by 30 degrees: up to that a way out is free of them."""
    for along, hit in ((3.4, []), (3.6, [3])):
        aslant = [*PASS[:3], rapid((-20, 19), (along - 20, 25))]
        assert struck(VEE, aslant, bar(20)) == hit


def test_the_holder_beside_the_insert_strikes_a_shoulder() -> None:
    """The tip stops at Z-20. with the blade 2.5 ahead of it: a shoulder 5 over the tip strikes at
    Z-22.4 and not at Z-22.6; the body, 6 ahead and 12 over the tip, meets r 31.1 at Z-25.9."""
    shoulder = shapely.union_all([bar(20), shapely.box(-50, 0, -22.6, 24)])
    assert struck(VEE, PASS, shoulder) == []
    near = shapely.union_all([bar(20), shapely.box(-50, 0, -22.4, 24)])
    assert struck(VEE, PASS, near) == [2]
    high = shapely.union_all([bar(20), shapely.box(-50, 0, -25.9, 31.1)])
    assert struck(VEE, PASS, high) == [2]


def test_nothing_follows_the_insert_through_the_thread() -> None:
    """In turning the heel runs where the edge has been; in a thread metal stays there."""
    assert struck(HEELED, PASS, bar(20)) == [2]
    assert struck(HEELED, PASS, bar(19.5)) == []
    turning = table(PASS)
    keep = keep_out(turning, [Tooling(HEELED, Spindle.FORWARD)], [0.0], LIMIT, REACH)
    assert keep.layers[0].first_strikes(bar(20)) == []


def test_inside_the_crest_lies_nearer_to_the_axis() -> None:
    points = [(0, 0), (-2.5, -4.33), (-2.5, -8), (60, -8), (60, -4.33), (2.5, -4.33)]
    bar_tool = shape(points, [0, 5], [(0, 0), (-2.5, -4.33), (2.5, -4.33)])
    rows = [
        appear((10, 10)),
        rapid((10, 10), (10, 16)),
        feed((10, 16), (-20, 16)),
        rapid((-20, 16), (-20, 10)),
        rapid((-20, 10), (10, 10)),
    ]
    assert struck(bar_tool, rows, bar(30, bore=15.004)) == []
    assert struck(bar_tool, rows, bar(30, bore=14.9)) == [2]


@pytest.mark.parametrize(("over", "hit"), [(0.0, []), (0.02, [1])])
def test_a_deep_thread_is_let_as_far_up_as_its_crest(over: float, hit: list[int]) -> None:
    """Its tip at r 16, the crest at 20 like the bar: the insert is 4.62 wide there."""
    rows = [appear((10, 16)), feed((10, 16), (-20, 16))]
    motions = table(rows, credited=[True, False], crest=[0.0, 4.0])
    keep = keep_out(motions, [Tooling(VEE, Spindle.FORWARD)], [0.0], LIMIT, REACH)
    assert keep.layers[0].first_strikes(bar(20 + over)) == hit


@pytest.mark.parametrize(("over", "hit"), [(0.0, []), (0.02, [1])])
def test_on_a_face_the_crest_lies_towards_the_tail_stock(over: float, hit: list[int]) -> None:
    """The V turned so that it points to the chuck, run along X with its tip 1 behind the face."""
    points = np.column_stack([VEE.outer[:, 1], -VEE.outer[:, 0]])
    facing = shape(points.tolist(), [0, 8], points[[0, 1, 8]].tolist())
    rows = [appear((-1, 50)), feed((-1, 50), (-1, 15))]
    motions = table(rows, credited=[True, False], crest=[0.0, DEEP])
    keep = keep_out(motions, [Tooling(facing, Spindle.FORWARD)], [0.0], LIMIT, REACH)
    assert keep.layers[0].first_strikes(bar(30, z=over)) == hit


def test_a_stopped_spindle_strikes() -> None:
    keep = kept(VEE, PASS, spindle=Spindle.STOPPED)
    assert keep.layers[0].first_strikes(bar(20)) == [2]


def test_the_crest_of_a_taper_leans_with_the_pass() -> None:
    """Tip from r 18 at Z10. to 21 at Z-20.: 0.1 a millimetre, its crest 1 over the tip's line."""
    rows = [
        appear((10, 25)),
        rapid((10, 25), (10, 18)),
        feed((10, 18), (-20, 21)),
        rapid((-20, 21), (-20, 25)),
    ]
    for over, hit in ((0.0, []), (0.02, [2])):
        cone = shapely.Polygon([(0, 0), (0, 20 + over), (-50, 25 + over), (-50, 0)])
        assert struck(VEE, rows, cone) == hit


@pytest.mark.parametrize("end", [(-20.0, 19.0), (-18.0, 21.0), (-15.0, 18.0), (10.0, 24.0)])
def test_all_but_the_insert_is_swept_point_by_point(end: tuple[float, float]) -> None:
    """The tool without what is exempt, set down at many places along the pass, lies in R or where
    it stood at the start."""
    rows = [feed((10, 19), end)]
    motions = table(rows, credited=[False], crest=[DEEP])
    swept = sweep(motions, [Tooling(HEELED, Spindle.FORWARD)], LIMIT, REACH)
    covered = shapely.union_all(swept.strike)
    outer = shapely.Polygon(HEELED.outer)
    travel = np.array(end) - (10, 19)
    along_z = abs(travel[0]) >= abs(travel[1])
    rng = np.random.default_rng(5)
    points = rng.uniform((-3, 0), (10, 15), (3000, 2))
    points = points[shapely.contains_xy(outer.buffer(-3 * LIMIT), points)]
    across = (
        points[:, 1] - points[:, 0] * travel[1] / travel[0]
        if along_z
        else points[:, 0] - points[:, 1] * travel[0] / travel[1]
    )
    insert = shapely.Polygon(HEELED.cutting_part).buffer(2 * LIMIT)
    exempt = shapely.contains_xy(insert, points) & (np.abs(across) <= DEEP + LIMIT)
    body = points[~exempt]
    begin = translate(outer, 10, 19)
    assert len(body) > 500
    for share in np.linspace(0, 1, 9):
        at = body + (10, 19) + share * travel
        at = at[~shapely.contains_xy(begin, at)]
        inside = at[(at[:, 1] > 0) & (at[:, 0] < 60)]
        assert shapely.contains_xy(covered, inside).all()


def test_wear_of_either_tool_moves_the_crest_and_strikes_nothing() -> None:
    """The bar is turned to the crest by a tool 0.1 off and threaded by one 0.05 off: the crest may
    stand 0.15 further out."""
    square = shape([(0, 0), (10, 0), (10, 10), (0, 10)], [0, 3])
    turn = [appear((10, 20)), feed((10, 20), (-40, 20)), appear((10, 25))]
    rows = [*turn, *PASS[1:]]
    motions = table(
        rows,
        tool=[0, 0, 1, 1, 1, 1, 1],
        credited=[True, True, True, True, False, True, True],
        crest=[0, 0, 0, 0, DEEP, 0, 0],
    )
    tools = [Tooling(square, Spindle.FORWARD), Tooling(VEE, Spindle.FORWARD)]
    keep = keep_out(motions, tools, [0.1, 0.05], LIMIT, REACH)
    layer = next(each for each in keep.layers if each.grow == 0.05)
    assert layer.first_strikes(bar(22).buffer(0.05, join_style="mitre")) == []
    # Before it is turned the bar stands a whole millimetre over the crest.
    early = table(
        [appear((10, 25)), *PASS[1:]],
        tool=[1] * 5,
        credited=[True, True, False, True, True],
        crest=[0, 0, DEEP, 0, 0],
    )
    keep = keep_out(early, tools, [0.1, 0.05], LIMIT, REACH)
    layer = next(each for each in keep.layers if each.grow == 0.05)
    assert layer.first_strikes(bar(21).buffer(0.05, join_style="mitre")) == [2]


@pytest.mark.parametrize(("leave", "up"), [(-17.0, 22.0), (-19.5, 19.5), (0.0, 25.0)])
def test_a_pull_out_enters_nothing_that_the_way_round_it_does_not(leave: float, up: float) -> None:
    """A control that pulls out at `leave`, in a line to Z-20. and r `up`, puts nothing of the tool
    where infeed, pass to the end, withdrawal and return do not: each point of it is tested there,
    or is thread that the insert covers on the pass at full depth."""
    motions = table(
        PASS, credited=[True, True, False, True, True], crest=[0.0, 0.0, DEEP, 0.0, 0.0]
    )
    swept = sweep(motions, [Tooling(VEE, Spindle.FORWARD)], LIMIT, REACH)
    insert = np.concatenate([VEE.cutting_part + at for at in ((10, 19), (-20, 19))])
    thread = shapely.MultiPoint(insert).convex_hull & shapely.box(-60, 19, 60, 19 + DEEP)
    covered = shapely.union_all([*swept.strike, thread]).buffer(2 * LIMIT)
    outer = shapely.Polygon(VEE.outer)
    points = np.random.default_rng(7).uniform((-6, 0), (9, 30), (3000, 2))
    points = points[shapely.contains_xy(outer, points)]
    for share in np.linspace(0, 1, 9):
        tip = np.array([leave + share * (-20 - leave), 19 + share * (up - 19)])
        assert shapely.contains_xy(covered, points + tip).all()


def test_a_pass_of_no_length_strikes_nothing_and_leaves_the_others_as_they_are() -> None:
    """It leans nowhere, so nothing may be worked out of its lean."""
    stands, runs = feed((10, 19), (10, 19)), feed((10, 19), (-20, 19))
    both, alone = (
        sweep(
            table(rows, credited=[False] * len(rows), crest=[DEEP] * len(rows)),
            [Tooling(HEELED, Spindle.FORWARD)],
            LIMIT,
            REACH,
        )
        for rows in ([stands, runs, stands], [runs])
    )
    assert set(both.strike_motion.tolist()) == {1}
    assert shapely.union_all(both.strike).equals(shapely.union_all(alone.strike))
