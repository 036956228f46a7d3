"""Execution of a program by the judge: from lines of words to the steps of the tool."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from judge.blocks import Ended, labelled, run_block
from judge.macros import handed_on
from judge.motion import FAR, Undecided
from judge.nose import Nose
from judge.rows import stated
from judge.state import AXES, State
from judge.words import Line, Program

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
    after_motions: Line | None = None
    """The G66 in force."""

    def run(self, label: int | None = None) -> None:
        """Runs the file's first program; with a label only what a search for it leaves to run."""
        main = next((p for p in self.programs if p.lines), None)
        if main is None:
            raise Undecided("a program without blocks")
        self.marks_from = main
        try:
            self.program(main, 0 if label is None else labelled(main.lines, label))
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
            self.modal_call(line)
            if "M99" in line.codes:
                if program is self.marks_from:
                    self.again(line)
                    return None
                return self.state.whole(line.values["P"]) if "P" in line.values else None
            index = index if jump is None else jump
        if program is not self.marks_from:
            raise Undecided("a subprogram without M99")
        return None

    def again(self, line: Line) -> None:
        """M99 in the main program: the way from here to the next start is the one from home."""
        state = self.state
        if "P" in line.values or state.at != (FAR, FAR) or state.side or state.incremental:
            raise Undecided("a main program that begins again from within the work")
        state.used["M99"] += 1

    def modal_call(self, line: Line) -> None:
        """What G66 asks for after each block that moves the tool."""
        if "G66" in line.codes:
            if self.after_motions is not None or "L" in line.values:
                raise Undecided("a G66 inside another, or with a count")
            self.after_motions = line
            return
        if "G67" in line.codes:
            self.after_motions = None
        call = self.after_motions
        if call is None or not AXES & line.values.keys() or line.arguments:
            return
        if self.state.mode not in ("", "G00", "G01", "G02", "G03") or any(
            code not in ("G00", "G01", "G02", "G03") for code in line.codes if code[0] == "G"
        ):
            raise Undecided(f"line {line.number}: a block under G66 that is no plain motion")
        # The macro's own motions do not call it.
        self.after_motions = None
        self.call(call)
        self.after_motions = call

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
        macro = bool({"G65", "G66"} & set(line.codes))
        state.used[next(c for c in ("G65", "G66", "M98") if c in line.codes)] += 1
        if number > 9999 and not macro:
            number, count = number % 10000, number // 10000
        if "L" in v:
            count = state.whole(v["L"])
        found = [p for p in self.programs if p.number == number]
        if len(found) != 1:
            raise Undecided(f"program {number} found {len(found)} times")
        if macro:
            state.locals_of.append(handed_on(state, line))
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
