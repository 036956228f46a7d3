"""Guesses of the job file: each is a finding that keeps the answer from being clear."""

from __future__ import annotations

from pathlib import Path

import pytest

from standclear.findings.finding import Severity, Verdict
from standclear.job.read import read_job
from standclear.plan.amend.mend import mend
from standclear.proof.held import hold
from standclear.proof.prove import judge, prove
from standclear.proof.result import JobProof
from standclear.report.lines import plain
from standclear.report.text import lines
from standclear.report.words import exit_status, finding_sentence, headline

PIN = Path(__file__).parents[2] / "examples" / "demo-pin"


def proof_with(tmp_path: Path, guesses: str, *edits: tuple[str, str]) -> JobProof:
    for file in PIN.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    text = (tmp_path / "job.toml").read_text()
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "job.toml").write_text(text.replace("[blank]", f"guesses = {guesses}\n[blank]", 1))
    return prove(read_job(tmp_path))


def test_a_clear_job_is_unproven_while_one_guess_stands(tmp_path: Path) -> None:
    assert proof_with(tmp_path, "[]").verdict is Verdict.CLEAR
    proof = proof_with(tmp_path, '["blank.size"]')
    assert proof.verdict is Verdict.UNPROVEN
    assert {setup.verdict for setup in proof.setups} == {Verdict.UNPROVEN}
    assert exit_status(proof) == 1


def test_each_guess_is_named_once_with_its_value_in_the_unit_of_the_job(tmp_path: Path) -> None:
    named = '["blank.size", "setup[0].zero.way", "tools.T1", "blank.size", "no.such.key"]'
    proof = proof_with(tmp_path, named)
    found = [f for f in proof.findings if f.code == "guess-not-confirmed"]
    assert [finding_sentence(f, "mm") for f in found] == [
        "blank.size, 48.0 mm, is a guess that nobody has confirmed.",
        'setup[0].zero.way, "touch", is a guess that nobody has confirmed.',
        "tools.T1 is a guess that nobody has confirmed.",
        "no.such.key is a guess that nobody has confirmed.",
    ]
    assert {(f.severity, f.unproven) for f in found} == {(Severity.MEND, True)}
    assert finding_sentence(found[0], "inch").startswith("blank.size, 1.8898 in, is")
    said = plain(lines(proof))
    assert "take its name out of guesses" in said
    assert "What comes after this place" not in said


def test_a_strike_with_guesses_is_told_and_no_verdict(tmp_path: Path) -> None:
    thick = ("size = 48.0", "size = 52.0")
    assert proof_with(tmp_path, "[]", thick).verdict is Verdict.CONTACT
    proof = proof_with(tmp_path, '["blank.size"]', thick)
    assert proof.verdict is Verdict.UNPROVEN
    assert any(f.code == "rapid-into-metal" for f in proof.findings)


def test_no_word_of_the_program_is_offered_for_change_on_a_guess(tmp_path: Path) -> None:
    proof_with(tmp_path, '["blank.size"]', ("size = 48.0", "size = 52.0"))
    held = hold(read_job(tmp_path))
    assert mend(held, held.files.job, judge(held, held.files.job)).changes == ()


def test_what_could_not_be_followed_is_named_before_a_guess(tmp_path: Path) -> None:
    proof_with(tmp_path, '["blank.size"]')
    program = tmp_path / "pin.nc"
    program.write_text(program.read_text().replace("(FRONT END, ROUGH)", "G151 X1."))
    assert headline(prove(read_job(tmp_path))).startswith("unproven: set-up front end, line 5")


@pytest.mark.parametrize("guesses", ['"blank.size"', "[1]", '[""]'])
def test_a_list_of_names_is_asked_for(tmp_path: Path, guesses: str) -> None:
    with pytest.raises(Exception, match="guesses"):
        proof_with(tmp_path, guesses)


def test_a_value_given_beside_the_job_is_no_guess_of_its_file(tmp_path: Path) -> None:
    """Bar, length and face as measured stand in for the file's guesses; the others stay."""
    for file in PIN.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    named = ["blank.size", "blank.length", "setup[0].zero.face_allowance", "part.length"]
    text = (tmp_path / "job.toml").read_text()
    guesses = ", ".join(f'"{name}"' for name in named)
    (tmp_path / "job.toml").write_text(
        text.replace("[blank]", f"guesses = [{guesses}]\n[blank]", 1)
    )
    assert read_job(tmp_path).job.guesses == named
    assert read_job(tmp_path, bar=48.0).job.guesses == named[1:]
    assert read_job(tmp_path, length=83.0, face=2.0).job.guesses == ["blank.size", "part.length"]
