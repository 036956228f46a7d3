"""`python -m benchmarks`: prints the whole proof's time as a ratio to plain replay.

Both are measured in one run, in turn, on the same sweeps; times of reading and tracing the program
are left out of both. Each figure is the median of the rounds.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable

from benchmarks.jobs import contour, staircase
from benchmarks.replay import replay
from standclear import Held, JobFiles, Verdict, hold, judge
from standclear.job.placing import place_setups
from standclear.proof.bench import raw_metal
from standclear.proof.held import contact_limit
from standclear.proof.keep_out import keep_out
from standclear.sweeps.sweep import sweep

KINDS: dict[str, Callable[[int], JobFiles]] = {"staircase": staircase, "contour": contour}


def main() -> None:
    """Measure and print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--motions", type=int, nargs="+", default=[400, 4000, 40000])
    options.add_argument("--rounds", type=int, default=3)
    asked = options.parse_args()
    print(
        f"{'kind':10} {'motions':>8} {'replay s':>9} {'proof s':>9} {'ratio':>7}  another blank s"
    )
    for kind, make in KINDS.items():
        for count in asked.motions:
            rounds = asked.rounds if count <= 4000 else 1
            replayed, proved, again = measure(make(count), rounds)
            ratio = proved / replayed
            print(
                f"{kind:10} {count:8d} {replayed:9.3f} {proved:9.3f} {ratio:7.2f}  {again:.3f}",
                flush=True,
            )


def measure(files: JobFiles, rounds: int) -> tuple[float, float, float]:
    """(replay, whole proof, another blank from the held proof), seconds, medians of the rounds."""
    held = hold(files)
    reading = held.readings[0][0]
    motions, tools, reach = reading.trace.motions, reading.tools, reading.keep.reach
    limit = contact_limit(files.job)
    metal = raw_metal(place_setups(files.job)[0]).most
    replays, proofs, others = [], [], []
    for _ in range(rounds):
        begin = time.perf_counter()
        strikes = replay(sweep(motions, tools, limit, reach), metal)
        replays.append(time.perf_counter() - begin)

        begin = time.perf_counter()
        keep_out(motions, tools, reading.wear, limit, reach)
        middle = time.perf_counter()
        proof = judge(held, files.job)
        proofs.append(time.perf_counter() - begin)
        others.append(time.perf_counter() - middle)
        _agree(held, bool(strikes), proof.verdict)
    return statistics.median(replays), statistics.median(proofs), statistics.median(others)


def _agree(held: Held, struck: bool, verdict: Verdict) -> None:
    if struck != (verdict is Verdict.CONTACT):
        raise SystemExit(f"replay and proof differ: strikes {struck}, verdict {verdict}")


if __name__ == "__main__":
    main()
