"""The commands that estimate: words, JSON and refusals."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from standclear.cli import app

PIN = Path(__file__).parents[2] / "examples" / "demo-pin"


def run(*words: str) -> tuple[int, str, str]:
    told = CliRunner().invoke(app, list(words), env={"COLUMNS": "80"})
    return told.exit_code, told.stdout, told.stderr


@pytest.mark.parametrize("command", ["time", "load", "cost"])
def test_words_and_json_of_the_demo_pin(command: str) -> None:
    status, words, _ = run(command, str(PIN))
    assert status == 0
    assert words
    status, text, _ = run(command, str(PIN), "--json")
    assert status == 0
    assert json.loads(text)


@pytest.mark.parametrize("command", ["time", "load", "cost"])
def test_a_job_that_cannot_be_read_is_no_answer(command: str, tmp_path: Path) -> None:
    status, words, said = run(command, str(tmp_path))
    assert (status, words) == (2, "")
    assert "job.toml" in said


def test_two_bars_stand_side_by_side_and_one_that_strikes_says_so() -> None:
    status, words, _ = run("cost", str(PIN), "--bar", "48", "--bar", "52")
    assert status == 1
    assert "bar 48" in words and "bar 52" in words
    assert "not clear" in words


def test_a_job_that_strikes_is_timed_with_a_warning() -> None:
    status, words, _ = run("time", str(PIN), "--bar", "52")
    assert status == 0
    assert "The job is not clear (contact)" in words


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("tool_change = -1.0", "tool_change is -1: give a number, 0 or more"),
        ("bar = { length = 10.0 }", "price_per_metre or price_per_kilogram"),
        ("edges = [{ station = 1, price = 1.0, minutes = [5.0, 2.0] }]", "the lower one first"),
        (
            "edges = [{ station = 1, price = 1.0, minutes = [1.0, 2.0] }, "
            "{ station = 1, price = 1.0, minutes = [1.0, 2.0] }]",
            "each station once",
        ),
    ],
)
def test_a_fault_of_the_shop_names_file_and_key(line: str, said: str, tmp_path: Path) -> None:
    folder = tmp_path / "pin"
    shutil.copytree(PIN, folder)
    (folder / "shop.toml").write_text(line + "\n")
    status, _, told = run("cost", str(folder))
    assert status == 2
    assert "shop.toml" in told
    assert said in told
