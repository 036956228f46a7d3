"""Reading with a limit, writing aside and renaming: a file is whole or is not there."""

from __future__ import annotations

import os
import secrets
from collections.abc import Mapping
from pathlib import Path

from standclear.errors import Fault, FileError

JOB_FILE = "job.toml"
"""Name of the job in a folder that is one job's."""
READ_LIMIT = 20_000_000
"""Bytes. The longest turning programs stay far below it, so more is most likely a wrong file."""
MOST_LINES = 2_000_000
"""Lines of a text, however large it may be. A program takes about 1.6 kB of memory a line: more of
them would end a run half way on most machines, with no word why."""


def read_limited(path: Path, *, large: bool = False) -> bytes:
    """All bytes of the file at `path`.

    Raises FileError where there is no such file, it is not a plain file (a directory, a device),
    it may not be read, or it holds more than `READ_LIMIT` bytes and `large` is not set.
    """
    try:
        if not path.exists():
            raise _unreadable(path, "there is no such file", "give the name of a file")
        if path.is_dir():
            raise _unreadable(path, "this is a directory", "give the name of a file")
        if not path.is_file():
            raise _unreadable(path, "this is not a plain file", "give the name of a file")
        with path.open("rb") as stream:
            data = stream.read() if large else stream.read(READ_LIMIT + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise _unreadable(
            path, f"the file cannot be read ({reason})", "give a file that can be opened"
        ) from error
    if len(data) > READ_LIMIT and not large:
        raise _unreadable(
            path,
            "the file is larger than 20 MB",
            "give a smaller file, or allow large files (`--large`) if it is the right one",
        )
    return data


def read_text_bytes(path: Path, *, large: bool = False) -> bytes:
    """As `read_limited`, for a file that must be text in an 8-bit encoding or UTF-8.

    Raises FileError also for UTF-16 or UTF-32 text, for binary data and for more than `MOST_LINES`.
    """
    data = read_limited(path, large=large)
    if data.startswith((b"\xff\xfe", b"\xfe\xff", b"\x00\x00\xfe\xff")):
        raise _unreadable(path, "the text is UTF-16 or UTF-32", "save it as UTF-8 or plain ASCII")
    if b"\x00" in data:
        if _looks_like_utf16(data):
            raise _unreadable(path, "the text is UTF-16", "save it as UTF-8 or plain ASCII")
        raise _unreadable(path, "the file is binary, not text", "give a text file")
    lines = data.count(b"\n")
    if lines > MOST_LINES:
        raise _unreadable(
            path, f"the file has {lines:,} lines", f"split it: {MOST_LINES:,} at most"
        )
    return data


def write_new(path: Path, data: bytes) -> None:
    """Write a file that must not exist yet, whole or not at all.

    Raises FileError where `path` exists, is being made by somebody else, or cannot be written.
    """
    aside = _written_aside(path, data)
    try:
        try:
            os.link(aside, path)
        except OSError:
            # The name is taken, or the file system has no hard links: hold the name, which fails
            # where it is taken, then rename over our own empty file.
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            os.replace(aside, path)
    except FileExistsError as error:
        raise _exists(path) from error
    except OSError as error:
        raise _unwritable(path, error) from error
    finally:
        aside.unlink(missing_ok=True)


def write_new_together(files: Mapping[Path, bytes]) -> None:
    """Write files that must not exist yet: all of them, or none.

    Raises FileError where one exists or cannot be written; those written before it are gone again.
    """
    for path in files:
        if path.exists() or path.is_symlink():
            raise _exists(path)
    written: list[Path] = []
    try:
        for path, data in files.items():
            write_new(path, data)
            written.append(path)
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise


def write_aside(path: Path, data: bytes) -> None:
    """Write a file aside and rename it, so that a reader sees the old one or the new one whole.

    For the tool's own output only; jobs and programs are never written over.
    Raises FileError where it cannot be written.
    """
    aside = _written_aside(path, data)
    try:
        os.replace(aside, path)
    except OSError as error:
        raise _unwritable(path, error) from error
    finally:
        aside.unlink(missing_ok=True)


def _written_aside(path: Path, data: bytes) -> Path:
    aside = path.with_name(f".{path.name}.{secrets.token_hex(6)}")
    try:
        with aside.open("xb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
    except OSError as error:
        aside.unlink(missing_ok=True)
        raise _unwritable(path, error) from error
    return aside


def _looks_like_utf16(data: bytes) -> bool:
    """Latin text in UTF-16 without a mark has a zero in every second byte."""
    head = data[:4096]
    return len(head) > 1 and (not any(head[1::2]) or not any(head[0::2]))


def _exists(path: Path) -> FileError:
    return _unreadable(path, "the file exists already and is left alone", "choose another name")


def _unreadable(path: Path, found: str, accepted: str) -> FileError:
    return FileError(Fault(str(path), "", found, accepted))


def _unwritable(path: Path, error: OSError) -> FileError:
    reason = f"the file cannot be written ({error.strerror})"
    return FileError(Fault(str(path), "", reason, "choose a place that can be written"))
