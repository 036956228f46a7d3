"""Work offsets, tool offsets and machine places: G54 to G59, G54.1, G10 and G53."""

from __future__ import annotations

from judge.motion import FAR, Leg, Undecided
from judge.state import AXES, State
from judge.words import Line

WORK_OFFSETS = ("G54", "G55", "G56", "G57", "G58", "G59")
_GEOMETRY = 10_000
"""G10 P: offsets of geometry count on from here, those of wear from 0."""


def select_offset(state: State, code: str, line: Line) -> None:
    """The work offset that a word selects, from this block on."""
    if code == "G54.1":
        if "P" not in line.values:
            raise Undecided(f"line {line.number}: G54.1 without P")
        code = f"G54.1 P{state.whole(line.values['P'])}"
    state.offset = code
    state.cuts.append((f"offset {code}", len(state.steps)))


def set_data(state: State, line: Line) -> None:
    """G10: the value of a work offset, or a tool offset moved by U and W."""
    state.used["G10"] += 1
    v = line.values
    number = state.whole(v["P"]) if "P" in v else 0
    if "L" not in v:
        _move_tool(state, line, number)
        return
    kind = state.whole(v["L"])
    if kind == 2 and 1 <= number <= len(WORK_OFFSETS):
        name = WORK_OFFSETS[number - 1]
    elif kind == 20 and number > 0:
        name = f"G54.1 P{number}"
    else:
        raise Undecided(f"line {line.number}: G10 L{kind} P{number}")
    if any(state.length(v[letter]) != 0 for letter in ("X", "U") if letter in v):
        raise Undecided(f"line {line.number}: a work offset off the axis")
    if "Z" in v:
        value = state.length(v["Z"])
    elif "W" in v:
        value = state.values.get(name, 0.0) + state.length(v["W"])
        # Where nothing was known of it, the part zero is where it stood before.
        state.first_values.setdefault(name, state.values.get(name, 0.0))
    else:
        return
    if state.steps and name not in state.values:
        raise Undecided(f"line {line.number}: an offset set for the first time after motions")
    state.first_values.setdefault(name, value)
    state.values[name] = value


def _move_tool(state: State, line: Line, number: int) -> None:
    v = line.values
    offset = number % _GEOMETRY
    if offset == 0 or offset == state.station:
        raise Undecided(f"line {line.number}: every tool offset, or that of the tool in use")
    if {"R", "Q"} & v.keys():
        raise Undecided(f"line {line.number}: a nose set by the program")
    z, r = state.shifts.get(offset, (0.0, 0.0))
    for letter in ("X", "Z"):
        if letter in v and (state.length(v[letter]) != 0 or number >= _GEOMETRY):
            raise Undecided(f"line {line.number}: a tool offset of a value that was not known")
    z += state.length(v.get("W", "0"))
    r += state.radial(v.get("U", "0"))
    state.shifts[offset] = (z, r)


def to_machine_place(state: State, line: Line) -> None:
    """G53: the named axes to places of the machine, 0 being home; by rapid unless G01 is on."""
    state.used["G53"] += 1
    v = line.values
    if {"U", "W"} & v.keys() or not AXES & v.keys() or state.side != 0:
        raise Undecided(f"line {line.number}: G53")
    tool = next((t for t in state.job.tools if int(t["station"]) == state.station), {})
    geometry = tool.get("geometry")
    z, r = state.at
    for letter in ("X", "Z"):
        if letter not in v:
            continue
        value = state.length(v[letter])
        if value == 0 and state.job.machine.get("home") == "beyond":
            z, r = (FAR, r) if letter == "Z" else (z, FAR)
            continue
        if geometry is None or state.offset not in state.values or state.station in state.shifts:
            raise Undecided(f"line {line.number}: a machine place that nothing locates")
        if letter == "Z":
            z = value - geometry["z"] * state.job.unit
        else:
            r = state.radial(v["X"]) - geometry["x"] * state.job.unit / 2
    state.go(Leg(state.mode != "G01", (z, r)), line.number)
