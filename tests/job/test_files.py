"""Files are whole or not there, and are never written over unasked."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from standclear.errors import FileError
from standclear.files import (
    MOST_LINES,
    READ_LIMIT,
    read_limited,
    read_text_bytes,
    write_aside,
    write_new,
    write_new_together,
)


def test_write_new_writes_once(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_new(path, b"first")
    with pytest.raises(FileError, match=r"a\.txt: the file exists already and is left alone"):
        write_new(path, b"second")
    assert path.read_bytes() == b"first"
    assert os.listdir(tmp_path) == ["a.txt"]


def test_write_new_without_hard_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(1, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    test_write_new_writes_once(tmp_path)


def test_write_aside_replaces_and_leaves_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_aside(path, b"first")
    write_aside(path, b"second")
    assert path.read_bytes() == b"second"
    assert os.listdir(tmp_path) == ["a.txt"]


def test_a_failed_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.txt"
    write_aside(path, b"first")

    def full(*_: object) -> None:
        raise OSError(28, "no space left")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError, match="cannot be written"):
        write_aside(path, b"second")
    assert path.read_bytes() == b"first"
    assert os.listdir(tmp_path) == ["a.txt"]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be written"):
        write_new(tmp_path / "no" / "a.txt", b"")


def test_read_limited(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"x" * READ_LIMIT)
    assert len(read_limited(path)) == READ_LIMIT
    path.write_bytes(b"x" * (READ_LIMIT + 1))
    with pytest.raises(FileError, match="larger than 20 MB"):
        read_limited(path)
    assert len(read_limited(path, large=True)) == READ_LIMIT + 1


def test_a_text_has_no_more_lines_than_a_machine_can_hold(tmp_path: Path) -> None:
    path = tmp_path / "pin.nc"
    path.write_bytes(b"\n" * MOST_LINES)
    assert len(read_text_bytes(path)) == MOST_LINES
    path.write_bytes(b"G01 X1 Z1\n" * (MOST_LINES + 1))
    with pytest.raises(FileError, match="has 2,000,001 lines: split it: 2,000,000 at most"):
        read_text_bytes(path, large=True)


def test_what_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="there is no such file"):
        read_limited(tmp_path / "a")
    with pytest.raises(FileError, match="this is a directory"):
        read_limited(tmp_path)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileError, match="this is not a plain file"):
        read_limited(tmp_path / "pipe")
    for name in ("x" * 5000, "a\0b"):
        with pytest.raises(FileError):
            read_limited(tmp_path / name)


def test_files_are_written_together_or_not_at_all(tmp_path: Path) -> None:
    one, two = tmp_path / "one.nc", tmp_path / "two.nc"
    write_new_together({one: b"1", two: b"2"})
    assert (one.read_bytes(), two.read_bytes()) == (b"1", b"2")
    three = tmp_path / "three.nc"
    with pytest.raises(FileError, match="exists already"):
        write_new_together({three: b"3", two: b"4"})
    # The second cannot be written, which shows only when the first one has been.
    with pytest.raises(FileError):
        write_new_together({three: b"3", tmp_path / "no folder" / "four.nc": b"4"})
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one.nc", "two.nc"]
    assert two.read_bytes() == b"2"
