"""A job of one clamping whose limits can be worked out in the head.

Bar 40, face allowance 1, no tolerances, margins of air 0. The tool is a plain block whose one
corner is the point that the program moves. It passes the face in rapid at Z1.5 and runs back beside
the bar at X41.995, so that, with the contact limit of 0.005 mm:

    face     a strike begins where the face stands 1.5 + 0.005 in front of part zero, 0.505 more
    size     where the bar is 41.995 + 2 x 0.005 = 42.005 across
    run-out  at 2 x (41.995/2 + 0.005 - 40/2) = 2.005
    touch-off of T1, both axes at once: where the first of 0.505 (Z) and 1.0025 (X) is used up
"""

from __future__ import annotations

from pathlib import Path

PROGRAM = """%
O7001 (ONE FACE)
G21 G40 G99
G28 U0. W0.
T0101
G54
G50 S2000
G96 S150 M03
G00 X41.995 Z1.5 M08
G00 X-2.
G00 X41.995
G01 Z0. F0.2
G01 X-2.
G00 Z1.5
G00 X41.995
G00 Z-8.
G00 X60.
G28 U0. W0.
M05
M30
%
"""
JOB = """
title = "{title}"
units = "mm"
contact_limit = 0.005

[blank]
size = 40.0
length = 50.0
length_tolerance = [0.0, 0.0]

[part]
length = 49.0

[machine]
rapid_path = "straight"
home = "beyond"
spindle_limit = 3000
[machine.control]
cycle_words = "cycles-g90"
number_without_point = "increment"
tool_with_motion = "before"
offset_with_motion = "jump"

[[tools]]
station = 1
name = "block"
cuts_with = "M03"
outline = {{ points = [[0.0, 0.0], [30.0, 10.0], [30.0, 90.0], [0.0, 90.0]], cutting = [0, 3] }}

[[setup]]
name = "only end"
program = "face.nc"
seat = {{ on = "stop" }}
zero = {{ way = "touch", face_allowance = 1.0 }}
margin = {{ x = 0.0, z = 0.0, jaws = 0.0 }}

[[allow]]
code = "diameter-left-raw"
reason = "the bar's own surface is wanted"

[[allow]]
code = "face-left-raw"
reason = "the saw cut is left"
"""


ANY_LENGTH = """
[[allow]]
code = "size-wrong"
reason = "the saw cut is left, so the length is what it is"
"""


def write_tiny(
    folder: Path, title: str = "One face", program: str = PROGRAM, more: str = ""
) -> Path:
    """The job in a new folder, with `more` at the end of its file; returns the folder."""
    folder.mkdir(parents=True)
    (folder / "job.toml").write_text(JOB.format(title=title) + more, encoding="utf-8")
    (folder / "face.nc").write_text(program, encoding="utf-8")
    return folder
