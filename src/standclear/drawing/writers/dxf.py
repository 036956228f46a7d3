"""A drawing as DXF: a layer for each meaning, ISO line types, arcs as arcs, words as text.

One unit is a millimetre of paper. Words stand between two points that they are fitted to, so that
no font makes them longer than their room; what would lie under a word is cut away instead of
covered. Pale areas are left out: hatching and line types say the same. No dates go in.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import StringIO
from typing import TYPE_CHECKING, Any

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from standclear.drawing.arcs import circle_of, pieces
from standclear.drawing.inks import LETTERING, LINE_TYPES, NARROW, PENS, Ink, Pen, Tone, stroke_of
from standclear.drawing.lettering import width_of
from standclear.drawing.shapes import Drawing, Fill, Line, Point, Text
from standclear.drawing.view import line_shapes

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts import Modelspace

LINE_WEIGHTS = (13, 18, 25, 35, 50, 70)
"""Of the widths that the format knows those in use, hundredths of a millimetre."""
ON_ANY_GROUND = {"#000000": 7, "#444444": 8, "#999999": 9}
"""Black and greys go out as numbers that every program shows readable on light and dark."""
SOLID = {Tone.INK: Ink.DIMENSION, Tone.TOOL_INK: Ink.TOOL}
"""Areas that are drawn, and the layer they lie on."""


def to_dxf(drawing: Drawing) -> bytes:
    """DXF bytes of a drawing, release AC1024, to open in any program that reads such files."""
    import ezdxf
    from ezdxf import options, units

    fixed = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        document = ezdxf.new("R2010", units=units.MM)
        document.header["$MEASUREMENT"] = 1
        document.header["$LTSCALE"] = 1.0
        document.header["$LWDISPLAY"] = 1
        _layers(document)
        space = document.modelspace()
        for line in _uncovered(drawing):
            _line(space, line)
        for shape in drawing.leaves:
            if isinstance(shape, Text):
                _text(space, shape)
            elif isinstance(shape, Fill) and shape.tone in SOLID:
                _solid(space, shape)
        out = StringIO()
        document.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = fixed
    return out.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _layers(document: Document) -> None:
    from ezdxf.colors import RGB, rgb2int

    for ink in Ink:
        pen = PENS[ink]
        name = "Continuous"
        if pen.dashes:
            name, words = _line_type(pen)
            if name not in document.linetypes:
                signed = [d if i % 2 == 0 else -d for i, d in enumerate(pen.dashes)]
                pattern = [sum(pen.dashes), *signed]
                document.linetypes.add(name, pattern=pattern, description=words)
        width = NARROW if ink in LETTERING else pen.width
        layer = document.layers.add(str(ink), linetype=name, lineweight=_weight(width))
        if pen.colour in ON_ANY_GROUND:
            layer.color = ON_ANY_GROUND[pen.colour]
        else:
            layer.dxf.true_color = rgb2int(RGB.from_hex(pen.colour))


def _line_type(pen: Pen) -> tuple[str, str]:
    """Name and description of the pen's line type: its pattern goes with the width."""
    words = LINE_TYPES[pen.line_type][0]
    width = f"{pen.width:g}".replace(".", "-")
    return f"ISO128-{pen.line_type:02d}-W{width}", f"{pen.line_type:02d} {words}"


def _weight(width: float) -> int:
    return min(LINE_WEIGHTS, key=lambda w: abs(w - 100 * width))


def _uncovered(drawing: Drawing) -> Iterator[Line]:
    """Every line without what words on white lie on, which are painted after it."""
    covers: list[BaseGeometry] = []
    lines: list[tuple[int, Line]] = []
    for shape in drawing.leaves:
        if isinstance(shape, Fill) and shape.tone is Tone.PAPER:
            covers += [Polygon(ring) for ring in shape.rings]
        elif isinstance(shape, Line) and len(shape.points) > 1:
            lines.append((len(covers), shape))
    tree = shapely.STRtree(covers) if covers else None
    for painted, line in lines:
        points = (*line.points, line.points[0]) if line.closed else line.points
        way = LineString(points)
        over = [] if tree is None else [i for i in tree.query(way, "intersects") if i >= painted]
        if not over:
            yield line
            continue
        left = way.difference(unary_union([covers[i] for i in over]))
        yield from line_shapes(left, line.ink)


def _line(space: Modelspace, line: Line) -> None:
    layer = {"layer": str(line.ink)}
    if line.closed:
        circle = circle_of(line.points)
        if circle is not None:
            space.add_circle(circle[0], circle[1], dxfattribs=layer)
            return
    found = pieces((*line.points, line.points[0]) if line.closed else line.points)
    if len(found) == 1 and found[0].bulge == 0.0:
        space.add_line(found[0].start, found[0].end, dxfattribs=layer)
        return
    corners: list[Any] = [(*piece.start, piece.bulge) for piece in found]
    if not line.closed:
        corners.append((*found[-1].end, 0.0))
    # Dashes run on through the corners of the line.
    attributes = {**layer, "flags": 128}
    space.add_lwpolyline(corners, format="xyb", close=line.closed, dxfattribs=attributes)


def _text(space: Modelspace, text: Text) -> None:
    from ezdxf.enums import TextEntityAlignment

    if not text.string.strip():
        return
    length = width_of(text.string, text.height)
    x, y = text.at
    end: Point = (x + length, y) if text.upright else (x, y + length)
    entity = space.add_text(text.string, height=text.height, dxfattribs={"layer": str(text.ink)})
    entity.set_placement(text.at, end, align=TextEntityAlignment.FIT)
    entity.dxf.lineweight = _weight(stroke_of(text.height))


def _solid(space: Modelspace, fill: Fill) -> None:
    layer = {"layer": str(SOLID[fill.tone])}
    for ring in fill.rings:
        if len(ring) == 3:
            space.add_solid([*ring, ring[2]], dxfattribs=layer)
        else:
            hatch = space.add_hatch(color=256, dxfattribs=layer)
            hatch.paths.add_polyline_path(ring, is_closed=True)
