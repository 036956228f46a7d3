"""`python -m benchmarks`: what the proof costs, as a Markdown document of tables.

Ratios are measured side by side in one run; a figure is a median, with the least and the greatest
of the rounds in brackets. What is done meanwhile is told on the error stream.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
from datetime import date

import shapely
from judge.source import PROOF, checkout, tree_hash

from benchmarks.proving import HEADS, proving
from benchmarks.starting import imports_table, starting_table
from benchmarks.table import markdown


def main() -> None:
    """Measure and print the document."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--motions", type=int, nargs="+", default=[400, 4000, 10000])
    options.add_argument("--rounds", type=int, default=3)
    asked = options.parse_args()
    load = os.getloadavg()[0]
    commit, clean = checkout()
    lines = []
    for kind, count, line in proving(asked.motions, asked.rounds):
        print(f"{kind}, {count:,} motions: done", file=sys.stderr, flush=True)
        lines.append(line)
    print("# What the proof costs\n")
    changed = "" if clean else ", changed"
    print(
        f"Made by `make bench` on {date.today()}; commit {commit[:12]}{changed}, "
        f"source {tree_hash(PROOF)}; {os.cpu_count()} cores, load {load:.1f} when it began; "
        f"Python {platform.python_version()}, GEOS {shapely.geos_version_string}.\n"
    )
    print("## Proof and replay\n")
    print(
        "The whole proof (sweeps, keep-out, findings for the blank in hand) beside a plain replay "
        "of that one\nblank, motion by motion, on the same sweeps. Another blank and another zero "
        "are judged from what the\nproof holds.\n"
    )
    print(markdown(HEADS, lines))
    print("\n## From the start of the process to the verdict\n")
    print(starting_table(asked.rounds))
    print()
    print(imports_table())


if __name__ == "__main__":
    main()
