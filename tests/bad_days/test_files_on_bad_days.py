"""Full disks, kills in the middle of a write, files that change under the proof, two runs at once:
a file is whole or not there, and an answer is right or there is none."""

from __future__ import annotations

import ast
import errno
import json
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from io import BufferedWriter
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

import standclear
from standclear import files as on_disk
from standclear.cli import app
from standclear.errors import FileError
from standclear.files import write_aside, write_new, write_new_together
from standclear.page.store import Store, revision_of

ROOT = Path(__file__).parents[2]
PIN = ROOT / "examples" / "demo-pin"
OLD, NEW = b"old\n" * 4000, b"new text\n" * 4000
CALLS = ("fsync", "link", "replace", "close")
"""What the system is asked for between the first byte and the file's own name."""


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(w) for w in words], env={"COLUMNS": "80"})


def tree(folder: Path) -> dict[str, bytes]:
    """What stands under its own name in a folder; what is written aside is hidden."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith(".")
    }


def _new(folder: Path) -> None:
    write_new(folder / "b", NEW)


def _aside(folder: Path) -> None:
    write_aside(folder / "a", NEW)


def _together(folder: Path) -> None:
    write_new_together({folder / "b": NEW, folder / "c": NEW})


def _saved(folder: Path) -> None:
    Store(folder).save(folder / "a", NEW, revision_of(OLD))


WRITES: list[Callable[[Path], None]] = [_new, _aside, _together, _saved]


def _dies_at(count: int) -> None:
    """In a child: end without any clearing up, as when the power goes, at the `count`-th call."""
    left = [count]

    def dying(real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*given: Any, **named: Any) -> Any:
            left[0] -= 1
            if left[0] < 0:
                os._exit(7)
            return real(*given, **named)

        return call

    for name in CALLS:
        setattr(on_disk.os, name, dying(getattr(os, name)))
    # Half of the bytes reach the disk before the other half would.
    real_write = BufferedWriter.write

    class Half:
        def __init__(self, stream: BufferedWriter) -> None:
            self.stream = stream

        def __enter__(self) -> Half:
            return self

        def __exit__(self, *_: object) -> None:
            self.stream.close()

        def __getattr__(self, name: str) -> Any:
            return getattr(self.stream, name)

        def write(self, data: bytes) -> int:
            real_write(self.stream, data[: len(data) // 2])
            self.stream.flush()
            left[0] -= 1
            if left[0] < 0:
                os._exit(7)
            return real_write(self.stream, data[len(data) // 2 :])

    real_open = Path.open

    def opened(path: Path, mode: str = "r", *given: Any, **named: Any) -> Any:
        stream = real_open(path, mode, *given, **named)
        return Half(stream) if "x" in mode or "w" in mode else stream

    Path.open = opened  # type: ignore[method-assign]


def _killed_runs(write: Callable[[Path], None], folder: Path) -> Iterator[tuple[int, Path]]:
    """(how the child ended, its folder), killed at every point in turn, until it gets through."""
    for count in range(40):
        at = folder / str(count)
        at.mkdir()
        (at / "a").write_bytes(OLD)
        child = os.fork()
        if child == 0:
            try:
                _dies_at(count)
                write(at)
                os._exit(0)
            except BaseException:
                os._exit(9)
        _, status = os.waitpid(child, 0)
        code = os.waitstatus_to_exitcode(status)
        yield code, at
        if code != 7:
            return


@pytest.mark.skipif(not hasattr(os, "fork"), reason="takes fork to kill a copy of this process")
@pytest.mark.parametrize("write", WRITES)
def test_killed_at_any_write_every_file_is_whole(
    write: Callable[[Path], None], tmp_path: Path
) -> None:
    ended = []
    for code, folder in _killed_runs(write, tmp_path):
        ended.append(code)
        for name, data in tree(folder).items():
            # An empty file may hold a name for an instant; it is nobody's old text.
            assert data in (OLD, NEW) or (data == b"" and name != "a"), (name, len(data))
        assert tree(folder)["a"] in (OLD, NEW)
    assert ended[-1] == 0 and len(ended) > 3, ended
    assert set(ended[:-1]) == {7}


@pytest.mark.parametrize("write", WRITES)
@pytest.mark.parametrize("call", ["fsync", "link", "replace"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EIO])
def test_a_disk_that_is_full_or_fails_leaves_all_as_it_was(
    write: Callable[[Path], None],
    call: str,
    number: int,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    (tmp_path / "a").write_bytes(OLD)

    def fails(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(on_disk.os, call, fails)
    if call == "link":  # a file system without hard links: the other way is taken
        write(tmp_path)
        assert NEW in tree(tmp_path).values()
        return
    if call == "replace" and write in (_new, _together):
        write(tmp_path)  # linked, nothing is renamed
        return
    with pytest.raises(FileError, match=os.strerror(number)):
        write(tmp_path)
    found = tree(tmp_path)
    assert found.pop("a") == OLD
    assert all(name.startswith("earlier/") and data == OLD for name, data in found.items())
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


def test_nothing_is_written_but_through_these_functions() -> None:
    """So that what holds of them holds of every command and of the page."""
    writing = {
        "write_bytes",
        "write_text",
        "touch",
        "rename",
        "replace",
        "copy",
        "copyfile",
        "move",
    }
    found = []
    for path in sorted((ROOT / "src").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
            owner = node.func.value if isinstance(node.func, ast.Attribute) else None
            of_files = isinstance(owner, ast.Name) and owner.id in (
                "os",
                "shutil",
                "path",
                "target",
            )
            plain_open = isinstance(node.func, ast.Name) and node.func.id == "open"
            if (
                plain_open
                or name in ("write_bytes", "write_text")
                or (of_files and name in writing)
            ):
                found.append(f"{path.relative_to(ROOT / 'src' / 'standclear')}:{name or 'open'}")
    assert sorted(set(found)) == [
        "files.py:replace",
        "page/entry/checking.py:write_bytes",  # into a folder of its own that is taken away again
    ]


@pytest.fixture
def pin(tmp_path: Path) -> Path:
    shutil.copytree(PIN, tmp_path / "pin")
    return tmp_path / "pin"


@pytest.mark.parametrize(
    "words",
    [
        ("prove", "--draw", "x.svg"),
        ("prove", "--keep"),
        ("draw", "-o", "x.png"),
        ("sheet", "-o", "x.pdf"),
        ("amend", "--lift"),
    ],
)
def test_a_full_disk_ends_a_command_with_a_clear_error(
    words: tuple[str, ...], pin: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    before = tree(pin)
    monkeypatch.chdir(pin.parent)
    monkeypatch.setattr(on_disk.os, "fsync", full)
    result = run(words[0], pin, *words[1:])
    assert result.exit_code == 2, result.stdout
    assert "the file cannot be written (No space left on device)" in result.stderr
    assert "Traceback" not in result.stderr + result.stdout
    assert tree(pin) == before and not (pin.parent / "x.svg").exists()


@pytest.mark.parametrize("name", ["job.toml", "pin.nc", "tools.toml"])
@pytest.mark.parametrize(
    "command", [("prove",), ("prove", "--lines"), ("plan",), ("amend",), ("time",)]
)
def test_a_file_that_changes_meanwhile_gives_no_answer(
    name: str, command: tuple[str, ...], pin: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = standclear.judge

    def saved_meanwhile(*given: Any, **named: Any) -> Any:
        (pin / name).write_bytes((pin / name).read_bytes() + b"\n")
        return real(*given, **named)

    monkeypatch.setattr(standclear, "judge", saved_meanwhile)
    for module in ("archive.row", "plan.setting.plan"):
        monkeypatch.setattr(f"standclear.{module}.judge", saved_meanwhile)
    result = run(
        command[0], pin, *command[1:], *(("--at-once", "1") if "--lines" in command else ())
    )
    assert result.exit_code == 2
    assert "the file changed while it was proved" in result.stdout + result.stderr
    assert '"clear"' not in result.stdout and "clear:" not in result.stdout


def test_two_runs_at_once_keep_both_answers(pin: Path) -> None:
    command = [sys.executable, "-m", "standclear.cli", "prove", str(pin), "--keep"]
    runs = [subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
            for _ in range(3)]  # fmt: skip
    for each in runs:
        _, said = each.communicate(timeout=300)
        assert each.returncode == 0 and b"kept as" in said
    kept = list((pin / "proofs").glob("*.json"))
    assert len(kept) == 3
    assert {json.loads(path.read_text())["verdict"] for path in kept} == {"clear"}
    assert not [p for p in (pin / "proofs").iterdir() if p.name.startswith(".")]


def test_two_runs_at_once_never_write_one_over_the_other(tmp_path: Path) -> None:
    path, taken = tmp_path / "b", []

    def write(number: int) -> None:
        try:
            write_new(path, bytes([number]) * 50_000)
        except FileError:
            taken.append(number)

    threads = [threading.Thread(target=write, args=(n,)) for n in range(1, 9)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(taken) == 7
    data = path.read_bytes()
    assert len(data) == 50_000 and len(set(data)) == 1 and data[0] not in taken
