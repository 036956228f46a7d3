"""A drawing as SVG: fixed decimals and no dates, so that two runs give equal bytes.

Lettering goes out as strokes; the words themselves stand in `data-words`, and the whole drawing
has a title and a description for whoever cannot see it. Groups become `<g>` with their meaning in
`data-part` and in the data they carry, so that a page can tell what is pointed at.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from standclear.drawing.inks import LETTERING, PENS, TONES, Ink, Tone, stroke_of
from standclear.drawing.lettering import pens_of, strokes_of
from standclear.drawing.shapes import Drawing, Fill, Group, Line, Point, Shape, Text

DECIMALS = 3
"""Of a coordinate on paper: a thousandth of a millimetre."""
DARK = {
    "#000000": "#F2F2F2",
    "#444444": "#B5B5B5",
    "#999999": "#777777",
    "#FFFFFF": "#16191C",
    "#EEEEEE": "#2C3136",
    "#DCEBF5": "#173A52",
    "#F6CFB3": "#5A2F12",
    "#0072B2": "#56B4E9",
    "#D55E00": "#E69F00",
}
"""The colours for a dark ground; blue and vermillion give way to the sky blue and orange of the
same set, which stand out from it."""


def to_svg(drawing: Drawing) -> str:
    """A whole SVG file of a drawing; its user unit is a millimetre of paper."""
    width, height = _number(drawing.width), _number(drawing.height)
    size = f'width="{width}mm" height="{height}mm"'
    style = f"<style>{style_rules()}</style>"
    sheet = f'<rect width="{width}" height="{height}" class="{_CLASS}-{Tone.PAPER}"/>'
    body = [style, sheet, *_shapes(drawing.shapes, drawing.height)]
    prolog = '<?xml version="1.0" encoding="UTF-8"?>\n'
    return prolog + "\n".join([*_head(drawing, "drawing", size), *body, "</svg>", ""])


def inline_svg(drawing: Drawing, name: str) -> str:
    """The `<svg>` element alone, to stand in a page that holds `style_rules` once.

    `name` makes the ids of its title and description its own; it is as wide as its place lets it.
    """
    body = _shapes(drawing.shapes, drawing.height)
    return "\n".join([*_head(drawing, name, 'width="100%"'), *body, "</svg>"])


def style_rules(*, dark: bool = False, within: str = "") -> str:
    """The CSS rules of every line and area; `within` is a selector that they are kept to."""
    inside = f"{within} " if within else ""
    rules = []
    for ink in Ink:
        pen = PENS[ink]
        colour = DARK[pen.colour] if dark else pen.colour
        cap = "butt" if pen.dashes else "round"
        width = "" if ink in LETTERING else f";stroke-width:{pen.width:g}"
        dashes = f";stroke-dasharray:{' '.join(f'{d:g}' for d in pen.dashes)}" if pen.dashes else ""
        rules.append(
            f"{inside}.{_CLASS}-{ink}{{fill:none;stroke:{colour}{width};stroke-linecap:{cap};"
            f"stroke-linejoin:round{dashes}}}"
        )
    for tone in Tone:
        colour = DARK[TONES[tone]] if dark else TONES[tone]
        rules.append(f"{inside}.{_CLASS}-{tone}{{fill:{colour};fill-rule:evenodd}}")
    return "".join(rules)


_CLASS = "sheet"
"""What every class starts with, so that the rules touch nothing else of a page."""


def _head(drawing: Drawing, name: str, size: str) -> list[str]:
    width, height = _number(drawing.width), _number(drawing.height)
    return [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {width} {height}" '
        f'role="img" aria-labelledby="{name}-title {name}-description">',
        f'<title id="{name}-title">{_clean(drawing.title)}</title>',
        f'<desc id="{name}-description">{_clean(drawing.description)}</desc>',
    ]


def _shapes(shapes: Iterable[Shape], height: float) -> Iterator[str]:
    for ink, run in groupby(shapes, key=lambda shape: getattr(shape, "ink", None)):
        for one, alike in groupby(run, key=lambda shape: isinstance(shape, Line)):
            if one:
                yield from _lines(ink, alike, height)
            else:
                yield from _others(alike, height)


def _lines(ink: Ink | None, lines: Iterable[Shape], height: float) -> Iterator[str]:
    """Lines of one ink that follow each other are one path: a hatched area has hundreds."""
    paths = [_path(line.points, height, line.closed) for line in lines if isinstance(line, Line)]
    if any(paths):
        yield f'<path class="{_CLASS}-{ink}" d="{"".join(paths)}"/>'


def _others(shapes: Iterable[Shape], height: float) -> Iterator[str]:
    for shape in shapes:
        if isinstance(shape, Fill):
            rings = "".join(_path(ring, height, True) for ring in shape.rings)
            yield f'<path class="{_CLASS}-{shape.tone}" d="{rings}"/>'
        elif isinstance(shape, Text):
            yield _text(shape, height)
        elif isinstance(shape, Group):
            yield from _group(shape, height)


def _group(group: Group, height: float) -> Iterator[str]:
    data = "".join(f" data-{key}={quoteattr(_plain(value))}" for key, value in group.data)
    yield f'<g data-part="{group.part}"{data}>'
    yield from _shapes(group.shapes, height)
    yield "</g>"


def _text(text: Text, height: float) -> str:
    x, y = text.at[0], height - text.at[1]
    parts = []
    for character, pen in pens_of(text.string, text.height):
        glyph = _glyph(character, text.height, text.upright)
        if glyph:
            at = (x + pen, y) if text.upright else (x, y - pen)
            parts.append(f"M{_number(at[0])} {_number(at[1])}{glyph}")
    if not parts:
        return ""
    return (
        f'<path class="{_CLASS}-{text.ink}" stroke-width="{_number(stroke_of(text.height))}" '
        f'data-words={quoteattr(_plain(text.string))} d="{"".join(parts)}"/>'
    )


@cache
def _glyph(character: str, height: float, upright: bool) -> str:
    """A letter's strokes relative to its place on the base line; `height` that of capitals, mm."""
    at: Point = (0.0, 0.0)
    path = []
    for stroke in strokes_of(character, height):
        for i, (x, y) in enumerate(stroke):
            there = (round(x, DECIMALS), round(-y, DECIMALS))
            if not upright:
                there = (round(-y, DECIMALS), round(-x, DECIMALS))
            step = f"{_number(there[0] - at[0])} {_number(there[1] - at[1])}"
            path.append(f"{'m' if i == 0 else 'l' if i == 1 else ' '}{step}")
            at = there
    return "".join(path)


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
