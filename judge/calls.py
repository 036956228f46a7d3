"""Calls of cycles: what their words say, and the legs they stand for."""

from __future__ import annotations

from collections.abc import Mapping

from judge.cycles import Rough, finish, pattern, rough, single_pass
from judge.motion import Leg, Undecided
from judge.nose import Nose
from judge.pecks import drilling, peck
from judge.pockets import rough_pockets
from judge.profile import profile
from judge.rows import stated
from judge.state import AXES, State
from judge.threads import Threading, thread_pass, threading
from judge.words import Line

SINGLE = ("G90", "G92", "G94")
DRILLING = ("G83", "G84", "G85")
WITH_PROFILE = ("G70", "G71", "G72", "G73")
CALLED = (*WITH_PROFILE, "G74", "G75", "G76")
_CYCLE = "cycle_number_without_point"


def _kept(state: State, name: str, row: str) -> float:
    """What the program set last, else the job's value in mm."""
    if name in state.kept:
        return state.kept[name]
    return float(stated(state.job.control, row)) * state.job.unit


def modal_pass(state: State, line: Line) -> list[Leg]:
    """One pass of G90, G92 or G94; X, Z and R stay for the blocks after."""
    s, v = state.at, line.values
    if {"X", "U"} & v.keys():
        state.modal["r"] = state.target(line, s)[1]
    if {"Z", "W"} & v.keys():
        state.modal["z"] = state.target(line, s)[0]
    if "R" in v:
        state.modal["taper"] = state.length(v["R"])
    if "r" not in state.modal or "z" not in state.modal:
        raise Undecided(f"line {line.number}: single-pass cycle without X or Z")
    end, taper = (state.modal["z"], state.modal["r"]), state.modal.get("taper", 0.0)
    if state.mode == "G92":
        return thread_pass(s, end, taper)
    state.used["G90 away"] += state.mode == "G90" and end[0] > s[0]
    return single_pass(s, end, taper, state.mode == "G94")


def drilled(state: State, line: Line) -> list[Leg]:
    """One hole of G83, G84 or G85."""
    s, v = state.at, line.values
    if {"Z", "W"} & v.keys():
        state.modal["z"] = state.target(line, s)[0]
    if "R" in v:
        state.modal["level"] = state.length(v["R"])
    if "Q" in v:
        state.modal["peck"] = state.length(v["Q"], _CYCLE)
    if "z" not in state.modal:
        raise Undecided(f"line {line.number}: a drilling cycle without Z")
    back = 0.0
    if state.modal.get("peck", 0.0) > 0:
        back = _kept(state, "peck_back", "pecking_return")
    return drilling(
        state.mode, s, state.target(line, s)[1], state.modal["z"], state.modal.get("level"),
        state.modal.get("peck", 0.0), state.returns or None, state.job.control, back,
        state.zero[0],
    )  # fmt: skip


def pecked(state: State, word: str, line: Line) -> list[Leg]:
    """G74 or G75, either block of it."""
    s, v = state.at, line.values
    if not AXES & v.keys():
        state.kept["peck_back"] = state.length(v["R"])
        return []
    state.used[word] += 1
    across = word == "G75"
    one_block = bool({"I", "K", "D"} & v.keys())
    if one_block and {"P", "Q", "R"} & v.keys():
        raise Undecided(f"line {line.number}: a pecking cycle in two ways of writing")
    p, q = state.length(v.get("P", "0"), _CYCLE), state.length(v.get("Q", "0"), _CYCLE)
    aside = state.length(v.get("R", "0"))
    if one_block:
        state.used[word + " one block"] += 1
        p, q = state.length(v.get("I", "0")), state.length(v.get("K", "0"))
        aside = state.length(v.get("D", "0"), _CYCLE)
    if p > 0 and stated(state.job.control, "pecking_x") == "diameter":
        p /= 2
    return peck(
        s, state.target(line, s), p if across else q, q if across else p,
        _kept(state, "peck_back", "pecking_return"), aside, across,
    )  # fmt: skip


def threaded(state: State, line: Line) -> list[Leg]:
    """G76, either block of it."""
    v, kept = line.values, state.kept
    if not AXES & v.keys():
        if "P" in v:
            digits = v["P"].zfill(6)
            if not digits.isdigit() or len(digits) != 6:
                raise Undecided(f"line {line.number}: P of a threading cycle")
            kept["finish passes"], kept["angle"] = float(digits[:2]), float(digits[4:])
        if "Q" in v:
            kept["least"] = state.length(v["Q"], _CYCLE)
        if "R" in v:
            kept["left"] = state.length(v["R"])
        return []
    state.used["G76"] += 1
    control = state.job.control

    def plain(name: str, row: str) -> float:
        return kept[name] if name in kept else float(stated(control, row))

    by = Threading(
        max(1, round(plain("finish passes", "threading_finish_passes"))),
        plain("angle", "threading_angle"),
        _kept(state, "least", "threading_least_depth"),
        _kept(state, "left", "threading_finish_allowance"),
    )
    if "P" not in v or "Q" not in v:
        raise Undecided(f"line {line.number}: a thread without height or first depth")
    return threading(
        state.at, state.target(line, state.at), state.length(v.get("R", "0")),
        state.length(v["P"], _CYCLE), state.length(v["Q"], _CYCLE), by,
    )  # fmt: skip


def profiled(state: State, word: str, line: Line, lines: list[Line],
             noses: Mapping[int, Nose]) -> list[Leg]:  # fmt: skip
    """G70 to G73 along the blocks of their profile, or the block that sets their depths."""
    v, kept, control = line.values, state.kept, state.job.control
    if "P" not in v:
        if word == "G73":
            kept["k"], kept["i"] = state.length(v.get("W", "0")), state.length(v.get("U", "0"))
            kept["passes"] = float(v["R"])
            return []
        kept["depth"] = state.length(v["W" if word == "G72" else "U"])
        if "R" in v:
            kept["withdrawal"] = state.length(v["R"])
        return []
    state.used[word] += 1
    compensate = word == "G70"
    if word != "G70" and any(code in ("G41", "G42") for b in lines for code in b.codes):
        # No call is followed with compensation already active.
        compensate = stated(control, "compensation_in_cycles") == "applied"
    blocks = profile(state, lines, noses.get(state.station), compensate)
    if word == "G70":
        return finish(state.at, blocks, control)
    # u stays diametral whatever X words are; x_words says how it is written
    moved = (state.length(v.get("W", "0")), state.radial(v.get("U", "0")))
    if word == "G73":
        if "D" in v:
            state.used["G73 one block"] += 1
            relief = (state.length(v.get("K", "0")), state.length(v.get("I", "0")))
            return pattern(state.at, blocks, moved, relief, state.whole(v["D"]), control)
        if "passes" not in kept or {"I", "K"} & v.keys():
            raise Undecided("a pattern whose passes are never set")
        relief = (kept["k"], kept["i"])
        return pattern(state.at, blocks, moved, relief, round(kept["passes"]), control)
    if "D" in v:
        kept["depth"] = state.length(v["D"], _CYCLE)
        state.used[word + " one block"] += 1
    depth = _kept(state, "depth", "roughing_depth")
    withdrawal = _kept(state, "withdrawal", "roughing_withdrawal")
    nose = noses.get(state.station)
    slack = nose.radius if compensate and nose is not None else 0.0
    call = Rough(state.at, blocks, moved, depth, withdrawal, word == "G72", control, slack)
    state.used[word + " away"] += word == "G71" and call.along > 0
    if blocks[0].letters == {"X", "Z"}:
        state.used[word + " pockets"] += 1
        return rough_pockets(call)
    return rough(call)
