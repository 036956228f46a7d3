"""`python -m judge.summary LOG...`: what logs of the judge hold, as a Markdown table.

One line for each source and each way of asking; rows of different ones are never added up.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from judge.__main__ import outcome_of
from judge.chance import at_most
from judge.log import Head, Row, Stretch, read_log
from judge.tally import Tally
from judge.windows import Tally as WindowTally
from judge.windows import outcome_of as window_outcome_of

ABOUT = """Writes what logs of `python -m judge` and `python -m judge.windows` hold as Markdown. A
seed that stands in them twice under one source counts once, by its last row."""
NOTE = """Bounds: greatest share that the count still goes together with, one-sided at 95 %, after
Clopper and Pearson (1934); for none seen close to 3 / n (Hanley and Lippman-Hand, 1983). A commit
with a star: the files differed from it; the source is the hash of the text of proof and judge."""


@dataclass
class Group:
    """Rows that may be added up."""

    head: Head
    rows: dict[int, Row] = field(default_factory=dict)
    commits: list[str] = field(default_factory=list)


def groups_of(stretches: Iterable[Stretch]) -> list[Group]:
    """Rows by source and way of asking; those that no head stands over are left out."""
    found: list[Group] = []
    for stretch in stretches:
        head = stretch.head
        if head is None or not stretch.rows:
            continue
        group = next((each for each in found if each.head.same(head)), None)
        if group is None:
            group = Group(head)
            found.append(group)
        group.rows |= {int(row["seed"]): row for row in stretch.rows}
        commit = (head.commit[:12] or "none") + ("*" if head.clean is False else "")
        if commit not in group.commits:
            group.commits.append(commit)
    return found


def seeds_text(seeds: Iterable[int]) -> str:
    """Seeds as ranges: `1-300, 900001-900060`."""
    runs: list[list[int]] = []
    for seed in sorted(seeds):
        if runs and seed == runs[-1][1] + 1:
            runs[-1][1] = seed
        else:
            runs.append([seed, seed])
    return ", ".join(f"{a}-{b}" if a != b else str(a) for a, b in runs)


def _bound(seen: int, trials: int) -> str:
    return f"{seen} of {trials}, at most {100 * at_most(seen, trials):.3g} %"


def _asked_text(asked: dict[str, Any]) -> str:
    words = [f"{asked['pixel']:g} mm"]
    words += ["full"] if asked.get("full") else []
    words += ["without the proof"] if asked.get("alone") else []
    words += [f"only {', '.join(asked['only'])}"] if asked.get("only") else []
    words += [f"{asked['rays']} rays"] if "rays" in asked else []
    return ", ".join(words)


def _cells(group: Group) -> list[str]:
    """What every table says of a group first."""
    return [", ".join(group.commits), group.head.source, _asked_text(group.head.asked),
            seeds_text(group.rows), str(len(group.rows))]  # fmt: skip


def _table(head: list[str], rows: list[list[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def proofs_table(groups: list[Group]) -> str:
    """The judge against the proof."""
    kinds = ("agree", "needless contact", "doubtful", "undecided", "unproven", "error")
    rows = []
    for group in groups:
        tally = Tally()
        for row in group.rows.values():
            tally.add(outcome_of(row))
        bounds = [_bound(seen, trials) for _, seen, trials in tally.false_clears()]
        rows.append([*_cells(group), *bounds, *(str(tally.kinds[kind]) for kind in kinds)])
    return _table(
        ["commit", "source", "pixel", "seeds", "jobs", "false clear, of jobs that strike",
         "false clear, of jobs proved clear", *kinds],
        rows,
    )  # fmt: skip


def windows_table(groups: list[Group]) -> str:
    """Stock windows against replays."""
    kinds = ("agree", "agree by finer pixels", "narrower on purpose", "narrower", "undecided")
    rows = []
    for group in groups:
        tally = WindowTally()
        for row in group.rows.values():
            tally.add(window_outcome_of(row))
        count = sum(tally.rays.values()) - tally.rays["undecided"]
        rows.append([*_cells(group), _bound(tally.rays["wider"], count),
                     *(str(tally.rays[kind]) for kind in kinds)])  # fmt: skip
    return _table(
        ["commit", "source", "pixel", "seeds", "jobs", "wider, of rays decided",
         *(f"rays: {kind}" for kind in kinds)],
        rows,
    )  # fmt: skip


def summary(stretches: Iterable[Stretch]) -> str:
    """Both tables, each where there is something for it."""
    groups = groups_of(stretches)
    windows = [group for group in groups if group.head.asked.get("windows")]
    proofs = [group for group in groups if not group.head.asked.get("windows")]
    parts = ["# What the judge has found"]
    if proofs:
        parts += ["## Against the proof", proofs_table(proofs)]
    if windows:
        parts += ["## Against stock windows", windows_table(windows)]
    return "\n\n".join([*parts, NOTE if groups else "Nothing was run."]) + "\n"


def main(words: list[str] | None = None) -> int:
    """Prints the summary of logs; 0, or 2 where one is not there."""
    parser = argparse.ArgumentParser(prog="judge.summary", description=ABOUT)
    parser.add_argument("logs", type=Path, nargs="+", metavar="LOG", help="file given to --log")
    stretches: list[Stretch] = []
    for path in parser.parse_args(words).logs:
        if not path.is_file():
            print(f"judge.summary: no file {path}", file=sys.stderr)
            return 2
        held, broken = read_log(path)
        stretches += held
        headless = sum(len(each.rows) for each in held if each.head is None)
        if broken + headless:
            print(f"{path}: left out are {broken} lines broken off and {headless} rows that no "
                  "head stands over", file=sys.stderr)  # fmt: skip
    print(summary(stretches), end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
