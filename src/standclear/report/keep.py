"""Writing files without ever harming one: aside first, then renamed, never over another."""

from __future__ import annotations

import os
import tempfile
from datetime import datetime
from pathlib import Path


def write_aside(path: Path, content: bytes) -> None:
    """Write `content` to `path` by way of a file beside it, so that no half file is ever seen.

    Raises OSError where the folder cannot be written to.
    """
    aside = _aside(path, content)
    try:
        os.replace(aside, path)
    except OSError:
        aside.unlink(missing_ok=True)
        raise


def keep_answer(job_path: Path, text: str, at: datetime) -> Path:
    """Put a dated answer into `proofs/` beside the job and return its path.

    The name carries the second (`2031-05-06T07-08-09.json`); where that is taken, a number
    follows. An answer already kept is never written over. Raises OSError.
    """
    folder = job_path.parent / "proofs"
    folder.mkdir(exist_ok=True)
    stem = at.strftime("%Y-%m-%dT%H-%M-%S")
    for count in range(1, 10_000):
        target = folder / (f"{stem}.json" if count == 1 else f"{stem}-{count}.json")
        try:
            os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        except FileExistsError:
            continue
        try:
            write_aside(target, text.encode("utf-8"))
        except OSError:
            target.unlink(missing_ok=True)
            raise
        return target
    raise FileExistsError(f"{folder}: ten thousand answers of the same second")


def _aside(path: Path, content: bytes) -> Path:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, 0o644)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name)
