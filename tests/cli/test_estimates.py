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


def test_a_clearance_point_further_out_has_its_price_beside_the_jobs(tmp_path: Path) -> None:
    """The same cuts from 4 further out in X and 3 in Z: more air, the same metal, the same bar."""
    further = tmp_path / "further.nc"
    text = (PIN / "pin.nc").read_text().replace("X51. Z5.", "X55. Z8.")
    further.write_text(text)
    status, words, _ = run("cost", str(PIN), "--program", str(further), "--json")
    assert status == 0
    as_it_is, out = json.loads(words)
    assert (as_it_is["title"], out["title"]) == ("as it is", "further.nc")
    assert out["time"][0] > as_it_is["time"][0] + 5
    assert out["cost"]["machine"][0] > as_it_is["cost"]["machine"][0]
    assert out["cost"]["material"] == as_it_is["cost"]["material"]
    _, words, _ = run("cost", str(PIN), "--program", str(further))
    (more,) = [line for line in words.splitlines() if line.strip().startswith("against") and "s" in
               line.split()[-1]]  # fmt: skip
    assert "+" in more


def test_two_orders_of_the_ends_stand_side_by_side(tmp_path: Path) -> None:
    """As two jobs: each with its own program, verdict and cost."""
    status, words, _ = run("cost", str(PIN), str(PIN.parent / "threaded-stud"))
    assert status == 0
    assert "demo-pin" in words.splitlines()[1] and "threaded-stud" in words.splitlines()[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--program", "none.nc"), "there is no such file"),
        (("--program", "pin.nc", "--of", "other.nc"), "say with --of which program it is: pin.nc"),
        (("--program", "pin.nc", str(PIN)), "beside the program of one job"),
    ],
)
def test_a_program_that_cannot_stand_beside_gets_a_clear_word(
    words: tuple[str, ...], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(PIN)
    status, _, told = run("cost", str(PIN), *words)
    assert status == 2
    assert said in " ".join(told.split())


def test_what_another_material_would_ask_for_is_beside_and_instead() -> None:
    """Aluminium cuts at less than half of the force of C45; both stand in the table, and as the
    material asked for one of them is the job's."""
    _, words, _ = run("load", str(PIN), "--json")
    found = json.loads(words)
    others = {o["material"]["name"]: o["force"] for o in found["others"]["materials"]}
    own = max(t["force"][1] for s in found["setups"] for t in s["tools"])
    assert others["C45"][1] == pytest.approx(own, rel=0.05)
    assert others["wrought aluminium"][1] < 0.5 * others["C45"][1]
    status, words, _ = run("load", str(PIN), "--material", "6061")
    assert status == 0
    assert "As if the bar were 6061" in words
    assert "wrought aluminium (ISO 513 N)" in words


def test_every_limit_names_its_motion(tmp_path: Path) -> None:
    folder = tmp_path / "pin"
    shutil.copytree(PIN, folder)
    machine = folder / "machine.toml"
    machine.write_text(machine.read_text().replace("spindle_power = 7.5", "spindle_power = 0.3"))
    status, words, _ = run("load", str(folder))
    assert status == 1
    assert "4 limits reached, or may be" in words
    assert "set-up front end, line 15, T01: spindle power" in words
    _, text, _ = run("load", str(folder), "--json")
    assert all(limit["motion"] >= 0 for limit in json.loads(text)["limits"])


def test_a_time_that_misses_what_could_be_stated_says_at_least() -> None:
    _, words, _ = run("time", str(PIN.parent / "threaded-stud"))
    assert words.startswith("one part: at least 1 min")
    assert "feed with T03, line 81: 11.4 s in air" in words
    assert "rapids to or from home, 4 in set-up shank, 8 in set-up thread" in words
    _, words, _ = run("time", str(PIN))
    assert "at least" not in words


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
