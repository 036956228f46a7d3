from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from typer.testing import CliRunner, Result

import standclear
from standclear.cli import app
from standclear.errors import Fault, JobError
from standclear.findings.finding import Severity
from standclear.findings.pages import codes
from standclear.proof.result import JobProof
from standclear.report.json_answer import Answer

sys.path.insert(0, str(Path(__file__).parents[1] / "report"))
from fixture_proof import clear_pin, pin

Answers = Callable[[dict[str, JobProof | BaseException]], list[dict[str, Any]]]


def run(*words: str) -> Result:
    return CliRunner().invoke(app, list(words), env={"COLUMNS": "80"})


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> Answers:
    """Put a ready proof, or an error, in place of reading and proving; returns what was asked."""

    def put(by_name: dict[str, JobProof | BaseException]) -> list[dict[str, Any]]:
        asked: list[dict[str, Any]] = []

        def read_job(path: Path, **options: Any) -> SimpleNamespace:
            asked.append({"path": path} | options)
            folder = path if path.is_dir() else path.parent
            return SimpleNamespace(path=path, job=None, folder=folder, files={})

        def hold(files: SimpleNamespace) -> SimpleNamespace:
            return SimpleNamespace(files=files)

        def judge(held: SimpleNamespace, job: None) -> JobProof:
            said = by_name[held.files.path.name]
            if isinstance(said, BaseException):
                raise said
            return said

        def mend(held: SimpleNamespace, job: None, proof: JobProof) -> JobProof:
            asked[-1]["mended"] = True
            return proof

        for stage in (read_job, hold, judge, mend):
            monkeypatch.setattr(standclear, stage.__name__, stage, raising=False)
        return asked

    return put


def broken_job() -> JobError:
    return JobError(
        [
            Fault("job.toml", "blank.size", "-5", "give a number greater than 0"),
            Fault("job.toml", "units", "missing", 'give "mm" or "inch"'),
        ]
    )


@pytest.mark.parametrize(
    ("jobs", "status"),
    [
        (["good"], 0),
        (["bad"], 1),
        (["broken"], 2),
        (["good", "bad"], 1),
        (["broken", "good"], 2),
        (["bad", "broken", "good"], 2),
    ],
)
def test_the_highest_status_of_several_jobs_counts(
    answers: Answers, jobs: list[str], status: int
) -> None:
    answers({"good": clear_pin(), "bad": pin(), "broken": broken_job()})
    assert run("prove", *jobs).exit_code == status


def test_every_fault_is_one_line_on_the_error_stream(answers: Answers) -> None:
    answers({"broken": broken_job()})
    told = run("prove", "broken")
    assert told.stdout == ""
    assert told.stderr.splitlines() == [
        "job.toml: blank.size is -5: give a number greater than 0",
        'job.toml: units is missing: give "mm" or "inch"',
    ]


def test_a_fault_of_ours_is_no_verdict_and_no_traceback(answers: Answers) -> None:
    answers({"odd": ZeroDivisionError("division by zero")})
    told = run("prove", "odd")
    assert told.exit_code == 2
    assert told.stdout == ""
    assert "odd: a fault in standclear itself" in told.stderr
    assert "no verdict" in told.stderr
    assert "Traceback" not in told.output


def test_a_job_that_no_memory_holds_is_no_answer(answers: Answers) -> None:
    answers({"huge": MemoryError()})
    told = run("prove", "huge")
    assert told.exit_code == 2
    assert told.stdout == ""
    assert told.stderr == (
        "huge: this machine has not the memory for it; no verdict: "
        "give a shorter program, or a machine with more\n"
    )


def test_a_run_stopped_by_hand_is_no_answer(answers: Answers) -> None:
    answers({"slow": KeyboardInterrupt()})
    told = run("prove", "slow")
    assert told.exit_code == 2
    assert "no verdict" in told.stderr


def test_the_bench_values_are_handed_on(answers: Answers) -> None:
    asked = answers({"pin": clear_pin()})
    run("prove", "pin", "--bar", "52", "--length", "86.5", "--face", "2.5", "--large")
    assert asked == [{"path": Path("pin"), "bar": 52.0, "length": 86.5, "face": 2.5, "large": True}]


@pytest.mark.parametrize(
    "words",
    [
        ["prove"],
        ["prove", "pin", "--bar", "thick"],
        ["prove", "pin", "--bar", "nan"],
        ["prove", "pin", "other", "--draw", "x.svg"],
        ["draw", "pin", "-o", "x.gif"],
        ["draw", "pin", "--of", "length", "--setup", "back"],
        ["draw", "pin", "--rack", "rack.toml"],
        ["draw", "pin", "--setup", "middle"],
        ["explain", "no-such-code"],
        ["schema", "tool"],
        ["polish"],
        [],
    ],
)
def test_wrong_usage_is_no_answer(answers: Answers, words: list[str]) -> None:
    answers({"pin": clear_pin(), "other": clear_pin()})
    told = run(*words)
    assert told.exit_code == 2
    assert "Traceback" not in told.output


def test_piped_words_are_plain_and_start_with_the_verdict(answers: Answers) -> None:
    answers({"pin": pin()})
    told = run("prove", "pin")
    assert told.stdout.startswith("contact: set-up front, line 8: ")
    assert "\x1b" not in told.stdout
    assert max(map(len, told.stdout.splitlines())) > 80


def test_json_for_one_job_is_an_answer_and_for_several_a_list(answers: Answers) -> None:
    answers({"pin": pin(), "good": clear_pin(), "broken": broken_job()})
    one = run("prove", "pin", "--json")
    assert Answer.model_validate_json(one.stdout).verdict == "contact"
    several = json.loads(run("prove", "pin", "broken", "good", "--json").stdout)
    assert [a["verdict"] for a in several] == ["contact", "clear"]
    assert run("prove", "broken", "--json").stdout == ""


def test_keep_leaves_a_dated_answer_with_the_files_and_writes_over_nothing(
    answers: Answers, tmp_path: Path
) -> None:
    folder = tmp_path / "pin"
    folder.mkdir()
    (folder / "job.toml").write_text("units = 'mm'\n")
    answers({"pin": pin()})
    for _ in range(2):
        assert run("prove", str(folder), "--keep").exit_code == 1
    kept = sorted((folder / "proofs").glob("*.json"))
    assert len(kept) == 2
    said = Answer.model_validate_json(kept[0].read_text())
    assert said.proved_at is not None
    assert {n: h for n, h in said.files.items() if n != "standclear"} == pin().files
    assert len(said.files["standclear"]) == 64
    assert (folder / "job.toml").read_text() == "units = 'mm'\n"


def test_keep_where_nothing_can_be_written_is_no_answer(answers: Answers, tmp_path: Path) -> None:
    (tmp_path / "proofs").write_text("in the way")
    answers({"job.toml": clear_pin()})
    told = run("prove", str(tmp_path / "job.toml"), "--keep")
    assert told.exit_code == 2
    assert "proofs" in told.stderr


@pytest.mark.parametrize("name", ["pin.svg", "pin.PNG", "pin.pdf", "pin.dxf"])
def test_draw_writes_a_picture_and_leaves_nothing_beside_it(
    answers: Answers, tmp_path: Path, name: str
) -> None:
    answers({"pin": pin()})
    target = tmp_path / name
    assert run("draw", "pin", "-o", str(target)).exit_code == 1
    assert target.read_bytes()[:5] in (b"<?xml", b"\x89PNG\r", b"%PDF-", b"  0\nS")
    assert [p.name for p in tmp_path.iterdir()] == [name]


def test_draw_without_a_file_gives_svg_of_the_wanted_set_up(answers: Answers) -> None:
    answers({"pin": clear_pin()})
    told = run("draw", "pin", "--setup", "back")
    assert told.exit_code == 0
    assert told.stdout.startswith("<?xml")
    assert "Set-up back" in told.stdout
    assert 'data-words="Set-up back' in told.stdout
    assert 'data-words="Set-up front' not in told.stdout


def test_prove_can_draw_as_well(answers: Answers, tmp_path: Path) -> None:
    answers({"pin": pin()})
    told = run("prove", "pin", "--draw", str(tmp_path / "pin.svg"))
    assert told.stdout.startswith("contact: ")
    assert (tmp_path / "pin.svg").exists()


def test_explain_gives_every_part_of_a_page() -> None:
    said = run("explain", "rapid-into-metal")
    assert said.exit_code == 0
    for part in ("What it checks", "Why it matters at the machine", "A better one", "Limits"):
        assert part in said.stdout
    page = json.loads(run("explain", "rapid-into-metal", "--json").stdout)
    assert page["code"] == "rapid-into-metal"
    assert page["matters"]


def test_explain_without_a_code_lists_all_with_a_line_each() -> None:
    said = run("explain")
    assert said.exit_code == 0
    assert [line.split(": ", 1)[0] for line in said.stdout.splitlines()] == list(codes())
    told = run("explain", "rapid-into-metal").stdout.splitlines()[0]
    assert told in said.stdout.splitlines()
    assert list(json.loads(run("explain", "--json").stdout)) == list(codes())


def test_runs_as_a_module() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "standclear", "--version"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 0
    assert told.stdout.startswith("standclear ")


def test_an_unknown_code_names_the_nearest() -> None:
    told = run("explain", "rapid-in-metal")
    assert told.exit_code == 2
    assert "rapid-into-metal" in told.stderr


@pytest.mark.parametrize(("of", "title"), [("job", "standclear job"), ("answer", "Answer")])
def test_schemas_are_printed_whole(of: str, title: str) -> None:
    told = run("schema", of)
    assert told.exit_code == 0
    assert json.loads(told.stdout)["title"] == title


def test_new_writes_a_starter_once(tmp_path: Path) -> None:
    assert run("new", str(tmp_path / "pin")).exit_code == 0
    before = {p: p.read_bytes() for p in (tmp_path / "pin").iterdir()}
    again = run("new", str(tmp_path / "pin"))
    assert again.exit_code == 2
    assert "left alone" in again.stderr
    assert {p: p.read_bytes() for p in (tmp_path / "pin").iterdir()} == before


def test_version_and_help_need_no_heavy_part() -> None:
    heavy = "numpy shapely pydantic"
    code = (
        "import sys\n"
        "from typer.testing import CliRunner\n"
        "from standclear.cli import app\n"
        "told = CliRunner().invoke(app, ['--version'])\n"
        "assert told.exit_code == 0 and told.stdout.startswith('standclear '), told.output\n"
        f"print([m for m in '{heavy}'.split() if m in sys.modules])\n"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"


def test_a_finding_the_job_allows_does_not_raise_the_status(answers: Answers) -> None:
    mend = replace(pin().findings[0], severity=Severity.MEND, allowed_because="measured")
    answers({"pin": replace(clear_pin(), findings=(mend,))})
    assert run("prove", "pin").exit_code == 0


def test_words_to_change_are_looked_for_only_by_prove_and_only_where_something_is_found(
    answers: Answers,
) -> None:
    asked = answers({"good": clear_pin(), "bad": pin()})
    run("prove", "good", "bad")
    run("draw", "bad")
    assert ["mended" in each for each in asked] == [False, True, False]
