"""Small jobs made by hand for the tests of the judge.

A bar of diameter 40 and length 60, raw face 1 mm in front of part zero, jaws that grip 15 mm.
"""

from __future__ import annotations

import json
from typing import Any

from judge.jobfile import read_job_text
from judge.play import play_programs

CONTROL = """cycle_words = "cycles-g90", number_without_point = "unit", \
cycle_number_without_point = "increment", arc_centre = "incremental", \
levels_from = "moved-start", last_level = "left-to-profile", level_end = "45-degrees", \
home_after_cycle = "direct", level_outside_profile = "to-exit", block_delete = "off", \
optional_stop = "off" """

TURNING = (
    "outline = { points = [[0, 0], [6, 0.5], [20, 4], [20, 60], [1.5, 60], [1.5, 9], [0.7, 8]], "
    "cutting = [0, 6] }"
)
SHORT_EDGE = (
    "outline = { points = [[0, 0], [6, 0.5], [20, 4], [20, 60], [0, 60], [0, 2]], "
    "cutting = [0, 5] }"
)
GROOVING = (
    "outline = { points = [[0, 0], [3, 0], [3, 2], [3, 10], [8, 10], [8, 50], [-5, 50], "
    "[-5, 10], [0, 10], [0, 2]], cutting = [0, 1, 9] }"
)
BORING = (
    "outline = { points = [[0, 0], [0.3, -3], [0.5, -3.2], [0.5, -13.5], [90, -13.5], "
    "[90, -1.5], [3.5, -1.2]], cutting = [0, 6] }"
)
DRILL = "drill = { diameter = 16, point_angle = 118, length = 60, holder_diameter = 30 }"


def hand_job(
    program: str,
    *,
    tool: str = TURNING,
    second: str = "",
    rapid: str = "straight",
    size: float = 40.0,
    length: float = 60.0,
    part: float = 58.0,
    grip: float = 15.0,
    second_zero: str = 'way = "finished-on-stop"',
    second_grip: float = 40.0,
    second_seat: str = 'on = "stop"',
    zero: str = 'way = "touch", face_allowance = 1.0',
    more: str = "",
    wear: float = 0.0,
    control: str = CONTROL,
    others: dict[str, str] | None = None,
    top: str = "",
    head: str = "G21\nT0101\nG97 S800 M03\n",
) -> dict[str, str]:
    """A job of one tool at station 1; of two set-ups where `second` is given.

    `others` are files that hold subprograms, `top` goes to the top of the job file.
    """
    files = {"one.nc": head + program + "\nM30\n"}
    jaws = f"jaws = {{ profile = [[0, 0], [{grip}, 0], [{grip}, 12], [0, 12]] }}\n"
    setups = (
        f'[[setup]]\nname = "one"\nprogram = "one.nc"\nzero = {{ {zero} }}\n'
        f"grip_diameter = {size}\n{jaws}"
    )
    if second:
        files["two.nc"] = head + second + "\nM30\n"
        setups += (
            f'[[setup]]\nname = "two"\nprogram = "two.nc"\nzero = {{ {second_zero} }}\n'
            f"seat = {{ {second_seat} }}\ngrip_diameter = {second_grip}\n{jaws}"
        )
    rates = "rapid_rates = { x = 5000.0, z = 10000.0 }\n" if rapid == "bent" else ""
    files |= others or {}
    calls = f"subprograms = {json.dumps(list(others))}\n" if others else ""
    files["job.toml"] = (
        f'units = "mm"\n{top}{calls}[blank]\nsize = {size}\nlength = {length}\n{more}\n'
        f"[part]\nlength = {part}\n"
        f'[machine]\nhome = "beyond"\nrapid_path = "{rapid}"\n{rates}control = {{ {control} }}\n'
        f"[[tools]]\nstation = 1\nwear = {wear}\n{tool}\n{setups}"
    )
    return files


def ends_of(program: str, **given: Any) -> list[tuple[str, float, float]]:
    """(`R` or `F`, z, r) where each move of the first set-up ends, to a thousandth."""
    files = hand_job(program, **given)
    played = play_programs(read_job_text(files["job.toml"]), files)
    assert not played.unfollowed, played.unfollowed
    return [
        ("R" if m.rapid else "F", round(m.end[0], 3), round(m.end[1], 3)) for m in played.moves[0]
    ]  # fmt: skip
