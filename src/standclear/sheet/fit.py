"""One page for each set-up: where one runs on, its section is drawn lower and fewer places to watch
are listed, the nearest and the first of each tool last to go."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from io import BytesIO

from standclear.proof.result import JobProof
from standclear.sheet.content import SetupPage, Sheet
from standclear.sheet.picture import picture
from standclear.sheet.standing import WATCHED, watch_left_out, watch_rows
from standclear.sheet.typeset import to_pdf

STEPS = ((0.85, WATCHED, 1.0), (0.75, 9, 1.0), (0.75, 9, 0.93), (0.75, 6, 0.9))
"""Share of the section's full height, most places to watch, size of letters: 9.5 of 10.5 points at
the least. What runs on even so is printed in full, on as many pages as it takes."""
RUNS_ON = re.compile(r"continues on the next page.*?Set-up (\d+) of", re.DOTALL)
"""As the head of a page has it."""


def fitted(sheet: Sheet, proof: JobProof, at: datetime) -> Sheet:
    """`sheet` with every set-up on one page, as far as that goes."""
    full = {page.number: page for page in sheet.setups}
    for step in STEPS:
        over = set(_running_on(sheet, at))
        if not over:
            return sheet
        sheet = _with(sheet, {n: _tighter(full[n], proof, sheet.paper, *step) for n in over})
    return _with(sheet, {number: full[number] for number in _running_on(sheet, at)})


def _with(sheet: Sheet, pages: Mapping[int, SetupPage]) -> Sheet:
    return replace(sheet, setups=tuple(pages.get(page.number, page) for page in sheet.setups))


def _tighter(
    page: SetupPage, proof: JobProof, paper: str, share: float, most: int, size: float
) -> SetupPage:
    setup = proof.setups[page.number - 1]
    return replace(
        page,
        picture=picture(proof, page.name, paper, share),
        watch=watch_rows(setup, proof.units, most),
        watch_more=watch_left_out(setup, most),
        size=size,
    )


def _running_on(sheet: Sheet, at: datetime) -> Iterator[int]:
    """Numbers of the set-ups that need a second page."""
    from pypdf import PdfReader

    for page in PdfReader(BytesIO(to_pdf(sheet, at))).pages:
        found = RUNS_ON.search(page.extract_text())
        if found:
            yield int(found[1])
