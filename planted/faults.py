"""Known faults, each planted in the text of a program or in one number of the job.

Every function draws a place by itself and gives the job with the fault, how many words putting it
back would take, and, where no word of a program can, the bound that stands in the way.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil
from random import Random

import numpy as np

import standclear
from planted.bases import Base, weighty
from standclear.blocks.program import Block, Word
from standclear.job.models import Job, Machine
from standclear.job.placing import CORNER_OVER_FLAT
from standclear.job.read import JobFiles
from standclear.motions.table import FAR, Kind, Trace
from standclear.proof.held import Held
from standclear.proof.judge_setup import air_owed

AXES = {"Z": 0, "X": 1}
SINGLE_PASSES = frozenset({"G76", "G90", "G92", "G94"})
"""Cycles whose taper counts from the point that they are called at."""


@dataclass(frozen=True)
class Planted:
    """A job with faults in it."""

    files: JobFiles
    faults: tuple[str, ...]
    """What was done, for a reader of the log."""
    broken: int
    """Words that put it back."""
    bound: str = ""
    """Empty where putting the words back mends it; else the bound that stands in the way."""
    lines: tuple[tuple[str, int, bytes], ...] = ()
    """(file, line, what stands there now) of a fault that is in single lines."""


Planter = Callable[[Base, Random], Planted | None]


def lowered(base: Base, rng: Random) -> Planted | None:
    """A word of a clearance point brought nearer to the metal or into it."""
    places = _outward_words(base)
    if not places:
        return None
    name, block, number = rng.choice(places)
    word = block.words[number]
    assert word.number is not None
    decimals = len(word.value_text.partition(".")[2])
    unit = Decimal(1) if base.job.units == "mm" else Decimal("25.4")
    if word.letter == "X" and not _x_on_diameter(base.job):
        unit *= 2
    nearer = Decimal(repr(round(rng.uniform(0.4, 9.0), 2))) / unit
    value = round(word.number - nearer, decimals)
    if (word.letter == "X" and value <= 0) or value == word.number:
        return None
    text = f"{value:.{decimals}f}" + ("." if decimals == 0 else "")
    new = word.text[: len(word.text) - len(word.value_text)] + text
    done = f"{name} line {block.line}: {word.text} -> {new}"
    return _with_line(base, name, block, _spliced(block, word, new), done, 1)


def start_near(base: Base, rng: Random) -> Planted | None:
    """A cycle's or cut's clearance point just in front of the face: the margin is not kept."""
    places = [p for p in _outward_words(base) if p[1].words[p[2]].letter == "Z"]
    if not places:
        return None
    name, block, number = rng.choice(places)
    word = block.words[number]
    decimals = len(word.value_text.partition(".")[2])
    index = next(k for k, s in enumerate(base.job.setup) if s.program == name)
    face = base.proof.setups[index].raw.bounds[2]
    unit = 1.0 if base.job.units == "mm" else 25.4
    value = round((face + rng.uniform(0.02, 0.25)) / unit, decimals)
    if word.number is None or value >= word.number:
        return None
    new = f"{word.text[: len(word.text) - len(word.value_text)]}{value:.{decimals}f}"
    new += "." if decimals == 0 else ""
    done = f"{name} line {block.line}: {word.text} -> {new}"
    return _with_line(base, name, block, _spliced(block, word, new), done, 1)


def retreat_removed(base: Base, rng: Random) -> Planted | None:
    """A rapid that leads the tool out or away, left out."""
    found: list[tuple[str, Block, int]] = []
    for name, blocks in _own_blocks(base).items():
        moves = _outward_blocks(base, name)
        for block, after in itertools.pairwise(blocks):
            letters = sorted(w.letter for w in block.words)
            plain = letters in (["G", "X"], ["G", "Z"], ["G", "X", "Z"]) and not block.statement
            says = any(w.letter == "G" for w in after.words)
            if (
                plain
                and says
                and block.index in moves
                and not block.comments
                and block.label is None
            ):
                found.append((name, block, len(letters) - 1))
    if not found:
        return None
    name, block, words = rng.choice(found)
    done = f"{name} line {block.line}: {block.text} left out"
    return _with_line(base, name, block, b"", done, words)


def exchanged(base: Base, rng: Random) -> Planted | None:
    """The work of two tools that follow one another, the later one first."""
    found = []
    for name, blocks in _own_blocks(base).items():
        calls = [k for k, b in enumerate(blocks) if any(w.letter == "T" for w in b.words)]
        ends = [
            k for k, b in enumerate(blocks)
            if any(w.letter == "M" and w.number in (0, 1, 2, 5, 30, 99) for w in b.words)
        ]  # fmt: skip
        for first, second in itertools.pairwise(calls):
            last = min([k for k in (*calls, *ends) if k > second], default=0)
            if last and not any(first < k < second for k in ends):
                found.append((name, first, second, last))
    if not found:
        return None
    name, first, second, last = rng.choice(found)
    blocks = _own_blocks(base)[name]
    order = [*blocks[:first], *blocks[second:last], *blocks[first:second], *blocks[last:]]
    done = f"{name}: lines {blocks[second].line} to {blocks[last - 1].line} put first"
    programs = {**base.files.programs, name: b"".join(b.raw for b in order)}
    return Planted(replace(base.files, programs=programs), (done,), 1)


def offset_off(base: Base, rng: Random) -> Planted | None:
    """One number keyed in for a zero, off either way; where a face may stay raw, no number is."""
    if "face-left-raw" in base.allowed:
        return None
    job = base.job
    at = [k for k, s in enumerate(job.setup) if s.zero.way in ("stop", "touch", "rule", "nominal")]
    if not at:
        return None
    index = rng.choice(at)
    zero = job.setup[index].zero
    off = round(rng.uniform(0.4, 6.0) * rng.choice((-1, 1)), 2)
    if zero.way == "stop":
        change = {"from_stop": round((zero.from_stop or job.part.length) + off, 4)}
    else:
        change = {"face_allowance": round((zero.face_allowance or 0.0) + off, 4)}
    moved = zero.model_copy(update=change)
    done = f"set-up {job.setup[index].name}: {', '.join(f'{k} {v}' for k, v in change.items())}"
    return Planted(replace(base.files, job=_with_setup(job, index, zero=moved)), (done,), 1)


def thicker(base: Base, rng: Random) -> Planted | None:
    """A bar thicker than the program knew. The words to put right are those of the X places that
    the thicker bar's margin reaches; raised by as much, they must make it clear again."""
    blank = base.job.blank
    more = round(rng.uniform(0.6, 6.0), 1)
    setups = [
        s if s.grip_diameter is None or k > 0
        else s.model_copy(update={"grip_diameter": round(s.grip_diameter + more, 4)})
        for k, s in enumerate(base.job.setup)
    ]  # fmt: skip
    size = blank.model_copy(update={"size": round(blank.size + more, 4)})
    job = base.job.model_copy(update={"blank": size, "setup": setups})
    raised, count = _raised(base, more * CORNER_OVER_FLAT[blank.shape])
    put_right = replace(base.files, job=job, programs=raised)
    held = standclear.hold(put_right)
    if count == 0 or not leaves_shape(base, held) or weighty(standclear.judge(held, job)):
        return None
    done = f"bar {size.size} in place of {blank.size}"
    return Planted(replace(base.files, job=job), (done,), count)


def _raised(base: Base, more: float) -> tuple[dict[str, bytes], int]:
    """The programs with the X words that a bar `more` mm larger over its corners comes too near to
    raised by `more`, and how many those are."""
    unit = 1.0 if base.job.units == "mm" else 25.4
    over = 1.0 if _x_on_diameter(base.job) else 2.0
    raw = 2 * max(proof.raw.bounds[3] for proof in base.proof.setups)
    programs, count = dict(base.files.programs), 0
    for name, blocks in _own_blocks(base).items():
        places = [p for p in _outward_words(base) if p[0] == name]
        out = {block.index: block.raw for block in blocks}
        for _, block, number in sorted(places, key=lambda p: -p[2]):
            word = block.words[number]
            assert word.number is not None
            margin = air_owed(base.job, base.job.setup[0]).across * 2
            if word.letter != "X" or float(word.number) * unit * over >= raw + more + margin:
                continue
            decimals = len(word.value_text.partition(".")[2])
            step = 10.0**-decimals
            value = (ceil((float(word.number) + more / unit / over) / step - 1e-6)) * step
            text = f"{value:.{decimals}f}" + ("." if decimals == 0 else "")
            new = word.text[: len(word.text) - len(word.value_text)] + text
            at = word.column - 1
            line = out[block.index]
            out[block.index] = line[:at] + new.encode() + line[at + len(word.text) :]
            count += 1
        programs[name] = b"".join(out[block.index] for block in blocks)
    return programs, count


def _x_on_diameter(job: Job) -> bool:
    assert isinstance(job.machine, Machine)
    return job.machine.control.x_words == "diameter"


def _own_blocks(base: Base) -> dict[str, tuple[Block, ...]]:
    return {name: program.own_blocks for name, program in base.held.programs.items()}


def _outward_blocks(base: Base, name: str) -> set[int]:
    """Blocks of plain rapids that move away from the axis or the chuck."""
    found: set[int] = set()
    for setup, readings in zip(base.job.setup, base.held.readings, strict=True):
        if setup.program != name:
            continue
        motions = readings[0].trace.motions
        way = motions.end - motions.start
        near = (np.abs(motions.end) < FAR / 2).all(axis=1) & (np.abs(way) < FAR / 2).all(axis=1)
        out = near & (motions.kind == Kind.RAPID) & (motions.call < 0)
        out &= (way >= -1e-9).all(axis=1) & (way > 1e-6).any(axis=1)
        found |= set(motions.block[out].tolist())
    return found


def _outward_words(base: Base) -> list[tuple[str, Block, int]]:
    """X and Z words of plain rapids that place a tool beyond the raw blank: (file, block, number
    of the word). Where a slanted cut is measured from such a word it is left out: with another
    number the cone itself is another, and nothing says which was meant."""
    found = []
    for name, blocks in _own_blocks(base).items():
        places: dict[int, set[str]] = {}
        for proof, setup, readings in zip(
            base.proof.setups, base.job.setup, base.held.readings, strict=True
        ):
            if setup.program != name:
                continue
            motions = readings[0].trace.motions
            beyond = {"Z": proof.raw.bounds[2], "X": proof.raw.bounds[3]}
            cones = _beginnings_of_cones(readings[0].trace)
            for row in np.flatnonzero((motions.kind == Kind.RAPID) & (motions.call < 0)).tolist():
                for letter, axis in AXES.items():
                    if (row, axis) in cones:
                        continue
                    if beyond[letter] <= motions.end[row, axis] < FAR / 2:
                        places.setdefault(int(motions.block[row]), set()).add(letter)
        for block in blocks:
            for number, word in enumerate(block.words):
                plain = word.number is not None and word.has_point and not word.broken
                if plain and word.letter in places.get(block.index, set()):
                    found.append((name, block, number))
    return found


def _beginnings_of_cones(trace: Trace) -> set[tuple[int, int]]:
    """(row, axis) of the rapids whose end along that axis is where a slanted feed begins, or a
    cycle of single passes that makes one."""
    motions = trace.motions
    travel = np.abs(motions.end - motions.start)
    slanted = (motions.kind == Kind.FEED) & (travel > 1e-6).all(axis=1)
    begins = np.flatnonzero(slanted & (motions.call < 0)).tolist()
    for call in trace.calls:
        rows = np.flatnonzero(motions.call == call.number)
        if call.cycle in SINGLE_PASSES and slanted[rows].any():
            begins.append(int(rows[0]))
    found = set()
    for row in begins:
        # All of the rapids that lead there: with nose compensation each of them moves along both.
        while row > 0 and motions.kind[row - 1] == Kind.RAPID and motions.call[row - 1] < 0:
            row -= 1
            found |= {(row, axis) for axis in AXES.values()}
    return found


def leaves_shape(base: Base, held: Held) -> bool:
    """Whether the feeds of lines and profiles still end where they did: where steps in a program
    count from the place that was moved it is the shape that is another, and nothing says which was
    meant."""
    return all(
        len(a) == len(b)
        and all(_ends(x.trace) == _ends(y.trace) for x, y in zip(a, b, strict=True))
        for a, b in zip(base.held.readings, held.readings, strict=True)
    )


def _ends(trace: Trace) -> set[tuple[float, ...]]:
    """Where plain feeds end, and those along a profile when it is passed for the last time."""
    motions = trace.motions
    rows = np.flatnonzero((motions.kind == Kind.FEED) & (motions.call < 0)).tolist()
    along = np.flatnonzero((motions.kind == Kind.FEED) & (motions.profile >= 0)).tolist()
    last = {(int(motions.call[k]), int(motions.profile[k]), int(motions.variant[k])): k
            for k in along}  # fmt: skip
    ends = (motions.end[[*rows, *last.values()]].round(4) + 0.0).tolist()
    return {tuple(each) for each in ends}


def _spliced(block: Block, word: Word, new: str) -> bytes:
    at = word.column - 1
    end = at + len(word.text)
    assert block.raw[at:end] == word.text.encode("latin-1")
    return block.raw[:at] + new.encode("latin-1") + block.raw[end:]


def _with_line(base: Base, name: str, block: Block, line: bytes, done: str, broken: int) -> Planted:
    lines = ((name, block.line, line),)
    return Planted(in_lines(base.files, lines), (done,), broken, lines=lines)


def in_lines(files: JobFiles, lines: Iterable[tuple[str, int, bytes]]) -> JobFiles:
    """The files with other bytes in some lines."""
    programs = dict(files.programs)
    for name in {name for name, _, _ in lines}:
        new = {line: data for n, line, data in lines if n == name}
        old = files.programs[name].splitlines(keepends=True)
        programs[name] = b"".join(new.get(k, raw) for k, raw in enumerate(old, start=1))
    return replace(files, programs=programs)


def together(base: Base, several: Sequence[Planted]) -> Planted | None:
    """Faults in different lines, all of them; None where two are in one line."""
    lines = tuple(line for each in several for line in each.lines)
    if len({(name, line) for name, line, _ in lines}) < len(several):
        return None
    done = tuple(fault for each in several for fault in each.faults)
    broken = sum(each.broken for each in several)
    return Planted(in_lines(base.files, lines), done, broken, lines=lines)


def _with_setup(job: Job, index: int, **change: object) -> Job:
    setups = list(job.setup)
    setups[index] = setups[index].model_copy(update=change)
    return job.model_copy(update={"setup": setups})
