"""Bad files and bad jobs through the command itself: exit 2, a clear line a fault, nothing else."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from spoiling import copy_of

from standclear.files import READ_LIMIT


def run(*words: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "standclear.cli", *words],
        capture_output=True,
        text=True,
        cwd=cwd,
        timeout=60,
        check=False,
    )


@dataclass(frozen=True)
class Case:
    """What is done to a copy of the demo job, what is asked, and what must be said."""

    name: str
    said: str
    spoil: Callable[[Path], object] = lambda folder: None
    words: tuple[str, ...] = field(default=("prove", "."))


def write(name: str, data: bytes) -> Callable[[Path], object]:
    return lambda folder: (folder / name).write_bytes(data)


def change(name: str, old: str, new: str) -> Callable[[Path], object]:
    def edit(folder: Path) -> None:
        text = (folder / name).read_text()
        assert old in text
        (folder / name).write_text(text.replace(old, new))

    return edit


def again_as(encoding: str, name: str) -> Callable[[Path], object]:
    return lambda folder: (folder / name).write_text((folder / name).read_text(), encoding)


def a_directory(name: str) -> Callable[[Path], object]:
    def put(folder: Path) -> None:
        (folder / name).unlink()
        (folder / name).mkdir()

    return put


def drop(name: str) -> Callable[[Path], object]:
    return lambda folder: (folder / name).unlink()


BINARY = bytes(range(256)) * 20

NO_ANSWER = (
    Case("no file", "there is no such file", words=("prove", "nowhere")),
    Case("no job file", "a directory without job.toml", drop("job.toml")),
    Case("no folder to draw", "there is no such file", words=("draw", "nowhere")),
    Case("binary job", "the file is binary", write("job.toml", BINARY)),
    Case("UTF-16 job", "UTF-16", again_as("utf-16", "job.toml")),
    Case("UTF-16 job without a mark", "UTF-16", again_as("utf-16-le", "job.toml")),
    Case("empty job", "units is missing", write("job.toml", b"")),
    Case("not TOML", "line 1", write("job.toml", b"blank = [")),
    Case("no program", 'setup[0].program is "pin.nc"', drop("pin.nc")),
    Case("program a directory", "this is a directory", a_directory("pin.nc")),
    Case("binary program", "the file is binary", write("pin.nc", BINARY)),
    Case("UTF-16 program", "UTF-16", again_as("utf-16", "pin.nc")),
    Case("NUL in a program", "the file is binary", write("pin.nc", b"G21\n\0G00 X60.\n" * 400)),
    Case("program too large", "larger than 20 MB", write("pin.nc", b" " * (READ_LIMIT + 1))),
    Case("unknown key", "odd is not a known key", write("job.toml", b"odd = 1\n")),
    Case("negative size", "blank.size is -48", change("job.toml", "size = 48.0", "size = -48.0")),
    Case("no such offset", 'offset is "G61"', change("job.toml", '"G55"', '"G61"')),
    Case("no such jaws", "there is no such file", change("job.toml", '"soft-jaws', '"no-jaws')),
    Case("no tools", 'tools is "tools.toml"', drop("tools.toml")),
    Case("bar of nothing", "blank.size is 0", words=("prove", ".", "--bar", "0")),
    Case("endless bar", "--bar is inf", words=("prove", ".", "--bar", "inf")),
    Case("bar beyond all", "below 10 m", words=("prove", ".", "--bar", "1e300")),
    Case("picture nowhere", "cannot be written", words=("draw", ".", "-o", "nowhere/x.svg")),
    Case("new over a job", "is left alone", words=("new", ".")),
)


@pytest.mark.parametrize("case", NO_ANSWER, ids=lambda case: case.name)
def test_no_answer_is_status_2_and_clear(case: Case, tmp_path: Path) -> None:
    folder = copy_of("demo-pin", tmp_path)
    case.spoil(folder)
    before = {each: each.stat().st_mtime_ns for each in folder.rglob("*")}
    told = run(*case.words, cwd=folder)
    assert told.returncode == 2
    assert told.stdout == ""
    assert case.said in told.stderr
    assert "Traceback" not in told.stderr and "fault in standclear" not in told.stderr
    # Nothing half written, nothing touched.
    assert {each: each.stat().st_mtime_ns for each in folder.rglob("*")} == before


def test_a_large_program_is_read_when_allowed(tmp_path: Path) -> None:
    folder = copy_of("demo-pin", tmp_path)
    program = folder / "pin.nc"
    program.write_bytes(program.read_bytes() + b"(" + b" " * READ_LIMIT + b")\n")
    assert run("prove", ".", cwd=folder).returncode == 2
    assert run("prove", ".", "--large", cwd=folder).stdout.startswith("clear:")


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read every file"
)
@pytest.mark.parametrize("name", ["job.toml", "pin.nc", "tools.toml"])
def test_a_file_that_may_not_be_read(name: str, tmp_path: Path) -> None:
    folder = copy_of("demo-pin", tmp_path)
    (folder / name).chmod(0)
    told = run("prove", ".", cwd=folder)
    assert (told.returncode, told.stdout) == (2, "")
    assert name in told.stderr and "cannot be read" in told.stderr
