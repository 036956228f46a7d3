"""Looking for the least edits in a process of its own: the page goes on while it looks.

Reads one line of JSON, `job` and `values`, and writes the pickled answer: the SHA-256 of each file
that it has read, and the amendment. Ends with whoever has started it.
"""

from __future__ import annotations

import json
import os
import pickle
import sys
import threading
from pathlib import Path

from standclear.job.read import read_job
from standclear.page.handles import dragged
from standclear.plan.amend.amend import amend
from standclear.proof.held import hold
from standclear.proof.prove import judge

NICE = 5
"""How far it stands back behind the finger that drags meanwhile."""


def main() -> None:
    """Answer the one question on standard input."""
    asked = json.loads(sys.stdin.buffer.readline())
    threading.Thread(target=_end_with_the_page, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(NICE)
    files = read_job(Path(asked["job"]))
    held = hold(files)
    job = dragged(files.job, asked["values"]) if asked["values"] else files.job
    found = amend(held, job, judge(held, job))
    sys.stdout.buffer.write(pickle.dumps((files.files, found)))


def _end_with_the_page() -> None:
    # Not through the buffer, whose lock the end of this process would wait for.
    os.read(sys.stdin.fileno(), 1)
    os._exit(1)


if __name__ == "__main__":
    main()
