"""Whether anybody sees a fault: the tests next to it first, then the others, then the judge."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from mutants.draw import PACKAGE, Mutant, changed

NEAR = {
    "blocks": ("blocks", "programs", "motions"),
    "motions": ("motions", "programs"),
    "tools": ("tools",),
    "sweeps": ("sweeps",),
    "proof": ("proof",),
    "audit": ("audit", "certificate"),
}
"""Folders of tests that stand next to a part of the package, asked first."""
ALONE = ("audit",)
"""Parts that nothing else of the package runs through: nobody further is asked."""
FURTHER = ("sweeps", "tools", "motions", "proof", "findings", "examples", "programs", "blocks",
           "certificate", "plan/setting")  # fmt: skip
"""Folders asked in turn, those already asked left out."""
JUDGE_JOBS, JUDGE_SEED = 60, 7
WRONG = ("false clear", "needless contact", "error")
LONGEST = 600.0
"""Seconds that one folder may take: ten times what the slowest does. A fault that makes a loop
endless is seen by it."""
COPIED = ("src", "tests", "judge", "planted", "mutants", "benchmarks", "examples", "pyproject.toml",
          "README.md")  # fmt: skip


@dataclass(frozen=True)
class Outcome:
    """What became of a mutant."""

    name: str
    seen_by: str
    """A folder of tests, or `judge`; empty where it survived."""
    seconds: float


def catchers(path: str) -> tuple[str, ...]:
    """Who is asked about a file of the package, in order."""
    part = path.split("/")[0]
    near = NEAR[part]
    if part in ALONE:
        return tuple(f"tests/{folder}" for folder in near)
    tests = (*near, *(folder for folder in FURTHER if folder not in near))
    return (*(f"tests/{folder}" for folder in tests), "judge")


def seen_by(mutant: Mutant, root: Path) -> str:
    """The first that fails on a copy of the checkout `root` with the change made; empty where none
    does."""
    with tempfile.TemporaryDirectory(prefix="mutant-") as name:
        folder = Path(name)
        copy_of(root, folder)
        path = folder / PACKAGE / mutant.path
        path.write_text(changed(path.read_text(), mutant))
        return next((each for each in catchers(mutant.path) if fails(each, folder)), "")


def copy_of(root: Path, folder: Path) -> None:
    """What tests and judge need of a checkout, in `folder`."""
    for name in COPIED:
        source = root / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(source, folder / name)


def fails(catcher: str, folder: Path) -> bool:
    """Whether tests or judge fail on the tree in `folder`, or do not end.

    Of the judge it is the answers that count: a run this small has too few jobs of some words to
    pass as a whole.
    """
    if catcher == "judge":
        words = ["-m", "judge", "--n", str(JUDGE_JOBS), "--seed", str(JUDGE_SEED), "--shrink", "0"]
        words += ["--out", str(folder / "judge-out")]
    else:
        words = ["-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", catcher]
        words.append("--hypothesis-seed=0")  # the same fault is seen or not each time it is tried
    environment = dict(os.environ)
    environment["PYTHONPATH"] = f"{folder / 'src'}{os.pathsep}{folder}"
    environment["PYTHONDONTWRITEBYTECODE"] = "1"
    command = [sys.executable, *words]
    try:
        done = subprocess.run(
            command, cwd=folder, env=environment, timeout=LONGEST, capture_output=True, text=True,
            check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    if catcher == "judge":
        return wrong_answers(done.stdout) != 0
    return done.returncode in (1, 2)  # a test failed, or could not be read; else none was run


def wrong_answers(printed: str) -> int:
    """False clears, needless contacts and errors in what a run of the judge printed; -1 where it
    came to no count."""
    counts = {}
    for line in printed.splitlines():
        name, _, number = line.strip().rpartition("  ")
        if name.strip() in WRONG and number.strip().isdigit():
            counts[name.strip()] = int(number)
    return sum(counts.values()) if "false clear" in counts else -1
