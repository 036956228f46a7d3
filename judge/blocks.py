"""Execution of one block: every word in the order in which it counts."""

from __future__ import annotations

from collections.abc import Mapping

from judge.calls import (
    CALLED,
    DRILLING,
    SINGLE,
    WITH_PROFILE,
    drilled,
    modal_pass,
    pecked,
    profiled,
    threaded,
)
from judge.motion import FAR, Leg, Thread, Undecided
from judge.nose import Nose
from judge.offsets import WORK_OFFSETS, select_offset, set_data, to_machine_place
from judge.rows import stated
from judge.state import AXES, State
from judge.words import Line

_MOTIONS = ("G00", "G01", "G02", "G03", "G32", "G34")
_SIDES = {"G40": 0, "G41": -1, "G42": 1}
_SILENT = {
    "G04", "G96", "G97", "G98", "G99", "M08", "M09", "G18",
}  # fmt: skip
_KNOWN = {
    *_MOTIONS, *CALLED, *SINGLE, *DRILLING, *_SILENT, *_SIDES, *WORK_OFFSETS, "G54.1", "G20",
    "G21", "ABS", "INC", "G10", "G28", "G30", "G50", "G52", "G53", "G65", "G66", "G67", "G80",
    "INITIAL", "RLEVEL", "M00", "M01", "M02", "M03", "M04", "M05", "M30", "M98", "M99",
}  # fmt: skip
_NO_MOTION = frozenset({"G04", "G10", "G50", "G52", "G53", "G65", "G66", "G67"})
_STILL = ("nothing", "parts-catcher")
"""What the job may say of an M word that leaves metal and obstacles as they are."""


class Ended(Exception):
    """M02 or M30."""


def labelled(lines: tuple[Line, ...], label: int) -> int:
    """Index of the one line with this label."""
    found = [i for i, line in enumerate(lines) if line.label == label]
    if len(found) != 1:
        raise Undecided(f"label N{label} found {len(found)} times")
    return found[0]


def run_block(state: State, line: Line, lines: tuple[Line, ...], after: int,
              noses: Mapping[int, Nose]) -> int | None:  # fmt: skip
    """Runs one block; gives the index to go on at where that is not the next one.

    `after` is the index of the next block. Raises `Ended` at the end of the program, `Undecided`.
    """
    codes = line.codes
    empty = [a for a, text in line.values.items() if "#" in text and state.value(text) is None]
    if empty:
        left = {a: t for a, t in line.values.items() if a not in empty}
        line = Line(line.number, line.label, line.deleted, codes, left)
    v = line.values
    for code in codes:
        if code not in _KNOWN:
            _other(state, code, line)
        if code in ("G20", "G21"):
            state.inch = code == "G20"
        elif code in ("ABS", "INC"):
            state.incremental = code == "INC"
        elif code in WORK_OFFSETS or code == "G54.1":
            select_offset(state, code, line)
        elif code in _SIDES:
            state.side = _SIDES[code]
            state.used[code] += code != "G40"
        elif code in ("INITIAL", "RLEVEL"):
            state.returns = "initial" if code == "INITIAL" else "r-level"
    if "G50" in codes and AXES & v.keys():
        _preset(state, line)
    if "G52" in codes:
        state.used["G52"] += 1
        z, r = state.local
        state.local = (
            state.length(v["Z"]) if "Z" in v else z, state.radial(v["X"]) if "X" in v else r,
        )  # fmt: skip
    if "G10" in codes:
        set_data(state, line)
    if "T" in v and not line.arguments:
        _turret(state, v["T"], line)
    for code in codes:
        if code in ("M03", "M04"):
            state.spindle = 1 if code == "M03" else -1
    jump = None
    if "G28" in codes or "G30" in codes:
        _home(state, line)
    elif "G53" in codes:
        state.mode = next((c for c in codes if c in _MOTIONS), state.mode)
        to_machine_place(state, line)
    elif not _NO_MOTION & set(codes):
        jump = _motion(state, line, lines, after, noses)
    if "M05" in codes:
        state.spindle = 0
    if "M00" in codes or ("M01" in codes and stated(state.job.control, "optional_stop") == "on"):
        state.stops += 1
        state.cuts.append((f"stop {state.stops}", len(state.steps)))
    if "M02" in codes or "M30" in codes:
        raise Ended
    return jump


def _other(state: State, code: str, line: Line) -> None:
    """A word of one machine: an M word moves nothing unless the job says so."""
    does = state.job.m_words.get(int(code[1:])) if code[1:].isdigit() else None
    if code[0] != "M" or not code[1:].isdigit() or does not in (None, *_STILL):
        raise Undecided(f"line {line.number}: {code}")
    state.used["M word"] += 1


def _preset(state: State, line: Line) -> None:
    """G50 with axes: the place where the tool stands has these names from here on."""
    state.used["G50 setting"] += 1
    v = line.values
    z, r = state.at
    if FAR in (z, r):
        if not ({"X", "U"} & v.keys() and {"Z", "W"} & v.keys()) or {"U", "W"} & v.keys():
            raise Undecided(f"line {line.number}: half a place named at home")
        state.preset = (0.0, 0.0)
        place = state.target(line, state.at)
        state.go(Leg(True, place, placed=True), line.number)
        return
    zero_z, zero_r = state.preset
    if "Z" in v:
        zero_z += z - state.zero[0] - state.length(v["Z"])
    if "X" in v:
        zero_r += r - state.zero[1] - state.radial(v["X"])
    if "W" in v:
        zero_z -= state.length(v["W"])
    if "U" in v:
        zero_r -= state.radial(v["U"])
    state.preset = (zero_z, zero_r)


def _turret(state: State, word: str, line: Line) -> None:
    """A T word: only at home, and with the offset of its own station."""
    half = {2: 1, 4: 2, 6: 2}.get(len(word))
    if half is None or not word.isdigit() or int(word[:half]) != int(word[half : 2 * half]):
        raise Undecided(f"line {line.number}: T{word}")
    station = int(word[:half])
    if station != state.station and state.at != (FAR, FAR):
        raise Undecided(f"line {line.number}: tool change away from home")
    state.station = station


def _home(state: State, line: Line) -> None:
    """G28 or G30 by way of a middle point, each named axis to home."""
    names = line.values.keys()
    if state.side != 0:
        raise Undecided(f"line {line.number}: home under compensation")
    middle = state.target(line, state.at)
    if middle != state.at:
        state.go(Leg(True, middle), line.number)
    z = FAR if names & {"Z", "W"} else state.at[0]
    r = FAR if names & {"X", "U"} else state.at[1]
    place = "second_home" if "G30" in line.codes else "home"
    if state.job.machine.get(place, "unknown") != "beyond":
        raise Undecided(f"{place} is unknown")
    state.go(Leg(True, (z, r)), line.number)


def _motion(state: State, line: Line, lines: tuple[Line, ...], after: int,
            noses: Mapping[int, Nose]) -> int | None:  # fmt: skip
    """The motion of a block, if any."""
    named = bool(line.values.keys() & AXES)
    words = (*_MOTIONS, *CALLED, *SINGLE, *DRILLING, "G80")
    word = next((c for c in line.codes if c in words), None)
    if word is not None and word not in _MOTIONS and state.side != 0:
        raise Undecided(f"line {line.number}: {word} under compensation")
    if word in CALLED:
        state.mode = ""
        return _cycle(state, word, line, lines, after, noses)
    if word is not None:
        if word in (*SINGLE, *DRILLING, "G32", "G34"):
            state.used[word] += 1
            state.modal = {}
        state.mode = "" if word == "G80" else word
    if not named:
        return None
    if state.mode in (*SINGLE, *DRILLING):
        legs = (modal_pass if state.mode in SINGLE else drilled)(state, line)
        for leg in legs:
            state.go(leg, line.number)
        return None
    if state.mode in ("G32", "G34"):
        end = state.target(line, state.at)
        state.go(Leg(False, end, thread=Thread()), line.number)
        state.threaded = True
        return None
    leg = state.leg(line, state.mode or "G00", state.at, state.side)
    if leg.corner is not None:
        state.used["," + leg.corner[0]] += 1
    state.go(leg, line.number)
    return None


def _cycle(state: State, word: str, line: Line, lines: tuple[Line, ...], after: int,
           noses: Mapping[int, Nose]) -> int | None:  # fmt: skip
    """G70 to G76."""
    jump = None
    if word in ("G74", "G75"):
        legs = pecked(state, word, line)
    elif word == "G76":
        legs = threaded(state, line)
    else:
        blocks: list[Line] = []
        if "P" in line.values and word in WITH_PROFILE:
            first = labelled(lines, state.whole(line.values["P"]))
            last = labelled(lines, state.whole(line.values["Q"]))
            blocks = list(lines[first : last + 1])
            if word != "G70" and first == after:
                jump = last + 1
        legs = profiled(state, word, line, blocks, noses)
    for leg in legs:
        state.go(leg, line.number)
    return jump
