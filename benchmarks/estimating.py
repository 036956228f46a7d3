"""`python -m benchmarks.estimating`: what time and load cost beside the proof itself.

Each job is proved (sweeps and keep-out, then the verdict on the blank in hand), timed and loaded in
one run and in turn; the ratio is time and load together over the proof. Medians of the rounds.
"""

from __future__ import annotations

import argparse
import statistics
import time

from benchmarks.jobs import contour, staircase
from standclear import JobFiles, hold, judge
from standclear.estimate.job_time import job_time
from standclear.estimate.load import job_load
from standclear.proof.held import contact_limit
from standclear.proof.keep_out import keep_out


def main() -> None:
    """Measure and print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--motions", type=int, nargs="+", default=[400, 4000, 40000])
    options.add_argument("--rounds", type=int, default=3)
    asked = options.parse_args()
    print(f"{'kind':10} {'motions':>8} {'proof s':>9} {'time s':>8} {'load s':>8} {'ratio':>7}")
    for kind, make in (("staircase", staircase), ("contour", contour)):
        for count in asked.motions:
            proved, timed, loaded = measure(make(count), asked.rounds if count <= 4000 else 1)
            ratio = (timed + loaded) / proved
            print(
                f"{kind:10} {count:8d} {proved:9.3f} {timed:8.3f} {loaded:8.3f} {ratio:7.2f}",
                flush=True,
            )


def measure(files: JobFiles, rounds: int) -> tuple[float, float, float]:
    """(whole proof, time, load), seconds, medians of the rounds."""
    held = hold(files)
    reading = held.readings[0][0]
    proofs, times, loads = [], [], []
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
        job_time(held, files.job, proof)
        timed = time.perf_counter()
        job_load(held, files.job, proof)
        loaded = time.perf_counter()
        proofs.append(proved - begin)
        times.append(timed - proved)
        loads.append(loaded - timed)
    return statistics.median(proofs), statistics.median(times), statistics.median(loads)


if __name__ == "__main__":
    main()
