"""The whole proof beside a plain replay of one blank.

Both are measured in one run, in turn, on the same tables of motions; reading and tracing the
program are left out of both. Each size of a job runs in a process of its own, whose memory at most
is told.
"""

from __future__ import annotations

import multiprocessing
import resource
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from benchmarks.jobs import contour, staircase, two_sided
from benchmarks.replay import replay
from benchmarks.table import spread
from standclear import Held, JobFiles, Verdict, hold, judge
from standclear.job.models import Job
from standclear.job.placing import place_setups
from standclear.proof.bench import raw_metal
from standclear.proof.held import contact_limit
from standclear.proof.keep_out import keep_out
from standclear.proof.result import JobProof
from standclear.sweeps.sweep import sweep

KINDS: dict[str, Callable[[int], JobFiles]] = {
    "staircase": staircase, "contour": contour, "two-sided": two_sided,
}  # fmt: skip
MOST_ROUNDS_TO = 4_000
"""Motions up to which all rounds are run; of more, one."""
LONGER_MM = THICKER_MM = 1.0
HEADS = (
    "job", "motions", "replay, s", "proof, s", "proof / replay", "us a motion",
    "another blank, ms", "replay / another blank", "another zero, ms", "MB at most",
)  # fmt: skip


@dataclass(frozen=True)
class Round:
    """Seconds."""

    replay: float
    proof: float
    """Sweeps, keep-out and the findings for the blank in hand."""
    blank: float
    """The findings for another blank, from what is held."""
    zero: float
    """The findings for another zero of the first end, from what is held."""


def proving(counts: Sequence[int], rounds: int) -> Iterator[tuple[str, int, list[str]]]:
    """Kind of job, motions and the line of the table, job after job."""
    spawn = multiprocessing.get_context("spawn")
    for kind in KINDS:
        for count in counts:
            many = rounds if count <= MOST_ROUNDS_TO else 1
            with ProcessPoolExecutor(1, mp_context=spawn) as pool:
                found, megabytes = pool.submit(_measured, kind, count, many).result()
            yield kind, count, _line(kind, count, found, megabytes)


def _measured(kind: str, count: int, rounds: int) -> tuple[list[Round], float]:
    found = list(measure(KINDS[kind](count), rounds))
    return found, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _line(kind: str, count: int, found: Sequence[Round], megabytes: float) -> list[str]:
    return [
        kind,
        f"{count:,}",
        spread([r.replay for r in found], 3),
        spread([r.proof for r in found], 3),
        spread([r.proof / r.replay for r in found]),
        spread([r.proof / count * 1e6 for r in found], 0),
        spread([r.blank * 1e3 for r in found], 0),
        spread([r.replay / r.blank for r in found], 1),
        spread([r.zero * 1e3 for r in found], 0),
        f"{megabytes:,.0f}",
    ]


def measure(files: JobFiles, rounds: int) -> Iterator[Round]:
    """Replays and proves a job in turn.

    Raises SystemExit where the two do not say the same.
    """
    held = hold(files)
    first = judge(held, files.job)
    metals = [raw_metal(place_setups(files.job)[0]).most]
    metals += [setup.metal_before for setup in first.setups[1:]]
    blank, zero = _another_blank(files.job), _another_zero(files.job)
    for _ in range(rounds):
        begun = time.perf_counter()
        struck = _replayed(held, metals)
        replayed = time.perf_counter()
        proof = _proved(held)
        proved = time.perf_counter()
        judge(held, blank)
        judged = time.perf_counter()
        judge(held, zero)
        ended = time.perf_counter()
        _agree(struck, proof.verdict)
        yield Round(replayed - begun, proved - replayed, judged - proved, ended - judged)


def _replayed(held: Held, metals: Sequence[BaseGeometry]) -> bool:
    """Whether anything strikes; each set-up by the metal that is there when it begins."""
    limit = contact_limit(held.files.job)
    struck = False
    for (reading,), metal in zip(held.readings, metals, strict=True):
        pieces = sweep(reading.trace.motions, reading.tools, limit, reading.keep.reach)
        struck |= bool(replay(pieces, metal))
    return struck


def _proved(held: Held) -> JobProof:
    limit = contact_limit(held.files.job)
    for (reading,) in held.readings:
        keep = reading.keep
        keep_out(reading.trace.motions, reading.tools, reading.wear, limit, keep.reach)
    return judge(held, held.files.job)


def _another_blank(job: Job) -> Job:
    size, length = job.blank.size + THICKER_MM, job.blank.length + LONGER_MM
    return job.model_copy(
        update={"blank": job.blank.model_copy(update={"size": size, "length": length})}
    )


def _another_zero(job: Job) -> Job:
    first, *others = job.setup
    allowance = (first.zero.face_allowance or 0.0) + LONGER_MM / 2
    zero = first.zero.model_copy(update={"face_allowance": allowance})
    return job.model_copy(update={"setup": [first.model_copy(update={"zero": zero}), *others]})


def _agree(struck: bool, verdict: Verdict) -> None:
    if struck != (verdict is Verdict.CONTACT):
        raise SystemExit(f"replay and proof differ: strikes {struck}, verdict {verdict}")
