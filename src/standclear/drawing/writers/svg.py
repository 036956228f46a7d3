"""A drawing as SVG: fixed decimals and no dates, so that two runs give equal bytes.

Lettering goes out as strokes; the words themselves stand in `aria-label`, and the whole drawing
has a title and a description for whoever cannot see it.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from standclear.drawing.lettering import strokes
from standclear.drawing.shapes import PENS, Drawing, Fill, Ink, Line, Point, Text

DECIMALS = 3
"""Of a coordinate on paper: a thousandth of a millimetre."""


def to_svg(drawing: Drawing) -> str:
    """SVG text of a drawing; its user unit is a millimetre of paper."""
    width, height = _number(drawing.width), _number(drawing.height)
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="title description">',
        f'<title id="title">{_clean(drawing.title)}</title>',
        f'<desc id="description">{_clean(drawing.description)}</desc>',
        _style(),
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
    ]
    for shape in drawing.shapes:
        if isinstance(shape, Line):
            path = _path(shape.points, drawing.height, shape.closed)
            if path:
                parts.append(f'<path class="{shape.ink}" d="{path}"/>')
        elif isinstance(shape, Fill):
            rings = "".join(_path(ring, drawing.height, True) for ring in shape.rings)
            parts.append(f'<path fill="{shape.colour}" fill-rule="evenodd" d="{rings}"/>')
        else:
            parts.append(_text(shape, drawing.height))
    return "\n".join([*parts, "</svg>", ""])


def _style() -> str:
    rules = []
    for ink in Ink:
        pen = PENS[ink]
        dashes = f";stroke-dasharray:{' '.join(f'{d:g}' for d in pen.dashes)}" if pen.dashes else ""
        rules.append(f".{ink}{{stroke:{pen.colour};stroke-width:{pen.width:g}{dashes}}}")
    common = "path[class]{fill:none;stroke-linecap:round;stroke-linejoin:round}"
    dashed = ",".join(f".{ink}" for ink in Ink if PENS[ink].dashes)
    return f"<style>{common}{''.join(rules)}{dashed}{{stroke-linecap:butt}}</style>"


def _text(text: Text, height: float) -> str:
    path = "".join(_path(stroke, height, False) for stroke in strokes(text))
    if not path:
        return ""
    return f'<path class="{text.ink}" aria-label={quoteattr(_plain(text.string))} d="{path}"/>'


def _path(points: Iterable[Point], height: float, closed: bool) -> str:
    places = [f"{_number(x)} {_number(height - y)}" for x, y in points]
    if len(places) < 2:
        return ""
    return f"M{places[0]}L{' '.join(places[1:])}{'Z' if closed else ''}"


def _number(value: float) -> str:
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _plain(string: str) -> str:
    """Without the characters that XML 1.0 cannot hold."""
    return "".join(c if c >= " " and c not in "\ufffe\uffff" else " " for c in string)


def _clean(string: str) -> str:
    return escape(_plain(string))
