"""What each tool is, guessed from what it does, with a tool of the usual size to stand for it.

The tools chosen are common practice, no source; only their kind comes from the program.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from standclear.blocks.program import Block
from standclear.draft.designations import designations_in
from standclear.draft.guess import Unit
from standclear.draft.motion_facts import ToolCuts
from standclear.draft.text_facts import Comment, TextFacts, tool_called
from standclear.motions.meaning.words import Act, meaning_of
from standclear.motions.table import Spindle

Pair = tuple[int, int]
"""(station, offset)."""

ROUGHING = frozenset({"G71", "G72", "G73", "G90", "G94"})
_THREADS = frozenset({Act.THREAD, Act.THREAD_PASS, Act.THREADING, Act.THREAD_OF_CHANGING_LEAD})
_ON_CENTRE = frozenset({Act.DRILL, Act.TAP, Act.BORE})
BARS = ((25, "R", "09"), (20, "Q", "09"), (16, "M", "09"), (12, "K", "06"), (10, "H", "06"))
"""Boring bars: diameter, letter of the length, code of the insert."""
LEAST_BORE_MM = {25: 30.0, 20: 24.0, 16: 20.0, 12: 16.0, 10: 14.0, 8: 11.0}
"""Least bore that each bar goes into: its height over the tip offset and half its diameter."""
_INSERT_OF_BAR = {"09": "CCMT09T304", "06": "CCMT060204"}
_NUMBER = re.compile(
    r"(?<![A-Z\d./])(?:(\d{1,3})[ -])?"
    r"(?:(\d{1,3})/(\d{1,3})|(\d{1,4}(?:\.\d{1,4})?|\.\d{1,4}))(?!\d)",
    re.ASCII,
)
"""A size: 12, 12.5, 1/2 or 1-1/2."""
_LONGEST_MM = 250.0


@dataclass(frozen=True, slots=True)
class ToolGuess:
    """One tool of the job file: its table, in the unit of the job, and why."""

    station: int
    offset: int
    name: str
    table: dict[str, Any]
    because: str
    named: bool = False
    """Whether its insert and holder are named in a comment."""


def tools_of(
    text: TextFacts,
    blocks: Sequence[Block],
    cuts: Mapping[Pair, Sequence[ToolCuts]],
    bar_mm: float,
    family: str,
    unit: Unit,
) -> tuple[ToolGuess, ...]:
    """A guess for each station and offset that is called, in the order of the text."""
    acts = _acts_of(blocks, family)
    pairs = list(dict.fromkeys((call.station, call.offset) for call in text.tools))
    near = {pair: _comments_near(text, pair) for pair in pairs}
    smallest_bore = min(
        (each.least_r for own in cuts.values() for each in own if each.inside), default=None
    )
    return tuple(
        _guess(pair, cuts.get(pair, ()), acts.get(pair, frozenset()), near[pair], bar_mm,
               smallest_bore, unit)
        for pair in pairs
    )  # fmt: skip


def _guess(
    pair: Pair,
    cuts: Sequence[ToolCuts],
    acts: frozenset[Act],
    near: Sequence[Comment],
    bar_mm: float,
    bore_mm: float | None,
    unit: Unit,
) -> ToolGuess:
    fed = [each for each in cuts if each.feeds]
    reverse = any(each.spindle == Spindle.REVERSE for each in fed)
    cycles = frozenset(cycle for each in fed for cycle in each.cycles)
    inside = bool(fed) and any(each.inside for each in fed)
    if acts & _THREADS:
        name, table = _threading(fed, inside, unit)
        because = "it cuts a thread"
    elif acts & _ON_CENTRE or (fed and all(each.on_axis for each in fed)):
        name, table, because = _drill(fed, acts, near, bore_mm, unit)
    elif where := _grooves(fed, cycles):
        name, table, because = _groove(fed, where, near, bar_mm, unit)
    elif inside:
        name, table, because = _boring(fed, reverse)
    elif not fed:
        name, table = _outside(rough=True, reverse=reverse)
        because = "nothing of what it does could be followed"
    else:
        name, table = _outside(rough=bool(cycles & ROUGHING), reverse=reverse)
        doing = ", ".join(sorted(cycles)) or "plain feeds"
        because = f"it cuts outside ({doing})"
    named = designations_in(near, inside=inside if fed else None) if "insert" in table else None
    if named is not None:
        table["insert"], table["holder"] = named
        because = f"{because}; its insert and holder are in its comment"
    if reverse:
        table["cuts_with"] = "M04"
    said = next((c.text.strip() for c in near if c.text.strip()), "")
    called = f"{name} ({said[:40]})" if said else name
    return ToolGuess(pair[0], pair[1], called, table, because, named is not None)


def _threading(fed: Sequence[ToolCuts], inside: bool, unit: Unit) -> tuple[str, dict[str, Any]]:
    if not inside:
        table = {"width": unit.either(4.0, 0.16), "reach": unit.either(12.0, 0.5)}
        return "threading, outside", {"threading": {k: unit.out(v) for k, v in table.items()}}
    bore = 2 * min(each.least_r for each in fed)
    deep = max([10.0, *(-each.deepest_z for each in fed)])
    table = {
        "width": min(4.0, max(1.0, bore / 5)),
        "reach": math.ceil(min(deep, _LONGEST_MM)) + 10.0,
        "body": min(16.0, max(4.0, math.floor(bore * 0.6))),
    }
    lengths = {key: unit.out(value) for key, value in table.items()}
    return "threading, inside", {"threading": {**lengths, "where": "inside"}}


def _drill(
    fed: Sequence[ToolCuts],
    acts: frozenset[Act],
    near: Sequence[Comment],
    bore_r: float | None,
    unit: Unit,
) -> tuple[str, dict[str, Any], str]:
    name = "tap" if Act.TAP in acts else "drill"
    said = _number_in(near, r"DRILL|DRL|BOHR|TAP|REAM|CENT", unit)
    if said is not None:
        diameter, because = said, "it works on the centre line; the size is in its comment"
    elif bore_r is not None and bore_r > 1.0:
        diameter = max(3.0, math.floor(2 * bore_r))
        because = "it works on the centre line; the size lets the boring bar in"
    else:
        diameter = unit.either(10.0, 0.375)
        because = "it works on the centre line; no size is told"
    depth = max([10.0, *(-each.deepest_z for each in fed)])
    length = math.ceil(min(depth, _LONGEST_MM) / 10) * 10 + 20.0
    table = {"diameter": unit.out(diameter), "length": unit.out(length)}
    return name, {"drill": table}, because


def _grooves(fed: Sequence[ToolCuts], cycles: frozenset[str]) -> str:
    """Where a tool grooves: outside, inside, face; empty where it does not."""
    plunges = [each for one in fed for each in one.plunges]
    if "G74" in cycles:
        return "face"
    if not ("G75" in cycles or plunges) or cycles & ROUGHING:
        return ""
    along = [abs(after - before) for one in fed for _, before, after in one.along]
    if "G75" not in cycles and sum(along) > 0.5 * sum(abs(b - a) for _, a, b in plunges):
        return ""
    inwards = sum(end < start for _, start, end in plunges)
    return "outside" if inwards * 2 >= len(plunges) else "inside"


def _groove(
    fed: Sequence[ToolCuts], where: str, near: Sequence[Comment], bar_mm: float, unit: Unit
) -> tuple[str, dict[str, Any], str]:
    width = _number_in(near, r"GROOV|PART|CUT|STECH|WIDE", unit)
    told = "the width is in its comment" if width is not None else "no width is told"
    wide = width if width is not None and 0 < width <= 12.0 else unit.either(3.0, 0.125)
    if where == "face":
        deep = max(-each.deepest_z for each in fed)
    else:
        deepest = min((end for one in fed for _, _, end in one.plunges), default=0.0)
        deep = bar_mm / 2 - max(deepest, 0.0)
    reach = max(10.0, math.ceil(deep) + 2.0)
    parts = where == "outside" and any(end <= 0.5 for one in fed for _, _, end in one.plunges)
    table: dict[str, Any] = {"width": unit.out(wide), "reach": unit.out(reach)}
    if where != "outside":
        table["where"] = where
    name = "parting" if parts else f"grooving, {where}"
    return name, {"grooving": table}, f"it plunges; {told}"


def _boring(fed: Sequence[ToolCuts], reverse: bool) -> tuple[str, dict[str, Any], str]:
    least = 2 * min(each.least_r for each in fed)
    fitting = [bar for bar in BARS if LEAST_BORE_MM[bar[0]] <= least]
    size, length, code = fitting[0] if fitting else (8, "F", "06")
    hand = "L" if reverse else "R"
    table = {"insert": _INSERT_OF_BAR[code], "holder": f"S{size:02d}{length}-SCLC{hand}{code}"}
    return "boring", table, "it leaves its cuts towards the axis"


def _outside(*, rough: bool, reverse: bool) -> tuple[str, dict[str, Any]]:
    hand = "L" if reverse else "R"
    if rough:
        return "roughing, outside", {"insert": "CNMG120408", "holder": f"PCLN{hand}2525M12"}
    return "finishing, outside", {"insert": "DNMG150604", "holder": f"PDJN{hand}2525M15"}


def _acts_of(blocks: Sequence[Block], family: str) -> dict[Pair, frozenset[Act]]:
    """What the G words under each tool mean, in the order of the text."""
    found: dict[Pair, set[Act]] = {}
    pair: Pair | None = None
    for block in blocks:
        for word in block.words:
            if word.letter == "T" and (call := tool_called(word)) is not None:
                pair = (call.station or 0, call.offset)
        for word in block.words:
            if word.letter == "G" and word.number is not None and pair is not None:
                found.setdefault(pair, set()).add(meaning_of(word.number, family).act)
    return {pair: frozenset(acts) for pair, acts in found.items()}


def _comments_near(text: TextFacts, pair: Pair) -> tuple[Comment, ...]:
    """Comments in the block of the tool's first call, then those of the blocks beside it."""
    call = next(each for each in text.tools if (each.station, each.offset) == pair)
    near = [c for c in text.comments if -2 <= c.block - call.block <= 1]
    return tuple(sorted(near, key=lambda c: (abs(c.block - call.block), -c.block)))


def _number_in(near: Sequence[Comment], about: str, unit: Unit) -> float | None:
    """The first size in a comment that says what it is about, mm."""
    for comment in near:
        text = comment.text.upper()
        if re.search(about, text) and (match := _NUMBER.search(text)):
            whole, above, below, plain = match.groups()
            if plain:
                value = float(plain)
            elif int(below) == 0:
                continue
            else:
                value = float(whole or 0) + int(above) / int(below)
            in_mm = unit.mm(value)
            if 0.5 <= in_mm <= 100.0:
                return in_mm
    return None
