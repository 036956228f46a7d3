"""Makes a job on which judge and proof differ as small as it goes, for whoever looks into it.

Set-ups, tools, entries of the job file and blocks of the programs are taken away, and numbers made
simpler, as long as the two still differ in the same way. Blocks go by the delta debugging of Zeller
and Hildebrandt (IEEE Transactions on Software Engineering 28, 2002), the rest one by one.
"""

from __future__ import annotations

import json
import re
import time
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

from judge.compare import Outcome, compare_files, write_job
from judge.files import job_text

DISAGREEMENTS = ("false clear", "needless contact", "error")
MOST_TRIES = 500
"""Jobs judged and proved for one disagreement."""
MOST_SECONDS = 120.0
"""Spent on one disagreement: a run that is to stop after some minutes goes on meanwhile."""
JOB = "job.toml"

Files = dict[str, str]
Same = Callable[[Files], bool]
Place = tuple[str | int, ...]
"""Keys and numbers from the top of the job file down to an entry."""
T = TypeVar("T")


def nature(outcome: Outcome) -> tuple[str | bool, ...]:
    """In which way the two differ: with the kind, what strikes, what is found, or what is raised.

    Where and how deep is left out: that changes as a job gets smaller.
    """
    if outcome.kind == "false clear":
        return outcome.kind, re.sub(r".* line \d+ ", "", outcome.judge_note)
    if outcome.kind == "needless contact":
        return outcome.kind, outcome.proof_note.split(" ")[0]
    if outcome.kind == "error":
        raised = outcome.judge_note if outcome.judged == "error" else outcome.proof_note
        return outcome.kind, outcome.judged == "error", raised.split(":")[0]
    return (outcome.kind,)


def shrink(files: Files, same: Same, most: int = MOST_TRIES) -> Files:
    """The smallest job found for which `same` still holds, after so many tries at most."""
    left = [most]

    def counted(smaller: Files) -> bool:
        left[0] -= 1
        return left[0] >= 0 and same(smaller)

    while left[0] > 0:
        before = files
        files = _fewer_entries(files, counted, coarse=True)
        files = _fewer_blocks(files, counted)
        files = _fewer_entries(files, counted, coarse=False)
        files = _simpler_numbers(files, counted)
        if files == before:
            break
    return files


def fewest(items: list[T], holds: Callable[[list[T]], bool]) -> list[T]:
    """As few of the items as still hold: of what is left, none can be taken away by itself."""
    parts = 2
    while items:
        size = -(-len(items) // parts)
        for begin in range(0, len(items), size):
            rest = items[:begin] + items[begin + size :]
            if holds(rest):
                items, parts = rest, max(parts - 1, 2)
                break
        else:
            if size == 1:
                break
            parts = min(2 * parts, len(items))
    return items


def _fewer_blocks(files: Files, same: Same) -> Files:
    lines = [
        (name, line)
        for name, text in files.items()
        if name != JOB
        for line in text.splitlines(keepends=True)
    ]

    def joined(kept: list[tuple[str, str]]) -> Files:
        return {
            name: text if name == JOB else "".join(line for owner, line in kept if owner == name)
            for name, text in files.items()
        }

    return joined(fewest(lines, lambda kept: same(joined(kept))))


def _fewer_entries(files: Files, same: Same, coarse: bool) -> Files:
    """Without what the job file can do without: `coarse` whole set-ups and tools, else all of it,
    from the last entry to the first, as a later one may hang on one before."""
    for place in reversed(list(_entries(tomllib.loads(files[JOB])))):
        if coarse != (place[0] in ("setup", "tools") and len(place) == 2):
            continue
        table = tomllib.loads(files[JOB])
        holder = _at(table, place[:-1])
        if holder is None:
            continue
        del holder[place[-1]]
        smaller = _with(files, table)
        if same(smaller):
            files = smaller
    return files


def _simpler_numbers(files: Files, same: Same) -> Files:
    """Whole numbers, or else tenths, where they do as well."""
    for place in _numbers(tomllib.loads(files[JOB])):
        for digits in (0, 1):
            table = tomllib.loads(files[JOB])
            holder = _at(table, place[:-1])
            simpler = round(float(holder[place[-1]]), digits)
            if simpler == holder[place[-1]]:
                break
            holder[place[-1]] = simpler
            if same(smaller := _with(files, table)):
                files = smaller
                break
    for name in [name for name in files if name != JOB]:
        for index in range(len(_words(files[name]))):
            for digits in (0, 1):
                word = _words(files[name])[index]
                simpler_word = _rounded(word[0], digits)
                if simpler_word == word[0]:
                    break
                text = files[name]
                text = text[: word.start()] + simpler_word + text[word.end() :]
                if same(smaller := {**files, name: text}):
                    files = smaller
                    break
    return files


def _words(text: str) -> list[re.Match[str]]:
    """Numbers with a point, in the order in which they stand."""
    return list(re.finditer(r"(?<=[A-Z])-?\d*\.\d*", text))


def _rounded(number: str, digits: int) -> str:
    """The number to so many digits behind its point, which stays."""
    text = f"{round(float(number), digits) + 0.0:.{digits}f}"
    return text if digits else text + "."


def _entries(table: Any, place: Place = ()) -> Iterator[Place]:
    """Every entry that may be left out: keys of tables, and tables in lists."""
    pairs: list[tuple[str | int, Any]] = []
    if isinstance(table, dict):
        pairs = list(table.items())
    elif isinstance(table, list):
        pairs = [(i, each) for i, each in enumerate(table) if isinstance(each, dict)]
    for key, value in pairs:
        yield (*place, key)
        yield from _entries(value, (*place, key))


def _numbers(table: Any, place: Place = ()) -> Iterator[Place]:
    pairs: Any = table.items() if isinstance(table, dict) else enumerate(table)
    for key, value in list(pairs):
        if isinstance(value, float):
            yield (*place, key)
        elif isinstance(value, dict | list):
            yield from _numbers(value, (*place, key))


def _at(table: Any, place: Place) -> Any:
    """What stands at a place, None where it is gone."""
    for key in place:
        try:
            table = table[key]
        except (KeyError, IndexError):
            return None
    return table


def _with(files: Files, table: dict[str, Any]) -> Files:
    """The files that a changed job file still names."""
    named = {setup.get("program") for setup in table.get("setup", ())}
    named |= {JOB, *table.get("subprograms", ())}
    kept = {name: text for name, text in files.items() if name in named}
    return {**kept, JOB: job_text(table)}


def size(files: Files) -> dict[str, int]:
    """How large a job is: blocks, set-ups and tools."""
    table = tomllib.loads(files[JOB])
    texts = [text for name, text in files.items() if name != JOB]
    return {
        "blocks": sum(1 for text in texts for line in text.splitlines() if line.strip("% \t")),
        "set-ups": len(table.get("setup", ())),
        "tools": len(table.get("tools", ())),
    }


def keep_shrunk(folder: Path, files: Files, pixel: float) -> str:
    """Writes the smallest form of a disagreement into `smallest` in its folder; says how small."""
    found = compare_files(files, pixel)
    wanted = nature(found)

    def same(smaller: Files) -> bool:
        if found.kind != "error":
            # The judge alone takes a tenth of the time, and mostly settles it.
            quick = compare_files(smaller, pixel, alone=True)
            if quick.judged != found.judged:
                return False
        return nature(compare_files(smaller, pixel)) == wanted

    until = time.monotonic() + MOST_SECONDS
    smallest = shrink(files, lambda smaller: time.monotonic() < until and same(smaller))
    last = compare_files(smallest, pixel)
    target = folder / "smallest"
    write_job(target, smallest)
    answers = {
        "judge": f"{last.judged} {last.judge_note}".strip(),
        "proof": f"{last.proved} {last.proof_note}".strip(),
    }
    (target / "answers.json").write_text(json.dumps(answers, indent=2) + "\n", encoding="utf-8")
    before, after = size(files), size(smallest)
    told = ", ".join(f"{after[name]} of {before[name]} {name}" for name in after)
    return f"smallest form in {target}: {told}"
