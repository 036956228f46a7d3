"""Whether anybody sees a fault: the tests that run through it first, then the judge."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from mutants.draw import PACKAGE, Mutant, changed
from mutants.reach import FOLDERS, Reach, asked

ALONE = ("audit",)
"""Parts that nothing else of the package runs through: the judge is not asked of them."""
JUDGE_JOBS, JUDGE_SEED = 24, 7
WRONG = ("false clear", "needless contact", "error")
LONGEST = 600.0
"""Seconds that the judge, or the tests asked of a fault, may take: five times what they do. A fault
that makes a loop endless is seen by it."""
ENDLESS = "no end"
COPIED = ("src", "tests", "judge", "planted", "mutants", "benchmarks", "examples", "pyproject.toml",
          "README.md")  # fmt: skip


@dataclass(frozen=True)
class Outcome:
    """What became of a mutant."""

    name: str
    seen_by: str
    """A test, `judge`, or `no end`; empty where it survived."""
    seconds: float


def seen_by(mutant: Mutant, root: Path, reach: Reach) -> str:
    """The first that fails on a copy of the checkout `root` with the change made; empty where none
    does."""
    with tempfile.TemporaryDirectory(prefix="mutant-") as name:
        folder = Path(name)
        copy_of(root, folder)
        path = folder / PACKAGE / mutant.path
        text = path.read_text()
        path.write_text(changed(text, mutant))
        found = first_failing(asked(mutant, text, reach), folder)
        if not found and mutant.path.split("/")[0] not in ALONE:
            found = "judge" if fails("judge", folder) else ""
        return found


def first_failing(tests: list[str], folder: Path) -> str:
    """The first of the tests that fails on the tree in `folder`; empty where none does."""
    if not tests:
        return ""
    chosen = folder / "chosen.txt"
    chosen.write_text("\n".join(tests), encoding="utf-8")
    files = sorted({test.partition("::")[0] for test in tests})
    done = run_tests(["-x", "-rfE", *files], folder, {"MUTANTS_CHOSEN": str(chosen)})
    if done is None:
        return ENDLESS
    failed = re.search(r"^(?:FAILED|ERROR) (\S+)", done.stdout, re.MULTILINE)
    return failed.group(1) if failed and done.returncode in (1, 2) else ""


def note_tests(folder: Path, notes: list[Path]) -> str:
    """Runs all tests on the tree in `folder` and notes into `notes`, side by side, which lines they
    run through. A test that fails as it is, whose word on a fault means nothing; empty for none."""

    def part(k: int) -> str:
        folders = [f"tests/{each}" for each in FOLDERS[k :: len(notes)]]
        done = run_tests(["-x", "-rfE", *folders], folder, {"MUTANTS_NOTE": str(notes[k])}, None)
        assert done is not None
        return "" if done.returncode in (0, 5) else done.stdout[-2000:]  # 5: no test there

    with ThreadPoolExecutor(len(notes)) as pool:
        return "".join(pool.map(part, range(len(notes))))


def run_tests(
    words: list[str], folder: Path, environment: dict[str, str], longest: float | None = LONGEST
) -> subprocess.CompletedProcess[str] | None:
    """pytest with the plugin `mutants.noting`; None where it does not end in time."""
    # With one seed for Hypothesis the same fault is seen or not each time it is tried.
    pytest = ["-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "mutants.noting",
              "--hypothesis-seed=0"]  # fmt: skip
    return _run([*pytest, *words], folder, environment, longest)


def copy_of(root: Path, folder: Path) -> None:
    """What tests and judge need of a checkout, in `folder`."""
    for name in COPIED:
        source = root / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(source, folder / name)


def fails(catcher: str, folder: Path) -> bool:
    """Whether a folder of tests, or `judge`, fails on the tree in `folder`, or does not end.

    Of the judge it is the answers that count: a run this small has too few jobs of some words to
    pass as a whole.
    """
    if catcher != "judge":
        tests = run_tests(["-x", catcher], folder, {})
        # 1: a test failed, 2: one could not be read; else none was run.
        return tests is None or tests.returncode in (1, 2)
    words = ["-m", "judge", "--n", str(JUDGE_JOBS), "--seed", str(JUDGE_SEED), "--shrink", "0"]
    done = _run([*words, "--out", str(folder / "judge-out")], folder, {}, LONGEST)
    return done is None or wrong_answers(done.stdout) != 0


def _run(
    words: list[str], folder: Path, more: dict[str, str], longest: float | None
) -> subprocess.CompletedProcess[str] | None:
    """Python on the tree in `folder`; None where it does not end in `longest` seconds."""
    environment = dict(os.environ) | more
    environment["PYTHONPATH"] = f"{folder / 'src'}{os.pathsep}{folder}"
    environment["PYTHONDONTWRITEBYTECODE"] = "1"
    try:
        return subprocess.run(
            [sys.executable, *words], cwd=folder, env=environment, timeout=longest,
            capture_output=True, text=True, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return None


def wrong_answers(printed: str) -> int:
    """False clears, needless contacts and errors in what a run of the judge printed; -1 where it
    came to no count."""
    counts = {}
    for line in printed.splitlines():
        name, _, number = line.strip().rpartition("  ")
        if name.strip() in WRONG and number.strip().isdigit():
            counts[name.strip()] = int(number)
    return sum(counts.values()) if "false clear" in counts else -1
