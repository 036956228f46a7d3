"""A sheet's PDF read back: as words with their size and box, and as pixels."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from pypdf import PdfReader

POINT_MM = 25.4 / 72
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Run:
    """Letters of one size on one line: their box in points, origin in the lower left corner."""

    text: str
    box: Box


def page_texts(pdf: bytes) -> list[str]:
    """Words of each page, blanks and line breaks made one blank."""
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        found.append(" ".join(page.get_textpage().get_text_bounded().split()))
    return found


def sizes_of(pdf: bytes) -> list[set[float]]:
    """Font sizes on each page, in points as printed."""
    found: list[set[float]] = []
    for page in PdfReader(BytesIO(pdf)).pages:
        sizes: set[float] = set()

        def note(
            text: str,
            _: object,
            matrix: list[float],
            __: object,
            size: float,
            sizes: set[float] = sizes,
        ) -> None:
            if text.strip():
                sizes.add(round(size * (matrix[2] ** 2 + matrix[3] ** 2) ** 0.5, 2))

        page.extract_text(visitor_text=note)
        found.append(sizes)
    return found


def fonts_of(pdf: bytes) -> set[str]:
    """Names of the fonts, without the tag of a subset, and whether each is embedded."""
    names: set[str] = set()
    for page in PdfReader(BytesIO(pdf)).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            own = font.get_object()
            below = own.get("/DescendantFonts", [own])[0].get_object()
            held = below["/FontDescriptor"].get_object()
            embedded = any(f"/FontFile{n}" in held for n in ("", "2", "3"))
            names.add(own["/BaseFont"].split("+")[-1] if embedded else "not embedded")
    return names


def runs_of(pdf: bytes, page: int) -> list[Run]:
    """The runs of letters of a page."""
    text = pypdfium2.PdfDocument(pdf)[page].get_textpage()
    return [
        Run(text.get_text_bounded(*text.get_rect(n)), text.get_rect(n))
        for n in range(text.count_rects())
    ]


def pixels(pdf: bytes, page: int, dots_per_mm: float = 4.0) -> NDArray[np.uint8]:
    """(rows, columns, 3): a page in colour."""
    shown = pypdfium2.PdfDocument(pdf)[page].render(scale=dots_per_mm * 25.4 / 72)
    image: NDArray[np.uint8] = np.asarray(shown.to_pil().convert("RGB"))
    return image
