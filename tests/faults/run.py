"""Plants known faults, one at a time, and asks whether tests or judge catch each.

Every `patches/*.patch` says in its first line what is wrong with it and in its second who is to
catch it: folders of tests, and `judge` for a run of random jobs. The fault is planted in a copy of
the tree; the tree itself is never touched. Ends with 1 if a fault survives, if a patch no longer
fits, or if those who are to catch it fail without it.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
PATCHES = Path(__file__).parent / "patches"
COPIED = ("src", "tests", "judge", "examples", "benchmarks", "pyproject.toml", "README.md")
JUDGE_JOBS, JUDGE_SEED = 60, 7


@dataclass(frozen=True)
class Fault:
    """One planted fault."""

    path: Path
    wrong: str
    """What is wrong with it, in a sentence."""
    catchers: tuple[str, ...]


def faults() -> list[Fault]:
    """Every fault on the shelf, by name."""
    return [_read(path) for path in sorted(PATCHES.glob("*.patch"))]


def _read(path: Path) -> Fault:
    wrong, caught_by, *_ = path.read_text(encoding="utf-8").splitlines()
    return Fault(path, wrong, tuple(caught_by.removeprefix("Caught by:").split()))


def planted(fault: Fault | None, folder: Path) -> None:
    """A copy of the tree in `folder`, with the fault in it."""
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy2(source, folder / name)
    if fault is not None:
        subprocess.run(["git", "apply", str(fault.path)], cwd=folder, check=True)


def catches(catcher: str, folder: Path) -> bool:
    """Whether a folder of tests, or the judge, fails on the tree in `folder`."""
    if catcher == "judge":
        asked = ["-m", "judge", "--n", str(JUDGE_JOBS), "--seed", str(JUDGE_SEED), "--workers", "1"]
        done = _python([*asked, "--shrink", "0", "--out", str(folder / "judge-out")], folder)
        return "false clear" in done.stdout and _count(done.stdout) > 0
    return (
        _python(["-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", catcher], folder).returncode
        == 1
    )


def _count(printed: str) -> int:
    """False clears, needless contacts and errors that a run of the judge prints."""
    wanted = ("false clear", "needless contact", "error")
    counted = 0
    for line in printed.splitlines():
        name, _, number = line.strip().rpartition("  ")
        if name.strip() in wanted and number.strip().isdigit():
            counted += int(number)
    return counted


def _python(arguments: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": f"{folder / 'src'}{os.pathsep}{folder}"}
    return subprocess.run(
        [sys.executable, *arguments], cwd=folder, env=environment, capture_output=True, text=True
    )


def main() -> int:
    """Plant each fault and print who caught it."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("names", nargs="*", help="faults to plant; left out: all")
    names = options.parse_args().names
    chosen = [f for f in faults() if not names or f.path.stem in names]
    sound: dict[str, bool] = {}
    survived = 0
    for fault in chosen:
        caught = ""
        for catcher in fault.catchers:
            if catcher not in sound:
                with tempfile.TemporaryDirectory() as folder:
                    planted(None, Path(folder))
                    sound[catcher] = not catches(catcher, Path(folder))
            if not sound[catcher]:
                print(f"{catcher} fails without any fault: it can catch none")
                continue
            with tempfile.TemporaryDirectory() as folder:
                planted(fault, Path(folder))
                if catches(catcher, Path(folder)):
                    caught = catcher
                    break
        survived += not caught
        print(
            f"{'caught by ' + caught if caught else 'SURVIVED':32} {fault.path.stem}: {fault.wrong}"
        )
    print(f"{len(chosen) - survived} caught, {survived} survived")
    return 1 if survived else 0


if __name__ == "__main__":
    sys.exit(main())
