"""Execution of a program by the judge: from lines of words to the moves of each set-up."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

from judge.blocks import Ended, labelled, run_block
from judge.jobfile import Clamping, JobFile
from judge.motion import Move, Undecided
from judge.nose import Nose
from judge.rows import stated
from judge.shapes import nose_of
from judge.state import State
from judge.trace import moves_of
from judge.words import Line, Program, read_programs

_ARGUMENTS = {
    "A": 1, "B": 2, "C": 3, "I": 4, "J": 5, "K": 6, "D": 7, "E": 8, "F": 9, "H": 11, "Q": 17,
    "R": 18, "S": 19, "T": 20, "U": 21, "V": 22, "W": 23, "X": 24, "Y": 25, "Z": 26,
}  # fmt: skip
_MOST_BLOCKS = 100_000


@dataclass
class Run:
    """One run of a file."""

    state: State
    programs: list[Program]
    """Those of the file, then those of the other files that hold subprograms."""
    noses: Mapping[int, Nose]
    blocks: int = 0
    calls: int = 0
    marks_from: Program | None = field(default=None)

    def run(self) -> None:
        """Runs the file's first program."""
        main = next((p for p in self.programs if p.lines), None)
        if main is None:
            raise Undecided("a program without blocks")
        self.marks_from = main
        try:
            self.program(main, 0)
        except Ended:
            return

    def program(self, program: Program, index: int) -> int | None:
        """Runs a program from a block on; gives the label that its M99 wants to return to."""
        lines = program.lines
        while index < len(lines):
            line = lines[index]
            index += 1
            self.blocks += 1
            if self.blocks > _MOST_BLOCKS:
                raise Undecided("a loop without end")
            if line.deleted and stated(self.state.job.control, "block_delete") == "on":
                continue
            if line.label is not None and program is self.marks_from:
                self.state.cuts.append((f"label {line.label}", len(self.state.steps)))
            if line.statement:
                index = self.statement(line.statement, lines, index)
                continue
            jump = run_block(self.state, line, lines, index, self.noses)
            if "M98" in line.codes or "G65" in line.codes:
                back = self.call(line)
                jump = jump if back is None else labelled(lines, back)
            if "M99" in line.codes:
                if program is self.marks_from:
                    raise Undecided("a main program that begins again")
                return self.state.whole(line.values["P"]) if "P" in line.values else None
            index = index if jump is None else jump
        if program is not self.marks_from:
            raise Undecided("a subprogram without M99")
        return None

    # --- flow --------------------------------------------------------------------------------

    def statement(self, text: str, lines: tuple[Line, ...], index: int) -> int:
        """Runs an assignment, IF, WHILE, END or GOTO; gives the index to go on at."""
        state = self.state
        assigned = re.fullmatch(r"#(\d+|\[.*?\])=(.+)", text)
        if assigned is not None:
            state.used["#"] += 1
            number = state.whole(assigned[1])
            state.assign(number, state.value(f"[{assigned[2]}]"))
            return index
        if text.startswith("GOTO"):
            state.used["GOTO"] += 1
            return labelled(lines, state.whole(text[4:]))
        if text.startswith("IF["):
            end = _close(text, 2)
            state.used["IF"] += 1
            if not state.value(text[2:end]):
                return index
            rest = text[end:]
            return self.statement(rest.removeprefix("THEN"), lines, index)
        if text.startswith("WHILE["):
            end = _close(text, 5)
            state.used["WHILE"] += 1
            if state.value(text[5:end]):
                return index
            return _matching(lines, index, "END" + text[end + 2 :]) + 1
        if text.startswith("END"):
            return _opening(lines, index - 1, "DO" + text[3:])
        raise Undecided(f"statement {text!r}")

    def call(self, line: Line) -> int | None:
        """M98 or G65; gives the label that the last M99 wants to return to."""
        state, v = self.state, line.values
        if "P" not in v:
            raise Undecided(f"line {line.number}: a call without P")
        number, count = state.whole(v["P"]), 1
        macro = "G65" in line.codes
        state.used["G65" if macro else "M98"] += 1
        if number > 9999 and not macro:
            number, count = number % 10000, number // 10000
        if "L" in v:
            count = state.whole(v["L"])
        found = [p for p in self.programs if p.number == number]
        if len(found) != 1:
            raise Undecided(f"program {number} found {len(found)} times")
        if macro:
            given = {n: state.value(v[a]) for a, n in _ARGUMENTS.items() if a in v}
            plain = {n: value for n, value in given.items() if value is not None}
            state.locals_of.append(plain)
        self.calls += 1
        if self.calls > 8:
            raise Undecided("calls within calls without end")
        first = labelled(found[0].lines, state.whole(v["Q"])) if "Q" in v and not macro else 0
        back = None
        for _ in range(count):
            back = self.program(found[0], first)
        self.calls -= 1
        if macro:
            state.locals_of.pop()
        return back


def _close(text: str, at: int) -> int:
    """Index behind the bracket that closes the one at `at`."""
    depth = 0
    for i in range(at, len(text)):
        depth += (text[i] == "[") - (text[i] == "]")
        if depth == 0:
            return i + 1
    raise Undecided(f"bracket left open: {text!r}")


def _matching(lines: tuple[Line, ...], index: int, word: str) -> int:
    """Index of the END that closes a loop."""
    for i in range(index, len(lines)):
        if lines[i].statement == word:
            return i
    raise Undecided(f"{word} is missing")


def _opening(lines: tuple[Line, ...], index: int, word: str) -> int:
    """Index of the WHILE that an END goes back to."""
    for i in reversed(range(index)):
        if lines[i].statement.startswith("WHILE") and lines[i].statement.endswith(word):
            return i
    raise Undecided(f"{word} is missing")


@dataclass(frozen=True)
class Played:
    """The moves of each set-up and how often each word of note was met."""

    moves: tuple[tuple[Move, ...], ...]
    used: Counter[str]


def play_programs(job: JobFile, files: dict[str, str]) -> Played:
    """Runs every set-up's program (each file once) and splits it at the marks."""
    family = str(job.control.get("cycle_words"))
    others = [p for name in job.subprograms for p in read_programs(files[name], family)]
    noses = {int(t["station"]): nose for t in job.tools if (nose := nose_of(t, job.unit))}
    runs: dict[str, tuple[State, list[Move], list[int]]] = {}
    parts: list[tuple[Move, ...]] = []
    for clamping in job.setups:
        if clamping.program not in runs:
            own = read_programs(files[clamping.program], family)
            state = State(job)
            Run(state, own + others, noses).run()
            runs[clamping.program] = (state, *moves_of(job, state.steps, noses))
        parts.append(_part(*runs[clamping.program], clamping))
    used: Counter[str] = Counter()
    for state, _, _ in runs.values():
        used.update(state.used)
    return Played(tuple(parts), +used)


def _part(state: State, moves: list[Move], before: list[int], clamping: Clamping
          ) -> tuple[Move, ...]:  # fmt: skip
    def cut(mark: Mapping[str, object] | None, default: int) -> int:
        if mark is None:
            return default
        name, value = next(iter(mark.items()))
        for text, step in state.cuts:
            if text == f"{name} {value}":
                return before[step]
        raise Undecided(f"mark {name} {value} is never reached")

    return tuple(moves[cut(clamping.start, 0) : cut(clamping.end, len(moves))])
