"""The README is true: its commands print what it shows, its Python runs, its names exist."""

from __future__ import annotations

import doctest
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import typer

import standclear
from standclear.cli import app

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
LEFT_OUT = "..."


def fenced(language: str) -> list[str]:
    """Bodies of the fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def scenes(block: str) -> list[tuple[str, list[str]]]:
    """Commands of a console block, each with the lines shown under it."""
    found: list[tuple[str, list[str]]] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        else:
            found[-1][1].append(line)
    return found


def departs(shown: list[str], printed: list[str]) -> str:
    """Empty where `printed` is what `shown` says, else the shown line that does not come.

    A line of three dots stands for any number of lines.
    """
    at, anywhere = 0, False
    for line in shown:
        if line == LEFT_OUT:
            anywhere = True
            continue
        here = printed[at:] if anywhere else printed[at : at + 1]
        if line not in here:
            return line
        at, anywhere = at + here.index(line) + 1, False
    return "" if anywhere or at == len(printed) else f"nothing more, not {printed[at]!r}"


def test_departs_tells_what_does_not_come() -> None:
    printed = ["a", "b", "c", "d"]
    assert departs(["a", "...", "c", "d"], printed) == ""
    assert departs(["...", "d"], printed) == ""
    assert departs(["a", "c", "..."], printed) == "c"
    assert departs(["...", "c", "...", "b", "..."], printed) == "b"
    assert departs(["a", "b", "c"], printed) == "nothing more, not 'd'"


@pytest.mark.parametrize("block", fenced("console"))
def test_commands_print_what_is_shown(block: str, tmp_path: Path) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])
    for command, shown in scenes(block):
        done = subprocess.run(
            command,
            shell=True,
            cwd=tmp_path,
            env=os.environ | {"PATH": path, "PYTHONUTF8": "1"},
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        assert done.stderr == ""
        assert departs(shown, done.stdout.splitlines()) == "", command


@pytest.mark.parametrize("text", [*fenced("python"), standclear.__doc__])
def test_python_runs_as_shown(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    example = doctest.DocTestParser().get_doctest(text, {}, "README", "README.md", 0)
    assert example.examples
    said: list[str] = []
    doctest.DocTestRunner().run(example, out=said.append)
    assert "".join(said) == ""


def test_the_commands_and_the_folders_are_all_named() -> None:
    commands = typer.main.get_group(app).commands
    assert {name for name in commands if f"standclear {name} " not in README} == set()
    folders = {each.parent.name for each in (ROOT / "src/standclear").glob("*/__init__.py")}
    assert set(re.findall(r"^\| `(\w+)/` \|", README, re.MULTILINE)) == folders


def test_the_make_commands_exist() -> None:
    named = set(re.findall(r"(?:`|^    )make ([a-z]+)", README, re.MULTILINE))
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    goals = set(re.findall(r"^([a-z]+):", makefile, re.MULTILINE))
    assert {"demo", "test", "judge"} <= named <= goals
