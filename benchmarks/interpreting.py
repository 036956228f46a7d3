"""`python -m benchmarks.interpreting`: what following a program costs beside reading its words.

Programs of every length are read (text to words) and then traced (words to the table of motions),
both in one run and in turn; the ratio is tracing over reading. A loop that makes all its motions
from a few blocks is traced beside, with the memory that its table takes.
"""

from __future__ import annotations

import argparse
import statistics
import time
import tracemalloc
from collections.abc import Callable
from functools import partial

from benchmarks.jobs import contour, staircase
from standclear.blocks.read import read_program
from standclear.job.models import Job
from standclear.motions.trace import trace_setup

LOOP = """G21 G54
T0101
G97 S800 M03
G00 X60. Z5.
#1=0
WHILE [#1 LT {turns}] DO 1
#1=#1+1
G00 X[60-#1/{turns}*20]
G01 Z-20. F0.2
G00 U1.
Z5.
END 1
G28 U0. W0.
M30
"""
MOTIONS_IN_LOOP = 4


def main() -> None:
    """Measure and print both tables."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--motions", type=int, nargs="+", default=[400, 4000, 40000])
    options.add_argument("--rounds", type=int, default=5)
    asked = options.parse_args()
    print(f"{'kind':10} {'motions':>8} {'reading s':>10} {'tracing s':>10} {'ratio':>7}")
    for kind, make in (("staircase", staircase), ("contour", contour)):
        for count in asked.motions:
            files = make(count)
            read, traced, rows = _measure(files.programs["front.nc"], files.job, asked.rounds)
            print(f"{kind:10} {rows:8d} {read:10.4f} {traced:10.4f} {traced / read:7.2f}")
    print()
    print(f"{'loop':10} {'motions':>8} {'seconds':>10} {'us/motion':>10} {'MB at most':>11}")
    job = staircase(40).job
    for count in asked.motions:
        data = LOOP.format(turns=count // MOTIONS_IN_LOOP).encode()
        _, traced, rows = _measure(data, job, 1)
        tracemalloc.start()
        _trace(data, job)
        peak = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
        print(f"{'':10} {rows:8d} {traced:10.3f} {traced / rows * 1e6:10.1f} {peak:11.1f}")


def _measure(data: bytes, job: Job, rounds: int) -> tuple[float, float, int]:
    """(reading, tracing) in seconds, medians of the rounds, and the number of motions."""
    reads, traces = [], []
    for _ in range(rounds):
        reads.append(_timed(lambda: read_program(data, "front.nc")))
        program = read_program(data, "front.nc")
        traces.append(_timed(partial(trace_setup, program, job, 0)))
    return statistics.median(reads), statistics.median(traces), len(_trace(data, job))


def _trace(data: bytes, job: Job) -> range:
    (trace,) = trace_setup(read_program(data, "front.nc"), job, 0)
    return range(len(trace.motions))


def _timed(work: Callable[[], object]) -> float:
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


if __name__ == "__main__":
    main()
