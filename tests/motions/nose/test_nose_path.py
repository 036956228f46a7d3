"""Paths of the nose against closed forms, worked examples and an independent offset (GEOS)."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from standclear.motions.nose.joints import Corner
from standclear.motions.nose.path import Course, Entry, Manner, MannerAt, Nose, Trouble, tip_path
from standclear.motions.nose.pieces import LEFT, RIGHT, Piece, Side, sweep
from standclear.motions.nose.tips import centre_from_tip

Point = tuple[float, float]


def always(corner: Corner, entry: Entry = "perpendicular") -> MannerAt:
    return lambda waiting, after, side: Manner(corner, entry)


SQUARE, ARC = always("square"), always("arc")
OUTSIDE = 3


def nose(radius: float, direction: int = OUTSIDE) -> Nose:
    return Nose(radius, centre_from_tip(direction, radius))


def lines(*points: Point) -> list[Piece]:
    return [Piece(a, b) for a, b in pairwise(points)]


def path(
    pieces: list[Piece], radius: float, manner: MannerAt = SQUARE, side: Side = RIGHT
) -> list[Piece]:
    """The driven pieces, corners among them; no trouble is expected."""
    driven = tip_path([Course(p, side) for p in pieces], nose(radius), manner)
    assert [d.trouble for d in driven] == [None] * len(driven)
    return [piece for d in driven for piece in (d.own, *d.corner) if piece.moves]


def near(point: Point, z: float, x: float) -> bool:
    """`point` at Z and diameter X, to half of the last of four digits (X of three on radius)."""
    return abs(point[0] - z) < 6e-5 and abs(2 * point[1] - x) < 6e-5


@pytest.mark.parametrize(
    ("degrees", "dz", "dx"),
    [
        # Closed form dz = r (1 - tan(th/2)), dx = r (1 - tan(45 - th/2)), digits worked by hand.
        (45.0, 0.585786, 0.585786),
        (30.0, 0.732051, 0.422650),
        (15.0, 0.868348, 0.232673),
        (11.3099, 0.900980, 0.180196),
    ],
)
def test_taper_shifts_the_tip_as_the_closed_form_says(degrees: float, dz: float, dx: float) -> None:
    # Along a diameter and up a taper: the tip's lines cross dz nearer the chuck than the contour's
    # corner. Up a face and up a taper: dx nearer the axis.
    radius, slope = 0.8, math.tan(math.radians(degrees))
    top = (-10.0 - 5.0, 10.0 + 5.0 * slope)
    contour = lines((5.0, 15.0), (2.0, 10.0), (-10.0, 10.0), top, (top[0] - 3.0, top[1]))
    _, along, *_ = path(contour, radius)
    assert along.end[0] == pytest.approx(-10.0 - radius * dz, abs=2e-6)
    assert along.end[1] == pytest.approx(10.0, abs=1e-12)
    face = lines((5.0, 0.0), (0.0, 0.0), (0.0, 10.0), (-5.0, 10.0 + 5.0 * slope))
    _, up, _ = path(face, radius)
    assert 10.0 - up.end[1] == pytest.approx(radius * dx, abs=2e-6)


@pytest.mark.parametrize(("radius", "x", "z"), [(0.4, 37.5314, -1.2343), (0.8, 37.0627, -1.4686)])
def test_chamfer_1_by_45_on_diameter_40(radius: float, x: float, z: float) -> None:
    # True X38 Z0 -> X40 Z-1; the compensated tip from the closed form above.
    contour = lines((0.0, 10.0), (0.0, 19.0), (-1.0, 20.0), (-20.0, 20.0), (-20.0, 30.0))
    _, chamfer, *_ = path([Piece((3.0, 10.0), (0.0, 10.0)), *contour], radius)[1:]
    assert near(chamfer.start, 0.0, x)
    assert near(chamfer.end, z, 40.0)


@pytest.mark.parametrize("radius", [0.4, 0.8])
def test_convex_corner_radius_2_on_diameter_40(radius: float) -> None:
    # True X36 Z0 -> X40 Z-2: path radius R + r, X36 - 2r -> Z-2 - r.
    arc = Piece((0.0, 18.0), (-2.0, 20.0), (-2.0, 18.0))
    contour = [
        Piece((3.0, 10.0), (0.0, 10.0)),
        Piece((0.0, 10.0), (0.0, 18.0)),
        arc,
        Piece((-2.0, 20.0), (-20.0, 20.0)),
    ]
    driven = path(contour, radius)[2]
    assert near(driven.start, 0.0, 36.0 - 2 * radius)
    assert near(driven.end, -2.0 - radius, 40.0)
    assert driven.centre is not None
    assert math.dist(driven.centre, driven.start) == pytest.approx(2.0 + radius)


@pytest.mark.parametrize("radius", [0.4, 0.8])
def test_fillet_radius_3_to_a_shoulder(radius: float) -> None:
    # True X20 Z-27 -> X26 Z-30: path radius R - r, X20 Z-27-r -> X26-2r Z-30.
    fillet = Piece((-27.0, 10.0), (-30.0, 13.0), (-27.0, 13.0), clockwise=True)
    contour = [
        Piece((5.0, 15.0), (3.0, 10.0)),
        Piece((3.0, 10.0), (-27.0, 10.0)),
        fillet,
        Piece((-30.0, 13.0), (-30.0, 20.0)),
    ]
    driven = path(contour, radius)[2]
    assert near(driven.start, -27.0 - radius, 20.0)
    assert near(driven.end, -30.0, 26.0 - 2 * radius)
    assert driven.centre is not None
    assert math.dist(driven.centre, driven.start) == pytest.approx(3.0 - radius)


def test_the_other_side_mirrors() -> None:
    """A boring bar under G41 runs the mirror image of an outside tool under G42."""
    contour = [(5.0, 15.0), (2.0, 10.0), (-10.0, 10.0), (-14.0, 12.0), (-14.0, 20.0)]
    outside = path(lines(*contour), 0.8)
    mirrored = [(z, -r) for z, r in contour]
    driven = tip_path([Course(p, LEFT) for p in lines(*mirrored)], nose(0.8, 2), SQUARE)
    inside = [piece for d in driven for piece in (d.own, *d.corner) if piece.moves]
    assert len(inside) == len(outside)
    for one, other in zip(inside, outside, strict=True):
        assert one.end == pytest.approx((other.end[0], -other.end[1]))


def test_entry_square_to_the_next_move_and_exit_square_to_the_last() -> None:
    # Entry to (0, 10), next along -Z: the centre stands at (0, 10.8), the tip at (-0.8, 10).
    driven = tip_path(
        [Course(p, RIGHT) for p in lines((5.0, 15.0), (0.0, 10.0), (-10.0, 10.0))],
        nose(0.8),
        ARC,
        away=Piece((-10.0, 10.0), (-8.0, 20.0)),
    )
    assert driven[0].own.start == (5.0, 15.0)
    assert driven[0].own.end == pytest.approx((-0.8, 10.0))
    assert driven[1].own.end == pytest.approx((-10.8, 10.0))
    assert driven[1].next_start == pytest.approx((-10.8, 10.0))


def test_entry_square_to_its_own_end_runs_round_an_outside_corner() -> None:
    # Entry down along -X to (0, 10), right of it is -Z: centre at (-0.8, 10), tip (-1.6, 9.2).
    # The contour then turns left (towards +Z): a corner round (0, 10) to the centre (0, 9.2).
    pieces = lines((0.0, 15.0), (0.0, 10.0), (10.0, 10.0), (10.0, 5.0))
    driven = tip_path([Course(p, RIGHT) for p in pieces], nose(0.8), always("arc", "at-end"))
    assert driven[0].own.end == pytest.approx((-1.6, 9.2))
    assert driven[0].next_start == pytest.approx((-0.8, 8.4))
    (corner,) = driven[0].corner
    assert sweep(corner) == pytest.approx(math.pi / 2)


@pytest.mark.parametrize(
    ("points", "trouble"),
    [
        # A step of 0.5 between two runs: a nose of 0.8 cannot touch it.
        ([(5.0, 15.0), (2.0, 10.0), (-5.0, 10.0), (-5.0, 10.5), (-9.0, 10.5)], Trouble.TIGHT),
        # A groove 1.5 wide: 2 x 0.8 does not go in.
        (
            [(5, 15), (2, 10), (-5, 10), (-5, 7), (-6.5, 7), (-6.5, 10), (-9, 10)],
            Trouble.TIGHT,
        ),
        ([(5.0, 15.0), (2.0, 10.0), (-5.0, 10.0), (0.0, 10.0)], Trouble.BACK),
        ([(2.5, 10.2), (2.0, 10.0), (-5.0, 10.0), (-5.0, 15.0)], Trouble.SHORT_ENTRY),
    ],
)
def test_what_the_nose_does_not_fit(points: list[Point], trouble: Trouble) -> None:
    for corner in (ARC, SQUARE):
        driven = tip_path([Course(p, RIGHT) for p in lines(*points)], nose(0.8), corner)
        assert trouble in [d.trouble for d in driven]


@pytest.mark.parametrize(
    "points",
    [
        [(5.0, 15.0), (2.0, 10.0), (-5.0, 10.0), (-5.0, 10.8), (-9.0, 10.8)],
        [(5, 15), (2, 10), (-5, 10), (-5, 7), (-6.6, 7), (-6.6, 10), (-9, 10)],
    ],
)
def test_what_the_nose_just_fits(points: list[Point]) -> None:
    path(lines(*points), 0.8)


@pytest.mark.parametrize(("fillet", "fits"), [(0.79, False), (0.8, True), (0.81, True)])
def test_a_fillet_smaller_than_the_nose(fillet: float, fits: bool) -> None:
    arc = Piece((-10.0, 10.0), (-10.0 - fillet, 10.0 + fillet), (-10.0, 10.0 + fillet), True)
    contour = [
        *lines((5.0, 15.0), (2.0, 10.0), (-10.0, 10.0)),
        arc,
        Piece(arc.end, (arc.end[0], 20.0)),
    ]
    driven = tip_path([Course(p, RIGHT) for p in contour], nose(0.8), ARC)
    assert (Trouble.TIGHT not in [d.trouble for d in driven]) is fits


@st.composite
def monotone_contours(draw: st.DrawFn) -> list[Piece]:
    """Contours that run towards the chuck and never towards the axis, of lines and arcs."""
    pieces = [Piece((4.0, 14.0), (2.0, 10.0))]
    for _ in range(draw(st.integers(2, 7))):
        z, r = pieces[-1].end
        kind = draw(st.sampled_from(["along", "up", "taper", "fillet", "round"]))
        run, rise = (draw(st.integers(1, 60)) / 10 for _ in range(2))
        if kind == "along":
            pieces.append(Piece((z, r), (z - run, r)))
        elif kind == "up":
            pieces.append(Piece((z, r), (z, r + rise)))
        elif kind == "taper":
            pieces.append(Piece((z, r), (z - run, r + rise)))
        elif kind == "fillet":
            pieces.append(Piece((z, r), (z - run, r + run), (z, r + run), clockwise=True))
        else:
            pieces.append(Piece((z, r), (z - run, r + run), (z - run, r)))
    return pieces


def drawn(piece: Piece) -> list[Point]:
    """Points on a piece, close together."""
    if piece.centre is None:
        (z0, r0), (z1, r1) = piece.start, piece.end
        return [(z0 + k / 8 * (z1 - z0), r0 + k / 8 * (r1 - r0)) for k in range(9)]
    begin = math.atan2(piece.start[1] - piece.centre[1], piece.start[0] - piece.centre[0])
    radius, turn, (z, r) = math.dist(piece.centre, piece.start), sweep(piece), piece.centre
    angles = [begin + k / 400 * turn for k in range(401)]
    return [(z + radius * math.cos(a), r + radius * math.sin(a)) for a in angles]


@given(monotone_contours(), st.sampled_from([0.2, 0.4, 0.8, 1.2]), st.sampled_from([ARC, SQUARE]))
def test_nose_touches_the_contour_and_never_cuts_into_it(
    contour: list[Piece], radius: float, manner: MannerAt
) -> None:
    """Against GEOS: the contour drawn as a line, distances from the nose centre to it."""
    driven = tip_path([Course(p, RIGHT) for p in contour], nose(radius), manner)
    if any(d.trouble for d in driven):
        return
    whole = shapely.LineString([p for piece in contour[1:] for p in drawn(piece)])
    lead = nose(radius).lead
    for programmed, each in zip(contour[1:], driven[1:], strict=True):
        own, *corner = (
            [(z + lead[0], r + lead[1]) for z, r in drawn(p)] for p in (each.own, *each.corner)
        )
        places = [p for points in (own, *corner) for p in points]
        assert shapely.distance(shapely.points(places), whole).min() >= radius - 2e-5
        # The middle of a piece's way touches that very piece.
        touched = shapely.LineString(drawn(programmed))
        assert (
            touched.distance(shapely.Point(own[len(own) // 2]))
            <= radius * (math.sqrt(2) if manner is SQUARE else 1.0) + 2e-5
        )
    for one, other in pairwise(driven):
        assert one.next_start == pytest.approx(other.own.start)


@given(monotone_contours(), st.sampled_from([0.4, 0.8]))
def test_with_arc_corners_the_nose_rolls_along_the_contour(
    contour: list[Piece], radius: float
) -> None:
    """Every place of the nose centre lies on the edge of the contour's buffer (GEOS distances)."""
    driven = tip_path([Course(p, RIGHT) for p in contour], nose(radius), ARC)
    if any(d.trouble for d in driven):
        return
    whole = shapely.LineString([p for piece in contour[1:] for p in drawn(piece)])
    lead = nose(radius).lead
    for each in driven[1:]:
        for piece in (each.own, *each.corner):
            places = shapely.points([(z + lead[0], r + lead[1]) for z, r in drawn(piece)])
            assert shapely.distance(places, whole) == pytest.approx(radius, abs=2e-5)
