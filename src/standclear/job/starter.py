"""A commented job to start from: a stepped pin of our own, both ends, in five small files."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from standclear.errors import Fault, FileError
from standclear.files import write_new

STARTER_FILES = ("job.toml", "machine.toml", "tools.toml", "jaws.toml", "pin.nc")


def starter_text(name: str) -> str:
    """Text of one of `STARTER_FILES`."""
    return resources.files("standclear.job").joinpath("starter_files", name).read_text("utf-8")


def write_starter(folder: Path) -> list[Path]:
    """Write the starter job into `folder`, made if need be, and return the files written.

    Raises FileError, with nothing written, where one of the files exists already or the folder
    cannot be made or written.
    """
    paths = [folder / name for name in STARTER_FILES]
    for path in paths:
        if path.exists() or path.is_symlink():
            found = "the file exists already and is left alone"
            raise FileError(Fault(str(path), "", found, "choose another folder"))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        found = f"the folder cannot be made ({error.strerror})"
        raise FileError(Fault(str(folder), "", found, "choose another folder")) from error
    written: list[Path] = []
    try:
        for path in paths:
            write_new(path, starter_text(path.name).encode("utf-8"))
            written.append(path)
    except FileError:
        for path in written:
            path.unlink(missing_ok=True)
        raise
    return written
