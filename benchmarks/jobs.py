"""Jobs of any number of motions, made by rule: a roughing staircase, a fine finishing contour, and
a part turned on both ends that is roughed and finished at each."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from standclear import JobFiles
from standclear.job.models import Job

BAR_MM = 60.0
LENGTH_MM = 120.0
BACK_MM = 40.0
"""Turned at the second end, of the 52 that the first leaves as they were."""

_JOB = {
    "units": "mm",
    "blank": {"size": BAR_MM, "length": LENGTH_MM + 42.0},
    "part": {"length": LENGTH_MM + 40.0},
    "machine": {
        "rapid_path": "straight",
        "home": "beyond",
        "control": {
            "cycle_words": "cycles-g90",
            "number_without_point": "increment",
            "cycle_number_without_point": "increment",
            "arc_centre": "incremental",
            "tool_with_motion": "before",
            "offset_with_motion": "jump",
            "block_delete": "off",
            "optional_stop": "off",
        },
    },
    "tools": [
        {"station": 1, "holder": "PCLNR2525M12", "insert": "CNMG120408"},
        {"station": 2, "holder": "SVJBR2020K16", "insert": "VBMT160404"},
    ],
    "jaws": {"profile": [[0, 0], [30, 0], [30, 40], [-20, 40], [-20, -5], [0, -5]]},
}
_SETUPS = (
    {"name": "front", "zero": {"way": "touch", "face_allowance": 1.0}},
    {"name": "back", "zero": {"way": "nominal", "face_allowance": 1.0}},
)
_HEAD = ["%", "O0001", "G21 G40 G99", "G28 U0. W0."]
_ROUGH = ["T0101", "G54", "G97 S900 M03", "G00 X66. Z5."]
_FINISH = ["G00 X66.", "G28 U0. W0.", "T0202", "G97 S1200 M03", "G00 X66. Z5."]
_TAIL = ["G28 U0. W0.", "M30", "%"]
ALLOWANCE_MM = 0.3
ROUGHING_LEVELS = 12


def staircase(motions: int) -> JobFiles:
    """Roughing by hand-written levels: infeed, cut, withdrawal and return for each, all the way
    from the bar to steps that lie on a cone."""
    levels = max(2, motions // 4)
    lines: list[str] = []
    for k, radius in enumerate(np.linspace(BAR_MM / 2 - 0.01, 12.0, levels)):
        depth = LENGTH_MM * (0.3 + 0.6 * (1 - k / levels)) - 0.05 * (k % 7)
        lines += _level(radius, depth)
    return _files([*_HEAD, *_ROUGH, *lines])


def contour(motions: int) -> JobFiles:
    """A few roughing levels, then one finishing pass in short chords along a wavy profile that
    rises towards the chuck."""
    return _files(_turned(LENGTH_MM * 0.9, ROUGHING_LEVELS, motions))


def two_sided(motions: int) -> JobFiles:
    """At each end a roughing staircase and a finishing contour, of half the motions together: the
    second end is seen by what the first has left."""
    quarter = motions // 4
    return _files(
        _turned(LENGTH_MM * 0.9, max(2, quarter // 4), quarter),
        _turned(BACK_MM, max(2, quarter // 4), quarter),
    )


def _turned(length: float, levels: int, chords: int) -> list[str]:
    """Roughing levels over a wavy profile so long, and the finishing pass along it."""
    z = np.linspace(0.0, -length, chords)
    radius = _profile(z)
    lines: list[str] = []
    for level in np.linspace(BAR_MM / 2 - 1.0, radius[0] + ALLOWANCE_MM, levels):
        above = z[radius + ALLOWANCE_MM > level]
        depth = (-float(above[0]) if len(above) else length) - ALLOWANCE_MM
        if depth > 1.0:
            lines += _level(level, depth)
    lines += [*_FINISH, f"G00 X{2 * radius[0]:.4f}", "G01 Z0. F0.12"]
    lines += [f"G01 X{2 * r:.4f} Z{at:.4f}" for at, r in zip(z, radius, strict=True)]
    return [*_HEAD, *_ROUGH, *lines, "G01 X61.", "G00 X66."]


def _profile(z: NDArray[np.float64]) -> NDArray[np.float64]:
    share = -z / LENGTH_MM
    radius: NDArray[np.float64] = 20.0 + 8.0 * share + 0.4 * np.sin(40.0 * share) * share
    return radius


def _level(radius: float, depth: float) -> list[str]:
    return [
        f"G00 X{2 * radius:.4f}",
        f"G01 Z-{depth:.4f} F0.25",
        f"G00 U0.8 Z-{depth - 0.4:.4f}",
        "Z5.",
    ]


def _files(*programs: list[str]) -> JobFiles:
    """A job of one set-up a program, the part turned round between."""
    names = [f"{setup['name']}.nc" for setup in _SETUPS[: len(programs)]]
    texts = {
        name: "\n".join([*lines, *_TAIL, ""]).encode()
        for name, lines in zip(names, programs, strict=True)
    }
    setups = [{**setup, "program": name} for setup, name in zip(_SETUPS, names, strict=False)]
    return JobFiles(
        Job.model_validate({**_JOB, "setup": setups}),
        Path("."),
        texts,
        {name: hashlib.sha256(data).hexdigest() for name, data in texts.items()},
        (),
        Path("job.toml"),
    )
