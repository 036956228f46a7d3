"""What comes out: the section after the last set-up and its sizes beside those wanted."""

from __future__ import annotations

from shapely.geometry import Point as ShapelyPoint

from standclear.drawing.dimension import along, mark
from standclear.drawing.hatching import hatched
from standclear.drawing.inks import Ink
from standclear.drawing.labels import Board, Room
from standclear.drawing.lettering import shortened, width_of
from standclear.drawing.section.pieces import METAL_HATCH
from standclear.drawing.section.section import BELOW_AXIS
from standclear.drawing.section.threads import thread_lines
from standclear.drawing.shapes import Box, Line, Text, rectangle
from standclear.drawing.view import (
    SCALES,
    View,
    fitting,
    line_shapes,
    outline,
    scale_words,
)
from standclear.proof.result import JobProof, SizeFound
from standclear.report.sizes import fixed
from standclear.report.words import off_words, signed

ROW = 4.8
"""Height of a table row, mm."""
LETTER = 2.5
ON_OUTLINE = 0.5
"""How near to the outline on paper a diameter must lie to be numbered there, mm: a size that is
not in the view stands in the table alone."""
LENGTH_STEP = 6.6
"""Between dimension lines of lengths, mm."""
LENGTHS = 3
"""Lengths that are dimensioned in the view; the others stand in the table alone."""


def outcome_view(board: Board, proof: JobProof, area: Box) -> None:
    """Draw the section that comes out of the last set-up, each size with its number."""
    head = "What comes out" if proof.sizes else "What may be left: thick the most, thin the least"
    board.write(Text(head, (area[0], area[3] - 5.0), 3.5))
    last = proof.setups[-1]
    own_frame = proof.outcome is not None
    metal = proof.outcome if proof.outcome is not None else last.metal_after
    if metal.is_empty:
        board.write(Text("no metal is left", (area[0], area[3] - 12.0), LETTER))
        return
    z0, _, z1, r1 = metal.bounds
    room_x, room_y = area[2] - area[0] - 24.0, area[3] - area[1] - 20.0 - BELOW_AXIS
    scale = fitting(z1 - z0, r1, (room_x, room_y), SCALES)
    spare = (area[2] - area[0]) / scale - (z1 - z0)
    window = (z0 - spare / 2, 0.0, z1 + spare / 2, (room_y + 12.0) / scale)
    view = View(window, scale, (area[0], area[1] + BELOW_AXIS))
    board.write(
        Text(scale_words(scale), (area[0] + width_of(head, 3.5) + 6.0, area[3] - 5.0), LETTER)
    )
    board.add(hatched(view.clipped(metal), Ink.HATCH, METAL_HATCH))
    least = last.metal_after_least
    if not own_frame and not least.equals(metal):
        board.add(line_shapes(view.edges(least), Ink.LEAST))
    board.add(line_shapes(view.edges(metal), Ink.OUTLINE))
    board.add(thread_lines(view, proof.threads if own_frame else last.threads, metal))
    x0, x1 = view.at(z0, 0)[0] - 6, view.at(z1, 0)[0] + 6
    y = view.at(0, 0)[1]
    board.add([Line(((x0, y), (x1, y)), Ink.CENTRE)])
    room = Room(area, (view.edges(metal),), (view.clipped(metal),))
    depth = 0
    for number, size in enumerate(proof.sizes, 1):
        if size.kind == "length":
            if depth < LENGTHS:
                depth += 1
                left, right = view.at(size.z_from, 0), view.at(size.z_to, 0)
                along(board, room, left, right, y - LENGTH_STEP * depth, f"{number}")
            continue
        middle = (size.z_from + size.z_to) / 2
        at = view.at(middle, size.found / 2)
        if outline(view.laid(metal)).distance(ShapelyPoint(at)) < ON_OUTLINE:
            mark(board, room, number, at, Ink.LEADER)


def size_table(board: Board, proof: JobProof, area: Box) -> None:
    """The table of sizes; rows that do not fit are counted in its last line."""
    if not proof.sizes:
        words = "No sizes: the job asks for none, or what comes out could not be worked out."
        board.write(Text(words, (area[0] + 2.0, area[3] - 6.0), LETTER))
        return
    unit = "mm" if proof.units == "mm" else "inch"
    columns = (0.0, 8.0, 58.0, 86.0, 114.0, 146.0)
    width = area[2] - area[0]
    heads = ("no.", "size", f"found, {unit}", f"wanted, {unit}", "tolerance", "right")
    rows = [heads, *(_row(n, s, proof.units) for n, s in enumerate(proof.sizes, 1))]
    room = max(2, int((area[3] - area[1]) / ROW))
    if len(rows) > room:
        left = len(rows) - room + 1
        rows = [*rows[: room - 1], ("", f"and {left} more: see the answer in words")]
    top = area[3]
    for i, row in enumerate(rows):
        y = top - ROW * (i + 1)
        board.add([Line(((area[0], y), (area[0] + width, y)), Ink.TABLE)])
        for j, cell in enumerate(row):
            right = columns[j + 1] if j + 1 < len(columns) else width
            wide = len(row) == 2 and j == 1
            said = shortened(cell, LETTER, (width if wide else right) - columns[j] - 2.0)
            x = area[0] + columns[j] + 1.0
            if 2 <= j <= 3:
                x = area[0] + right - 2.0 - width_of(said, LETTER)
            board.write(Text(said, (x, y + 1.5), LETTER))
    bottom = top - ROW * len(rows)
    board.add([Line(rectangle((area[0], bottom, area[2], top)), Ink.TABLE, closed=True)])


def _row(number: int, size: SizeFound, units: str) -> tuple[str, ...]:
    kind = {"diameter": "Ø", "bore": "bore Ø"}.get(size.kind, size.kind)
    name = f"{kind} {size.name}".strip() if kind not in size.name else size.name
    if size.wanted is None:
        return (f"{number}", name, fixed(size.found, units), "-", "", "")
    low, high = size.tolerance or (0.0, 0.0)
    span = (
        f"±{signed(high, units)[1:]}"
        if low == -high and high > 0
        else (f"{signed(low, units)}/{signed(high, units)}")
    )
    off = "yes" if size.right else off_words(size, units)
    return (f"{number}", name, fixed(size.found, units), fixed(size.wanted, units), span, off)
