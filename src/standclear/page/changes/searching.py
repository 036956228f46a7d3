"""Searches for the least edits that are under way, each in a process of its own, and their ends."""

from __future__ import annotations

import json
import pickle
import subprocess
import sys
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field

from standclear.page.answers import Refused
from standclear.page.bench import OpenJob
from standclear.plan.amend.amend import Amendment

MODULE = "standclear.page.changes.apart"
MOST = 2
"""Searches of one job at the same time."""
Key = tuple[tuple[str, float], ...]
"""Where the handles stand that a search is for."""


@dataclass
class Search:
    """One search; `answer` waits for its end."""

    process: subprocess.Popen[bytes]
    files: Mapping[str, str]
    """SHA-256 of each file as the page has read it."""
    stopped: bool = False
    found: Amendment | None = None
    lock: threading.Lock = field(default_factory=threading.Lock)
    """Held by the one who waits: others that ask the same wait for that one."""

    @property
    def runs(self) -> bool:
        return self.process.poll() is None

    def answer(self) -> Amendment:
        """Raises Refused where it was stopped, or has read other files than the page."""
        with self.lock:
            if self.found is None:
                self.found = self._ended()
            return self.found

    def stop(self) -> None:
        """End it now; whoever waits is told."""
        self.stopped = True
        self.process.kill()

    def _ended(self) -> Amendment:
        assert self.process.stdout is not None and self.process.stdin is not None
        with self.process.stdin, self.process.stdout:
            said = self.process.stdout.read()
        if self.stopped:
            self.process.wait()
            raise Refused(409, "Stopped. Nothing was changed.")
        if self.process.wait() != 0:
            raise Refused(500, "The search ended without an answer. Nothing was changed.")
        read: Mapping[str, str]
        # From a process that this one has started, about files that it has read itself.
        read, found = pickle.loads(said)
        if dict(read) != dict(self.files):
            raise Refused(
                409, "A file of the job was changed while this was looked for: try again."
            )
        assert isinstance(found, Amendment)
        return found


def amendment_for(job: OpenJob, values: Mapping[str, float]) -> Amendment:
    """The least edits with the handles at `values`, looked for once for each place of them; waits
    for a search that is under way. Raises Refused where it is stopped or there are too many."""
    known, key = _searches(job), _key(values)
    with job.lock:
        search = known.get(key)
        if search is None:
            if sum(each.runs for each in known.values()) >= MOST:
                raise Refused(429, f"{MOST} searches for this job run already: stop one first.")
            search = known[key] = _begun(job, values)
    try:
        return search.answer()
    except Refused:
        with job.lock:
            if known.get(key) is search:
                del known[key]
        raise


def stop_search(job: OpenJob, values: Mapping[str, float]) -> bool:
    """Whether a search for `values` ran and was stopped."""
    with job.lock:
        search = _searches(job).get(_key(values))
    if search is None or not search.runs:
        return False
    search.stop()
    return True


def _begun(job: OpenJob, values: Mapping[str, float]) -> Search:
    process = subprocess.Popen(
        [sys.executable, "-m", MODULE],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    assert process.stdin is not None
    asked = {"job": str(job.place.path), "values": dict(values)}
    process.stdin.write(json.dumps(asked).encode() + b"\n")
    process.stdin.flush()
    return Search(process, job.ready[0].files)


def _searches(job: OpenJob) -> dict[Key, Search]:
    found: dict[Key, Search] = job.memo.setdefault("searches", {})
    return found


def _key(values: Mapping[str, float]) -> Key:
    return tuple(sorted(values.items()))
