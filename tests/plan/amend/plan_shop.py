"""A small shop for the tests of the plan: bar 40 by 60, raw face at Z1, a lathe with nothing open.

The margins are those a metric job has by itself: 2.5 on diameter (1.25 between tool and metal) and
2.5 in Z (common practice, no source). So a clearance point owes X42.5 or Z3.5.
"""

from __future__ import annotations

from pathlib import Path

from standclear.job.read import JobFiles, read_job
from standclear.motions.table import Trace
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof, WordChange

CONTROL = """\
cycle_words = "cycles-g90"
number_without_point = "increment"
cycle_number_without_point = "increment"
arc_centre = "incremental"
levels_from = "moved-start"
last_level = "left-to-profile"
level_end = "45-degrees"
home_after_cycle = "direct"
level_outside_profile = "to-exit"
pocket_in_plain_roughing = "left"
tool_with_motion = "before"
offset_with_motion = "jump"
block_delete = "off"
optional_stop = "off"
"""
TOOL = """\
outline = { points = [[0, 0], [6, 0.5], [20, 4], [20, 60], [1.5, 60], [1.5, 9]], cutting = [0, 5] }
"""
WIDE_TOOL = """\
outline = { points = [[-3, 0], [0, 0], [0, 40], [-3, 40]], cutting = [0, 1, 3] }
"""
"""Set to its right corner: it reaches 3 further towards the chuck than its controlled point."""
HEAD = "G21 G40 G99\nG54\nT0101\nG97 S800 M03\n"
"""Lines 1 to 4: the first line of a body is line 5."""
TAIL = "G28 U0. W0.\nM30\n"


LEFT_RAW = "".join(
    f'[[allow]]\ncode = "{code}"\nreason = "a trial piece"\n'
    for code in ("face-left-raw", "diameter-left-raw", "size-wrong")
)
"""Lets stand, as part keys, what a body that cuts only some passes leaves raw."""


def files_of(folder: Path, body: str, *, part: str = "", tool: str = TOOL) -> JobFiles:
    """A job of one set-up whose program is HEAD, `body`, TAIL; `part` adds keys to the part."""
    (folder / "p.nc").write_bytes((HEAD + body + TAIL).encode("latin-1"))
    (folder / "job.toml").write_text(
        f'units = "mm"\n[blank]\nsize = 40.0\nlength = 60.0\n[part]\nlength = 58.0\n{part}\n'
        f'[machine]\nhome = "beyond"\nrapid_path = "straight"\n[machine.control]\n{CONTROL}'
        f"[[tools]]\nstation = 1\n{tool}"
        '[[setup]]\nname = "one"\nprogram = "p.nc"\noffset = "G54"\n'
        "jaws = { profile = [[0, 0], [15, 0], [15, 12], [0, 12]] }\n"
        'zero = { way = "touch", face_allowance = 1.0 }\n',
        encoding="utf-8",
    )
    return read_job(folder)


def proved(files: JobFiles) -> tuple[Held, JobProof]:
    """A job held and judged."""
    held = hold(files)
    return held, judge(held, files.job)


def trace_of(folder: Path, body: str) -> Trace:
    """What a body does."""
    held, _ = proved(files_of(folder, body))
    return held.readings[0][0].trace


def told(changes: tuple[WordChange, ...]) -> list[tuple[int, str, str]]:
    """(line, old, new) of each change."""
    return [(c.line, c.old, c.new) for c in changes]


def spliced(data: bytes, changes: tuple[WordChange, ...]) -> bytes:
    """The file with each change put in by hand at its line and column, from the last backwards."""
    lines = data.split(b"\n")
    for change in sorted(changes, key=lambda c: (c.line, c.column), reverse=True):
        line, at = lines[change.line - 1], change.column - 1
        old = change.old.encode()
        assert line[at : at + len(old)] == old
        lines[change.line - 1] = line[:at] + change.new.encode() + line[at + len(old) :]
    return b"\n".join(lines)
