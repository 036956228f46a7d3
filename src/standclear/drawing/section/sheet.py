"""The sheet: frame, one row for each set-up with its detail, what comes out, title block.

Sizes and margins after ISO 216 and ISO 5457 (20 mm to the left for filing, 10 mm elsewhere), the
title block 180 mm wide after ISO 7200. No date stands on it: the same proof gives the same bytes.
"""

from __future__ import annotations

from standclear.drawing.inks import Ink
from standclear.drawing.labels import Board
from standclear.drawing.lettering import shortened, width_of, wrapped
from standclear.drawing.section.focus import (
    MARKS,
    approach_words,
    focus_of,
    hit_words,
    hits,
    nearest,
)
from standclear.drawing.section.legend import legend
from standclear.drawing.section.outcome import outcome_view, size_table
from standclear.drawing.section.section import detail_view, enlarges, section_view
from standclear.drawing.shapes import Box, Drawing, Line, Text, rectangle
from standclear.drawing.view import scale_words
from standclear.findings.finding import Finding, Verdict
from standclear.proof.result import JobProof, SetupProof
from standclear.report.words import (
    blank_words,
    exit_status,
    gravest,
    headline,
    open_findings,
    setup_line,
    told,
)

WIDTH, HEIGHT_OF_TWO = 420.0, 297.0
"""A3 across: two set-ups and what comes out."""
ROW, LAST_ROW = 96.0, 85.0
LEFT, EDGE = 20.0, 10.0
TITLE_WIDTH, TITLE_HEIGHT = 180.0, 34.0
DETAIL_WIDTH = 112.0
GAP = 4.0
LINE = 4.8
"""From base line to base line of words 2.5 mm high."""
FINDINGS = 2
"""Most findings that the caption of a set-up without a strike gives."""


def sheet(proof: JobProof, setup: str | None = None) -> Drawing:
    """The drawing of a job, or of its set-up of the name `setup` alone.

    Raises KeyError where the job has no such set-up.
    """
    shown = [s for s in proof.setups if setup is None or s.name == setup]
    if not shown:
        raise KeyError(setup)
    height = HEIGHT_OF_TWO + ROW * (len(shown) - 2)
    board = Board()
    frame = (LEFT, EDGE, WIDTH - EDGE, height - EDGE)
    for i, one in enumerate(shown):
        top = frame[3] - ROW * i
        row = (frame[0], top - ROW, frame[2], top)
        own = [f for f in open_findings(proof) if f.setup == one.name]
        _setup_row(board, one, own, row, proof.units, chr(ord("A") + i % 26))
        board.add([Line(((frame[0], row[1]), (frame[2], row[1])), Ink.TABLE)])
    split = frame[2] - TITLE_WIDTH
    last = (frame[0], frame[1], frame[2], frame[1] + LAST_ROW)
    outcome_view(board, proof, (last[0] + GAP, last[1] + 8.0, split - GAP, last[3]))
    legend(board, (last[0] + GAP, last[1] + 2.0))
    table = (split, frame[1] + TITLE_HEIGHT + GAP, frame[2], last[3])
    size_table(board, proof, table)
    _title_block(board, proof, (split, frame[1], frame[2], frame[1] + TITLE_HEIGHT))
    board.add([Line(rectangle(frame), Ink.FRAME, closed=True)])
    return Drawing(
        WIDTH,
        height,
        f"{proof.title or 'job'}: {proof.verdict}",
        _described(proof),
        board.finished(),
    )


def _setup_row(
    board: Board,
    setup: SetupProof,
    findings: list[Finding],
    row: Box,
    units: str,
    letter: str,
) -> None:
    x0, y0, x1, y1 = row
    but = ", but see below" if findings and setup.verdict is Verdict.CLEAR else ""
    head = f"Set-up {setup_line(setup)}{but}"
    words_x = x0 + GAP + width_of(head, 4.0) + 6.0
    ink = Ink.STRIKE_TEXT if setup.verdict is Verdict.CONTACT else Ink.TEXT
    board.write(Text(head, (x0 + GAP, y1 - 7.0), 4.0, ink))
    room = x1 - x0 - 2 * GAP
    y = y1 - 12.8
    for words in _caption(setup, findings, units):
        board.write(Text(shortened(words, 2.5, room), (x0 + GAP, y), 2.5))
        y -= LINE
    focus = focus_of(setup, findings)
    split = x1 - DETAIL_WIDTH - 2 * GAP
    section = (x0 + GAP, y0 + 1.5, split, y + 1.5)
    detail = (split + GAP, y0 + GAP, x1 - GAP, y + 1.5)
    if not enlarges(setup, focus, section, detail):
        section, letter = (x0 + GAP, y0 + 1.5, x1 - GAP, y + 1.5), ""
    shown = section_view(board, setup, focus, section, units, letter)
    board.write(Text(f"({scale_words(shown.scale)})", (words_x, y1 - 7.0), 2.5))
    if letter:
        detail_view(board, setup, focus, detail, units, letter)


def _caption(setup: SetupProof, findings: list[Finding], units: str) -> list[str]:
    """The strikes by number; without one, the first findings; without any, the nearest place."""
    found = hits(setup)
    rows = [f"{hit.number}  {hit_words(hit, units)}" for hit in found[:MARKS]]
    if len(found) > MARKS:
        rows.append(f"and {len(found) - MARKS} more blocks: see the answer in words")
    if found:
        return rows
    for finding in findings[:FINDINGS]:
        where = f"{finding.place.in_words}: {finding.place.words} - " if finding.place else ""
        rows.append(where + told(finding, units))
    near = nearest(setup)
    return [*rows, approach_words(setup, near, units)] if near is not None else rows


def _title_block(board: Board, proof: JobProof, area: Box) -> None:
    x0, y0, x1, _ = area
    board.add([Line(rectangle(area), Ink.FRAME, closed=True)])
    for y in (y0 + 8.0, y0 + 23.0):
        board.add([Line(((x0, y), (x1, y)), Ink.TABLE)])
    room = x1 - x0 - 4.0
    board.write(
        Text(
            shortened(proof.title or "job without a title", 4.0, room - 46.0),
            (x0 + 2.0, y0 + 26.5),
            4.0,
        )
    )
    ink = Ink.STRIKE_TEXT if proof.verdict is Verdict.CONTACT else Ink.TEXT
    verdict = str(proof.verdict).upper()
    if proof.verdict is Verdict.CLEAR and exit_status(proof):
        verdict = "CLEAR, BUT"
    board.write(Text(verdict, (x1 - 44.0, y0 + 26.0), 5.0, ink))
    rows = wrapped(headline(proof), 2.5, room)
    if len(rows) > 2:
        rows = [rows[0], shortened(" ".join(rows[1:]), 2.5, room)]
    worst = gravest(proof)
    if worst is not None and worst.place is not None:
        rows.append(shortened(f"{worst.place.in_words}: {worst.place.words}", 2.5, room))
    for i, row in enumerate(rows):
        board.write(Text(row, (x0 + 2.0, y0 + 19.4 - LINE * i), 2.5))
    unit = "mm" if proof.units == "mm" else "inch"
    about = f"{blank_words(proof)}; sizes in {unit}; drawn from the job, not measured"
    board.write(Text(shortened(about, 2.5, room), (x0 + 2.0, y0 + 3.0), 2.5))


def _described(proof: JobProof) -> str:
    parts = [headline(proof)]
    for setup in proof.setups:
        parts.append(f"Set-up {setup_line(setup)}.")
        parts += [f"{h.number}: {hit_words(h, proof.units)}." for h in hits(setup)[:MARKS]]
        near = nearest(setup)
        if near is not None:
            parts.append(f"{approach_words(setup, near, proof.units)}.")
    return " ".join(parts)
