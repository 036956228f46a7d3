"""`python -m benchmarks.estimating`: what time and load cost beside the proof itself.

Each job is proved (sweeps and keep-out, then the verdict on the blank in hand), timed and loaded in
one run and in turn; the ratio is time and load together, with
what each motion takes off, over the proof. Medians of the rounds.
"""

from __future__ import annotations

import argparse
import statistics
import time

from benchmarks.jobs import contour, staircase
from standclear import JobFiles, hold, judge
from standclear.estimate.job_time import job_time
from standclear.estimate.load import job_load
from standclear.estimate.taken import all_taken
from standclear.proof.held import contact_limit
from standclear.proof.keep_out import keep_out


def main() -> None:
    """Measure and print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--motions", type=int, nargs="+", default=[400, 4000, 40000])
    options.add_argument("--rounds", type=int, default=3)
    asked = options.parse_args()
    print(
        f"{'kind':10} {'motions':>8} {'proof s':>9} {'shares s':>9} {'time s':>8} {'load s':>8} "
        f"{'ratio':>7}"
    )
    for kind, make in (("staircase", staircase), ("contour", contour)):
        for count in asked.motions:
            proved, shared, timed, loaded = measure(
                make(count), asked.rounds if count <= 4000 else 1
            )
            ratio = (shared + timed + loaded) / proved
            print(
                f"{kind:10} {count:8d} {proved:9.3f} {shared:9.3f} {timed:8.3f} {loaded:8.3f} "
                f"{ratio:7.2f}",
                flush=True,
            )


def measure(files: JobFiles, rounds: int) -> tuple[float, ...]:
    """(whole proof, shares of the motions, time, load), seconds, medians of the rounds."""
    held = hold(files)
    reading = held.readings[0][0]
    rounds_of = []
    for _ in range(rounds):
        begin = time.perf_counter()
        keep_out(
            reading.trace.motions,
            reading.tools,
            reading.wear,
            contact_limit(files.job),
            reading.keep.reach,
        )
        proof = judge(held, files.job)
        proved = time.perf_counter()
        taken = all_taken(held, files.job, proof)
        shared = time.perf_counter()
        job_time(files.job, taken)
        timed = time.perf_counter()
        job_load(files.job, proof, taken)
        loaded = time.perf_counter()
        rounds_of.append((proved - begin, shared - proved, timed - shared, loaded - timed))
    return tuple(statistics.median(column) for column in zip(*rounds_of, strict=True))


if __name__ == "__main__":
    main()
