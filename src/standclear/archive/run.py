"""Proves many jobs side by side: on all cores of this machine, or on a Dask scheduler's workers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from pathlib import Path

from standclear.archive.row import Row, no_answer, prove_row
from standclear.archive.wanted import Wanted
from standclear.errors import Fault, FileError

ENDED = "the process that proved it ended by itself, as when memory runs out; no verdict"


def rows_of(jobs: Sequence[Path], wanted: Wanted, processes: int) -> Iterator[Row]:
    """A row for every job, each as soon as it is done, from `processes` at once.

    A process that dies takes those beside it along: what has no answer then is proved again, each
    job in a process of its own, so that only the one to blame stays without.
    """
    waiting = set(jobs)
    with ProcessPoolExecutor(processes) as pool:
        futures = {pool.submit(prove_row, job, wanted): job for job in jobs}
        for future in as_completed(futures):
            row = _row_or_none(future)
            if row is not None:
                waiting.discard(futures[future])
                yield row
    for job in (each for each in jobs if each in waiting):
        with ProcessPoolExecutor(1) as alone:
            row = _row_or_none(alone.submit(prove_row, job, wanted))
        yield no_answer(job, (f"{job}: {ENDED}",)) if row is None else row


def _row_or_none(future: Future[Row]) -> Row | None:
    try:
        return future.result()
    except BrokenProcessPool:
        return None


def rows_from_workers(jobs: Sequence[Path], wanted: Wanted, scheduler: str) -> Iterator[Row]:
    """A row for every job, each as soon as it is done, from the workers of the Dask scheduler at
    the address `scheduler`; they read the jobs under the same paths, with standclear of this
    version.

    Raises FileError where Dask is not installed, or the scheduler does not answer.
    """
    try:
        from distributed import Client
        from distributed import as_completed as done
    except ImportError as error:
        found = "it takes Dask, which is not installed"
        accepted = "install it: pip install 'standclear[dask]'"
        raise FileError(Fault(scheduler, "", found, accepted)) from error
    try:
        client = Client(scheduler, timeout="10s")
    except (OSError, TimeoutError, ValueError) as error:
        found = f"no scheduler answers there ({error or type(error).__name__})"
        accepted = "give the address that it prints when it starts, such as tcp://10.0.0.5:8786"
        raise FileError(Fault(scheduler, "", found, accepted)) from error
    with client:
        futures = {
            client.submit(prove_row, job.resolve(), wanted, pure=False, retries=0): job
            for job in jobs
        }
        for future in done(futures):
            job = futures[future]
            broke = future.exception()
            if broke is None:
                yield replace(future.result(), job=str(job))
            else:
                yield no_answer(job, (f"{job}: {ENDED} ({type(broke).__name__}: {broke})",))
