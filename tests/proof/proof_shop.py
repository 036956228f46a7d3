"""Small jobs for the tests of the proof: a bar in jaws, sharp tools, programs of a few blocks.

The base: bar 40 x 60, its raw face 1 in front of part zero, held 15 deep, so the jaws' front is at
Z-44. Tools have sharp corners, so that every size is the programmed one:

- T1 turns outside, 12 high at the shoulder side;
- T2 grooves outside, 4 wide, controlled at its chuck-side corner, 25 deep;
- T3 drills 12, 118 degrees, 40 deep;
- T4 bores, its bar 9 thick;
- T5 turns to a V of 60 degrees.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import standclear
from standclear import Finding, JobFiles, JobProof
from standclear.job.read import read_job

CONTROL = """cycle_words = "cycles-g90", number_without_point = "unit", \
cycle_number_without_point = "increment", arc_centre = "incremental", \
levels_from = "moved-start", last_level = "left-to-profile", level_end = "45-degrees", \
home_after_cycle = "direct", level_outside_profile = "to-exit", block_delete = "off", \
pocket_in_plain_roughing = "left", tool_with_motion = "before", offset_with_motion = "jump", \
optional_stop = "off" """

TOOLS: dict[int, str] = {
    1: "outline = { points = [[0, 0], [6, 0.5], [24, 4], [24, 90], [1.5, 90], [1.5, 12]], "
    "cutting = [0, 5] }",
    2: "grooving = { width = 4.0, reach = 25.0 }",
    3: "drill = { diameter = 12.0, length = 40.0, holder_diameter = 30.0 }",
    4: "outline = { points = [[0, 0], [0.2, -2], [0.4, -9], [80, -9], [80, -1.5], [3, -1.2]], "
    "cutting = [0, 5] }",
    5: "outline = { points = [[0, 0], [2.886751346, 5], [2.886751346, 60], [-2.886751346, 60], "
    "[-2.886751346, 5]], cutting = [0, 4] }",
}
JAWS = "{ profile = [[0, 0], [15, 0], [15, 20], [0, 20]] }"
HEAD = "G21\nG28 U0 W0\n"
START = "T0101\nG97 S800 M03\n"


def job_text(
    *,
    units: str = "mm",
    blank: str = "size = 40.0\nlength = 60.0",
    part: str = "length = 58.0",
    tools: Mapping[int, str] | None = None,
    more_of_tools: str = "",
    machine: str = 'home = "beyond"\nrapid_path = "straight"\n',
    control: str = CONTROL,
    zero: str = 'way = "touch", face_allowance = 1.0',
    jaws: str | None = JAWS,
    margin: str = "x = 2.0, z = 2.0, jaws = 1.0",
    more_of_setup: str = "",
    second: str | None = None,
    more: str = "",
) -> str:
    """The text of a job file; `second` is the body of a second set-up, run from `two.nc`."""
    held = f"jaws = {jaws}\n" if jaws else ""
    lines = [
        f'units = "{units}"\n{more}\n[blank]\n{blank}\n[part]\n{part}\n',
        f"[machine]\n{machine}control = {{ {control} }}\n",
        *(
            f"[[tools]]\nstation = {k}\n{each}\n{more_of_tools}\n"
            for k, each in (tools or TOOLS).items()
        ),
        f'[[setup]]\nname = "one"\nprogram = "one.nc"\nzero = {{ {zero} }}\n{held}'
        f"margin = {{ {margin} }}\n{more_of_setup}\n",
    ]
    if second is not None:
        lines.append(
            f'[[setup]]\nname = "two"\nprogram = "two.nc"\nmargin = {{ {margin} }}\n{second}\n'
        )
    return "".join(lines)


def files_of(program: str, second_program: str = "", **job: Any) -> JobFiles:
    """A job whose first program is HEAD, START and `program`; see `job_text` for the rest."""
    texts = {"job.toml": job_text(**job), "one.nc": HEAD + START + program + "\nM30\n"}
    if second_program:
        texts["two.nc"] = HEAD + START + second_program + "\nM30\n"
    with tempfile.TemporaryDirectory() as folder:
        for name, text in texts.items():
            (Path(folder) / name).write_text(text)
        return read_job(Path(folder))


def proof_of(program: str, second_program: str = "", **job: Any) -> JobProof:
    """The proof of such a job."""
    return standclear.prove(files_of(program, second_program, **job))


def weighed(proof: JobProof) -> list[Finding]:
    """All findings but those on assumptions and on odd values, which belong to the job as read."""
    return [f for f in proof.findings if f.code not in ("blank-odd", "tool-outline-assumed")]


def codes(proof: JobProof) -> list[str]:
    """Their codes, in order."""
    return [f.code for f in weighed(proof)]


def only(proof: JobProof, code: str) -> Finding:
    """The one finding of a code."""
    (found,) = [f for f in proof.findings if f.code == code]
    return found


def measured(finding: Finding, name: str) -> float:
    """One measure of a finding, mm."""
    return next(float(m.value) for m in finding.measures if m.name == name)
