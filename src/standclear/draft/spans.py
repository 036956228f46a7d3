"""Where one clamping ends and the next begins: a program split into spans.

A part is turned round at a stop. That a stop is such a one is told by another work offset after
it, by a comment, or, at an M00, by the program starting over with its first tool (common practice,
no source).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from standclear.blocks.program import Block
from standclear.draft.text_facts import Stop, gather, offset_selected, tool_called

TURNED_ROUND = re.compile(
    r"\bTURN(ED)?\s+(THE\s+)?(PART|PIECE|WORK|JOB|IT|BLANK)?\s*(ROUND|AROUND|OVER|END)\b"
    r"|\bFLIP|\bRE-?CHUCK|\bRE-?CLAMP|\bREVERSE\s+(THE\s+)?(PART|PIECE|WORK|JOB)"
    r"|\b(2ND|SECOND|OTHER|BACK|REAR)\s+(SIDE|END|OP\w*|SET-?UP|CLAMPING)\b"
    r"|\b(SIDE|END|OP|OPERATION|SET-?UP)\s*\.?\s*(2|B|TWO)\b"
    r"|\bUMSPANN|\bWENDEN|\b(2\.|ZWEITE)\s*SEITE\b|\bRUECKSEITE\b|\bR.CKSEITE\b",
    re.IGNORECASE,
)
"""Comments that say so, in English and German."""
LOOKED_AT = re.compile(r"MEASUR|CHECK|GAUGE|CHIPS|CLEAN|MESSEN|PR.F|SP.NE", re.IGNORECASE)
"""Comments of a stop at which the part stays in the chuck."""
_AXES = frozenset("XZUW")
_CALLING_G = frozenset({65, 66})
_NOT_A_CUT = frozenset({4, 10, 28, 30, 50, 52, 53, 92})


@dataclass(frozen=True, slots=True)
class Cut:
    """A place where the program is split, as the marks of the job name it."""

    block: int
    """First block of the next span."""
    line: int
    stop: int | None
    """Number of the stop, or None where an offset word marks it."""
    offset: str | None
    because: str


@dataclass(frozen=True, slots=True)
class Span:
    """The blocks `first` to `after` (not included) of one clamping."""

    first: int
    after: int
    begins: Cut | None
    """None at the program's top."""
    ends: Cut | None
    """None where it runs to the program's end."""
    offset: str
    """The work offset in force where it cuts."""


def spans_of(blocks: Sequence[Block]) -> tuple[tuple[Span, ...], tuple[str, ...]]:
    """The clampings of one program, and sentences about what could not be told."""
    if not blocks:
        return (), ()
    cuts, notes = _cuts(blocks)
    edges = [blocks[0].index, *(cut.block for cut in cuts), blocks[-1].index + 1]
    spans = []
    in_force = "G54"
    for number, (first, after) in enumerate(pairwise(edges)):
        own = blocks[first - blocks[0].index : after - blocks[0].index]
        named = [name for b in own if (name := offset_selected(b)) is not None]
        used = named[0] if named else in_force
        in_force = named[-1] if named else in_force
        spans.append(
            Span(
                first,
                after,
                cuts[number - 1] if number else None,
                cuts[number] if number < len(cuts) else None,
                used,
            )
        )
    return tuple(spans), notes


def _cuts(blocks: Sequence[Block]) -> tuple[list[Cut], tuple[str, ...]]:
    stops = {stop.block: stop for stop in gather(tuple(blocks)).stops}
    cuts: list[Cut] = []
    notes: list[str] = []
    used: set[str] = set()
    offset, moved = "", False
    first_tool: int | None = None
    tools_since = 0
    pending: list[Stop] = []
    skip_to = -1
    for place, block in enumerate(blocks):
        stop = stops.get(block.index)
        # What stands around a stop is the same for every stop between two cuts.
        fresh = stop is not None and (
            not pending or (not stop.optional and all(each.optional for each in pending))
        )
        if stop is not None:
            pending.append(stop)
        stations = [c.station for w in block.words if w.letter == "T" and (c := tool_called(w))]
        name = offset_selected(block)
        if moved and place > skip_to:
            cut = None
            if stop is not None and fresh and block.delete_level is None:
                cut = _at_stop(blocks, place, stop, offset, first_tool, tools_since)
            elif name and offset and name != offset and not pending:
                if name in used:
                    notes.append(
                        f"{name} comes back on line {block.line} without a stop: not split there"
                    )
                else:
                    words = f"{name} is selected, with no stop before it"
                    cut = Cut(block.index, block.line, None, name, words)
            if cut is not None:
                cuts.append(cut)
                moved, first_tool, tools_since = False, None, 0
                skip_to = place
        if stations:
            first_tool = stations[0] if first_tool is None else first_tool
            tools_since += 1
        if name:
            offset = name
            used.add(name)
        if _cuts_metal(block):
            moved = True
            pending = []
    return cuts, tuple(notes)


def _at_stop(
    blocks: Sequence[Block],
    place: int,
    stop: Stop,
    offset: str,
    first_tool: int | None,
    tools_since: int,
) -> Cut | None:
    """The cut at a stop, None where the part most likely stays in the chuck."""
    before, after = _around(blocks, place)
    if place + len(after) == len(blocks):
        return None
    comments = [text for b in (*before, *after) for text in b.comments]
    names = [name for b in after if (name := offset_selected(b)) is not None]
    stations = [
        c.station for b in after for w in b.words if w.letter == "T" and (c := tool_called(w))
    ]
    word = "M01" if stop.optional else "M00"
    because = ""
    if names and names[-1] != (offset or "G54"):
        because = f"{word} on line {stop.line}, and {names[-1]} after it"
    elif said := next((text for text in comments if TURNED_ROUND.search(text)), None):
        because = f"{word} on line {stop.line}, and the comment {said.strip()[:40]!r}"
    elif (
        not stop.optional
        and stations[:1] == [first_tool]
        and tools_since > 1
        and not any(LOOKED_AT.search(text) for text in comments)
    ):
        because = f"M00 on line {stop.line}, and the first tool again after it"
    if not because:
        return None
    return Cut(blocks[place].index + 1, stop.line, stop.number, None, because)


def _around(blocks: Sequence[Block], place: int) -> tuple[list[Block], list[Block]]:
    """The blocks beside a stop up to the cuts before and after it, the stop's own among the
    second."""
    first = place
    while first > 0 and not _cuts_metal(blocks[first - 1]):
        first -= 1
    after = place
    while after < len(blocks) and not _cuts_metal(blocks[after]):
        after += 1
    return list(blocks[first:place]), list(blocks[place:after])


def _cuts_metal(block: Block) -> bool:
    """True for a block that names a place by axis words (not a way home, a dwell or a setting) or
    calls a program that may."""
    numbers = {w.number for w in block.words if w.letter == "G" and w.number is not None}
    if _CALLING_G & numbers or any(w.letter == "M" and w.number == 98 for w in block.words):
        return True
    return bool(_AXES & {w.letter for w in block.words}) and not (_NOT_A_CUT & numbers)
