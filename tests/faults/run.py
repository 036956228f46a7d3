"""Plants known faults, one at a time, and asks whether tests or judge catch each.

Every `patches/*.patch` says in its first line what is wrong with it and in its second who is to
catch it: folders of tests, and `judge` for a run of random jobs. The fault is planted in a copy of
the tree; the tree itself is never touched. Ends with 1 if a fault survives, if a patch no longer
fits, or if those who are to catch it fail without it.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from mutants.run import copy_of, fails

ROOT = Path(__file__).parents[2]
PATCHES = Path(__file__).parent / "patches"


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
    copy_of(ROOT, folder)
    if fault is not None:
        subprocess.run(["git", "apply", str(fault.path)], cwd=folder, check=True)


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
                    sound[catcher] = not fails(catcher, Path(folder))
            if not sound[catcher]:
                print(f"{catcher} fails without any fault: it can catch none")
                continue
            with tempfile.TemporaryDirectory() as folder:
                planted(fault, Path(folder))
                if fails(catcher, Path(folder)):
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
