"""The moves of each set-up: programs run, and split at the marks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from judge.jobfile import Clamping, JobFile
from judge.motion import Move, Undecided
from judge.nose import Nose
from judge.rows import OpenRow, stated
from judge.run import Run
from judge.shapes import nose_of
from judge.state import State
from judge.trace import moves_of
from judge.words import read_programs


@dataclass(frozen=True)
class Played:
    """The moves of each set-up and how often each word of note was met."""

    moves: tuple[tuple[Move, ...], ...]
    used: Counter[str]
    unfollowed: str = ""
    """Why the last set-up given breaks off; nothing after it is known."""


@dataclass(frozen=True)
class _Ran:
    """One run of a file: its moves, and for each step how many moves come before it."""

    state: State
    moves: list[Move]
    before: list[int]
    unfollowed: str

    def cut(self, mark: Mapping[str, object] | None, default: int) -> int | None:
        """Number of steps before a mark; None where it is never reached."""
        name, value = next(((n, v) for n, v in (mark or {}).items() if n != "reached"), ("", None))
        if value is None:
            return default
        return next((step for text, step in self.state.cuts if text == f"{name} {value}"), None)


def play_programs(job: JobFile, files: dict[str, str]) -> Played:
    """Runs every set-up's program (each file once) and splits it at the marks."""
    family = str(job.control.get("cycle_words"))
    others = [p for name in job.subprograms for p in read_programs(files[name], family)]
    noses = {int(t["station"]): nose for t in job.tools if (nose := nose_of(t, job.unit))}
    runs: dict[tuple[str, int | None], _Ran] = {}
    parts: list[tuple[Move, ...]] = []
    unfollowed = ""
    for clamping in job.setups:
        key = (clamping.program, _searched(job, clamping))
        if key not in runs:
            own = read_programs(files[clamping.program], family)
            state = State(job)
            runs[key] = _ran(job, state, Run(state, own + others, noses), noses, key[1])
        part, unfollowed = _part(runs[key], clamping)
        parts.append(part)
        if unfollowed:
            break
    used: Counter[str] = Counter()
    for ran in runs.values():
        used.update(ran.state.used)
    return Played(tuple(parts), +used, unfollowed)


def _ran(job: JobFile, state: State, run: Run, noses: Mapping[int, Nose], label: int | None
         ) -> _Ran:  # fmt: skip
    """Runs a file as far as it can be followed."""
    unfollowed = ""
    try:
        run.run(label)
    except OpenRow:
        raise
    except Undecided as reason:
        unfollowed = str(reason)
    steps = list(state.steps)
    while unfollowed and steps and (steps[-1].leg.side or steps[-1].leg.corner):
        # Where a contour that breaks off would have gone on decides where the tool is on it.
        steps.pop()
    changes = [k for k in range(1, len(steps)) if steps[k].station != steps[k - 1].station]
    for last in [len(steps), *reversed(changes), 0]:
        try:
            moves, before = moves_of(job, steps[:last], noses)
        except OpenRow:
            raise
        except Undecided as reason:
            unfollowed = str(reason)
            continue
        return _Ran(state, moves, before, unfollowed)
    raise AssertionError("no steps cannot be followed")


def _searched(job: JobFile, clamping: Clamping) -> int | None:
    """The label that a set-up starts at by a search: what stands before it is not run."""
    mark = clamping.start
    if mark is None or mark.get("label") is None:
        return None
    reached = mark.get("reached") or stated(job.control, "reached")
    return int(mark["label"]) if reached == "search" else None


def _part(ran: _Ran, clamping: Clamping) -> tuple[tuple[Move, ...], str]:
    """The moves of one set-up, counted from its part zero, and why they break off before its end,
    empty where they do not."""
    state, followed = ran.state, len(ran.before) - 1
    first, last = ran.cut(clamping.start, 0), ran.cut(clamping.end, len(state.steps))
    unfollowed = ""
    if ran.unfollowed and (clamping.end is None or last is None or last > followed):
        last, unfollowed = followed, ran.unfollowed
    if first is None or last is None:
        raise Undecided(unfollowed or f"a mark of set-up {clamping.name} is never reached")
    first = min(first, last)
    own = clamping.offset
    known = state.job.offset_values | state.values
    strange = {s.offset for s in state.steps[first:last]} - {own}
    if strange and not strange | {own} <= known.keys():
        raise Undecided(f"{', '.join(sorted(strange))} in a set-up of {own}")
    zero = state.job.offset_values.get(own, state.first_values.get(own, 0.0))
    moves = ran.moves[ran.before[first] : ran.before[last]]
    return tuple(move.counted_from(zero) for move in moves), unfollowed
