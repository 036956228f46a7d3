"""A drawing as PDF: lines as lines, words as text, no fonts of the machine, no dates.

Our own letters go in as a font whose letters are drawn in strokes (a Type 3 font, ISO 32000-1,
9.6.5), with a table of the characters they stand for: so the page looks like the SVG and its words
can still be found and copied. The user unit of a page is 1/72 inch.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from standclear.drawing.inks import PENS, TONES, Ink, stroke_of
from standclear.drawing.lettering import DESCENT, GRID, advance, strokes_of
from standclear.drawing.shapes import Drawing, Fill, Line, Point, Text

if TYPE_CHECKING:
    from pypdf import PdfWriter
    from pypdf.generic import DictionaryObject, IndirectObject

POINTS_PER_MM = 72 / 25.4
IN_ONE_FONT = 250
"""Characters of a font: its codes are one byte each."""


def to_pdf(drawings: Sequence[Drawing]) -> bytes:
    """PDF bytes, a page for each drawing."""
    from pypdf import PdfWriter
    from pypdf.generic import DictionaryObject, NameObject

    writer = PdfWriter()
    used = sorted({c for d in drawings for s in d.leaves if isinstance(s, Text) for c in s.string})
    codes = {c: (i // IN_ONE_FONT, i % IN_ONE_FONT + 1) for i, c in enumerate(used)}
    fonts = DictionaryObject()
    for first in range(0, len(used), IN_ONE_FONT):
        font = _font(writer, used[first : first + IN_ONE_FONT])
        fonts[NameObject(f"/F{first // IN_ONE_FONT}")] = font.indirect_reference
    for drawing in drawings:
        page = writer.add_blank_page(drawing.width * POINTS_PER_MM, drawing.height * POINTS_PER_MM)
        page[NameObject("/Resources")] = DictionaryObject({NameObject("/Font"): fonts})
        page[NameObject("/Contents")] = _stream(writer, "\n".join(_content(drawing, codes)))
    first_page = drawings[0]
    writer.add_metadata({"/Title": first_page.title, "/Subject": first_page.description})
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def _stream(writer: PdfWriter, content: str) -> IndirectObject:
    from pypdf.generic import DecodedStreamObject

    plain = DecodedStreamObject()
    plain.set_data(content.encode("ascii"))
    return writer._add_object(plain.flate_encode())


def _content(drawing: Drawing, codes: dict[str, tuple[int, int]]) -> Iterator[str]:
    """The page's operators, in mm by its first matrix."""
    yield f"{_number(POINTS_PER_MM)} 0 0 {_number(POINTS_PER_MM)} 0 0 cm"
    yield "1 j"
    for shape in drawing.leaves:
        if isinstance(shape, Line):
            if len(shape.points) > 1:
                yield _pen(shape.ink)
                yield f"{_path(shape.points, closed=shape.closed)} S"
        elif isinstance(shape, Fill):
            yield f"{_rgb(TONES[shape.tone])} rg"
            yield f"{' '.join(_path(ring, closed=True) for ring in shape.rings)} f*"
        else:
            yield from _text(shape, codes)


def _pen(ink: Ink) -> str:
    pen = PENS[ink]
    dashes = " ".join(_number(d) for d in pen.dashes)
    cap = 0 if pen.dashes else 1
    return f"{_rgb(pen.colour)} RG {_number(pen.width)} w {cap} J [{dashes}] 0 d"


def _text(text: Text, codes: dict[str, tuple[int, int]]) -> Iterator[str]:
    if not text.string:
        return
    colour = _rgb(PENS[text.ink].colour)
    x, y = (_number(value) for value in text.at)
    turn = f"1 0 0 1 {x} {y}" if text.upright else f"0 1 -1 0 {x} {y}"
    yield f"{colour} RG {colour} rg [] 0 d BT {turn} Tm"
    for font, run in _runs(text.string, codes):
        yield f"/F{font} {_number(text.height)} Tf <{run.hex()}> Tj"
    yield "ET"


def _runs(string: str, codes: dict[str, tuple[int, int]]) -> Iterator[tuple[int, bytes]]:
    """Stretches of a text that one font holds."""
    run: list[int] = []
    now = codes[string[0]][0]
    for character in string:
        font, code = codes[character]
        if font != now:
            yield now, bytes(run)
            now, run = font, []
        run.append(code)
    yield now, bytes(run)


def _font(writer: PdfWriter, characters: Sequence[str]) -> DictionaryObject:
    """Letters on their grid of `GRID` to the height of capitals, the size of the font."""
    from pypdf.generic import (
        ArrayObject,
        DictionaryObject,
        FloatObject,
        NameObject,
        NumberObject,
    )

    procedures, names = DictionaryObject(), ArrayObject([NumberObject(1)])
    widths = ArrayObject()
    for number, character in enumerate(characters, 1):
        name = NameObject(f"/c{number}")
        names.append(name)
        widths.append(FloatObject(_number(advance(character))))
        procedures[name] = _stream(writer, _letter(character))
    numbers = [FloatObject(_number(v)) for v in (1 / GRID, 0, 0, 1 / GRID, 0, 0)]
    box = [FloatObject(_number(v)) for v in (-1, -DESCENT * GRID - 1, GRID, GRID + 2)]
    font = DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Font"),
            NameObject("/Subtype"): NameObject("/Type3"),
            NameObject("/FontBBox"): ArrayObject(box),
            NameObject("/FontMatrix"): ArrayObject(numbers),
            NameObject("/CharProcs"): procedures,
            NameObject("/Encoding"): DictionaryObject(
                {
                    NameObject("/Type"): NameObject("/Encoding"),
                    NameObject("/Differences"): names,
                }
            ),
            NameObject("/FirstChar"): NumberObject(1),
            NameObject("/LastChar"): NumberObject(len(characters)),
            NameObject("/Widths"): widths,
            NameObject("/Resources"): DictionaryObject(),
            NameObject("/ToUnicode"): _stream(writer, _meanings(characters)),
        }
    )
    writer._add_object(font)
    return font


def _letter(character: str) -> str:
    """A letter's strokes in the colour of the text, and how far the pen goes on."""
    low, high = _number(-DESCENT * GRID - 1), _number(GRID + 2)
    head = f"{_number(advance(character))} 0 -1 {low} {_number(GRID)} {high} d1"
    if character == " ":
        return head
    lines = " ".join(_path(stroke, closed=False) for stroke in strokes_of(character, GRID))
    return f"{head} {_number(stroke_of(GRID))} w 1 J 1 j {lines} S"


def _meanings(characters: Sequence[str]) -> str:
    """The table from the codes of a font to Unicode (a ToUnicode map, ISO 32000-1, 9.10.3)."""
    rows = [
        f"<{number:02x}> <{character.encode('utf-16-be').hex()}>"
        for number, character in enumerate(characters, 1)
    ]
    blocks = [rows[i : i + 100] for i in range(0, len(rows), 100)]
    body = "\n".join(f"{len(b)} beginbfchar\n" + "\n".join(b) + "\nendbfchar" for b in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Lettering def\n/CMapType 2 def\n"
        "1 begincodespacerange\n<00> <ff>\nendcodespacerange\n"
        f"{body}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend"
    )


def _path(points: Iterable[Point], *, closed: bool) -> str:
    places = [f"{_number(x)} {_number(y)}" for x, y in points]
    way = " ".join(f"{place} {'l' if i else 'm'}" for i, place in enumerate(places))
    return f"{way} h" if closed else way


def _rgb(colour: str) -> str:
    return " ".join(_number(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
