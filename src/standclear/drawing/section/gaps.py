"""Depths and gaps as dimensions in a view: X on diameter and between tool and metal, Z once."""

from __future__ import annotations

from standclear.drawing.dimension import across, along, leader, mark
from standclear.drawing.inks import Ink
from standclear.drawing.labels import Board, Room
from standclear.drawing.section.focus import Hit, ObstacleGap
from standclear.drawing.shapes import Line
from standclear.drawing.view import View
from standclear.proof.result import Approach, SetupProof
from standclear.proof.tool_place import arriving, corner_gap, tool_at
from standclear.report.sizes import number

AWAY = 9.0
"""From the thing measured to its dimension line, mm on paper."""
SLANTING = 0.2
"""A gap whose smaller part is above this share of its greater is not drawn along an axis."""


def number_strike(board: Board, view: View, room: Room, hit: Hit) -> None:
    """Put the number of a strike beside it, where it lies in the view."""
    point = view.laid(hit.overlap).representative_point()
    x0, y0, x1, y1 = room.bounds
    if x0 <= point.x <= x1 and y0 <= point.y <= y1:
        mark(board, room, hit.number, (point.x, point.y), Ink.STRIKE_MARK)


def show_depths(board: Board, view: View, room: Room, hit: Hit, units: str) -> None:
    """Dimension how far the deepest strike of a block reaches, where its ends lie in the view."""
    z0, r0, z1, r1 = hit.deepest.bounds
    seen_z, seen_r, end_z, end_r = view.window
    if seen_r <= r0 and r1 <= end_r:
        low, high = view.at(z1, r0), view.at(z1, r1)
        figure = f"X {number(2 * hit.depth_x, units)} on dia., {number(hit.depth_x, units)} radial"
        across(board, room, low, high, high[0] + AWAY, figure)
    if seen_z <= z0 and z1 <= end_z:
        left, right = view.at(z0, max(r0, seen_r)), view.at(z1, max(r0, seen_r))
        y = max(left[1] - AWAY, room.bounds[1] + AWAY)
        along(board, room, left, right, y, f"Z {number(hit.depth_z, units)}")


def show_gaps(
    board: Board, view: View, room: Room, setup: SetupProof, near: Approach, units: str
) -> None:
    """Dimension the gaps of an approach to metal or obstacle."""
    z, r = near.position
    against = setup.metal_before if near.against == "metal" else setup.obstacles.get(near.against)
    if against is None or against.is_empty:
        return
    if near.gap_radial is None and near.gap_z is None:
        show_corner(board, view, room, setup, near, units)
        return
    z0, _, z1, r1 = against.bounds
    if near.gap_radial is not None:
        metal_z = min(max(z, z0), z1)
        low, high = view.at(metal_z, r - near.gap_radial), view.at(z, r)
        figure = (
            f"X {number(2 * near.gap_radial, units)} on dia., "
            f"{number(near.gap_radial, units)} to {near.against}"
        )
        across(board, room, low, high, max(low[0], high[0]) + AWAY, figure)
    if near.gap_z is not None:
        ahead = abs(z - near.gap_z - z1) <= abs(z + near.gap_z - z0)
        other = z - near.gap_z if ahead else z + near.gap_z
        left, right = view.at(other, min(r, r1)), view.at(z, r)
        below, word = min(left[1], right[1]) - AWAY, ""
        if near.against != "metal":
            above = view.at(z, setup.metal_before.bounds[3])[1] + 5.0
            below, word = max(left[1], right[1], above), f" to {near.against}"
        along(
            board,
            room,
            left,
            right,
            below,
            f"Z {number(near.gap_z, units)}{word}",
        )


def show_corner(
    board: Board, view: View, room: Room, setup: SetupProof, near: Approach, units: str
) -> None:
    """Dimension how far a tool stands beyond the corner of the metal, both ways."""
    beyond = corner_gap(setup, near)
    if beyond is None:
        return
    z, r, _, _ = tool_at(setup, arriving(setup, near), None).bounds
    _, _, metal_z, metal_r = setup.metal_before.bounds
    figure = f"X {number(2 * beyond[0], units)} on dia., {number(beyond[0], units)} radial"
    low, high = view.at(metal_z, metal_r), view.at(z, r)
    across(board, room, low, high, high[0] + AWAY, figure)
    along(board, room, low, high, low[1] - AWAY, f"Z {number(beyond[1], units)}")


def show_obstacle_gap(board: Board, view: View, room: Room, gap: ObstacleGap, units: str) -> None:
    """Dimension the shortest distance between tool and obstacle."""
    here, there = view.at(*gap.here), view.at(*gap.there)
    wide, tall = abs(here[0] - there[0]), abs(here[1] - there[1])
    figure = f"{number(gap.gap, units)} to {gap.obstacle}"
    if min(wide, tall) > SLANTING * max(wide, tall):
        middle = ((here[0] + there[0]) / 2, (here[1] + there[1]) / 2)
        board.add([Line((here, there), Ink.DIMENSION)])
        leader(board, room, middle, figure, [(middle[0] + 5, middle[1] + 6)])
    elif wide >= tall:
        along(board, room, here, there, min(here[1], there[1]) - AWAY, figure)
    else:
        across(board, room, here, there, max(here[0], there[0]) + AWAY, figure)
