"""The section of a set-up for the sheet: black, white and greys."""

from __future__ import annotations

import re

from standclear.drawing.section.alone import section_drawing
from standclear.drawing.writers.svg import to_svg
from standclear.proof.result import JobProof

WIDTH = 186.0
HEIGHT = {"a4": 60.0, "us-letter": 54.0}
"""mm, by paper: the width is that between the margins of a page, so that lettering 2.5 mm high
reads like letters of 10 pt."""
WEIGHTS = (0.2126, 0.7152, 0.0722)
"""Of red, green and blue in the brightness of a colour (Rec. ITU-R BT.709)."""


def picture(proof: JobProof, setup: str, paper: str, share: float = 1.0) -> str:
    """The section of a set-up as SVG without colour, `share` of its full height: the drawing has a
    second cue for each colour."""
    height = HEIGHT[paper] * share
    drawn = section_drawing(proof, setup, width=WIDTH, height=height, heading=False)
    return in_grey(to_svg(drawn))


def in_grey(svg: str) -> str:
    """`svg` with every colour as a grey; lines and letters, which are not pale, as black."""
    return re.sub(r"#[0-9A-Fa-f]{6}\b", _grey, svg)


def _grey(colour: re.Match[str]) -> str:
    digits = colour[0]
    parts = [int(digits[at : at + 2], 16) for at in (1, 3, 5)]
    if min(parts) == max(parts):
        return digits
    light = round(sum(w * part for w, part in zip(WEIGHTS, parts, strict=True)))
    if light < 0xB0:
        light = 0
    return f"#{light:02X}{light:02X}{light:02X}"
