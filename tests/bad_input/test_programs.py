"""Programs and blanks that are wrong or strange: findings and exit 1, never plain `clear`."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from spoiling import EXAMPLES, copy_of

import standclear
from standclear.findings.finding import Verdict
from standclear.proof.result import JobProof
from standclear.report.lines import plain
from standclear.report.text import lines
from standclear.report.words import exit_status

BEGIN = "%\nO1\nG21 G40 G99\nG28 U0. W0.\nT0101\nG54\nG97 S500 M03\nG00 X51. Z5.\n"
TURN = "G28 U0. W0.\nM05\nM00\n"


def proved(program: bytes, folder: Path) -> JobProof:
    """The demo job with another program."""
    job = copy_of("demo-pin", folder)
    (job / "pin.nc").write_bytes(program)
    return standclear.prove(standclear.read_job(job))


ROUGH = "G71 U1.6 R0.5\nG71 P{p} Q{q} U0.5 W0.1 F0.25\n"
PROFILE = "N100 G00 X40.\nN110 G01 Z-10.\nN170 X51.\n"


@pytest.mark.parametrize(
    ("code", "text"),
    [
        ("program-empty", ""),
        ("program-empty", "\n\n\n"),
        ("program-empty", "(ONLY)\n(COMMENTS)\n"),
        ("program-empty", "%\nO1\n%\n"),
        ("tool-missing", BEGIN.replace("T0101", "T0909") + TURN),
        ("label-missing", BEGIN + ROUGH.format(p=100, q=180) + PROFILE + TURN),
        ("label-doubled", BEGIN + ROUGH.format(p=100, q=170) + PROFILE + "N100 M08\n" + TURN),
        ("profile-crossed", BEGIN + ROUGH.format(p=170, q=100) + PROFILE + TURN),
        (
            "profile-stands-still",
            BEGIN + ROUGH.format(p=100, q=170) + PROFILE.replace("N100 G00 X40.", "N100 G00 X51."),
        ),
        ("endless-loop", BEGIN + "N5 G01 X50. F0.1\nGOTO 5\n"),
        ("endless-loop", BEGIN + "N5 G01 X50. F0.1\nM99 P5\n"),
        # The front end stands out 83 - 2 from the part zero at the most, the stop behind it.
        ("jaws-struck", BEGIN + "G00 Z-90.\n" + TURN),
        ("word-not-understood", BEGIN + "G01 X5..0 F0.1\n" + TURN),
        ("cannot-follow", BEGIN + "M98 P1000\n" + TURN),
        ("mark-missing", BEGIN + "G28 U0. W0.\nM30\n"),
    ],
)
def test_a_fault_of_the_program_is_a_finding(code: str, text: str, tmp_path: Path) -> None:
    proof = proved(text.encode(), tmp_path)
    found = [finding for finding in proof.findings if finding.code == code]
    assert found, [finding.code for finding in proof.findings]
    assert proof.verdict is not Verdict.CLEAR
    assert exit_status(proof) == 1
    assert all(finding.message and finding.cure for finding in found)


def random_words(rng: random.Random, count: int) -> str:
    """Lines of words that are well formed and mean nothing together."""
    rows = []
    for _ in range(count):
        numbers = [rng.choice([rng.randrange(100), round(rng.uniform(-60, 60), 2)])] * 4
        words = [f"{rng.choice('GXZUWRPQFSTMNIK')}{number}" for number in numbers]
        rows.append(" ".join(words[: rng.randrange(1, 5)]))
    return "\n".join(rows)


def random_signs(rng: random.Random, count: int) -> str:
    """Lines of any signs that can be printed, save those that end a program."""
    signs = [chr(n) for n in range(32, 127) if chr(n) not in "%Oo:"]
    return "\n".join("".join(rng.choices(signs, k=rng.randrange(20))) for _ in range(count))


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(random_words(random.Random(1), 20_000), id="20,000 lines of words"),
        pytest.param(BEGIN + random_signs(random.Random(2), 20_000), id="20,000 lines of signs"),
        pytest.param("G01 " + "X1. " * 100_000 + "\n", id="one block of 100,000 words"),
        pytest.param("(" + "A" * 1_000_000 + ")\n", id="one comment of a million signs"),
        pytest.param("G01 X" + "[" * 100_000 + "\n", id="100,000 brackets"),
        pytest.param(BEGIN + "G74 R.001\nG74 Z-50. Q1 F.1\n" + TURN, id="pecks of a micrometre"),
        pytest.param(
            BEGIN + "G71 U.0005 R1.\nG71 P100 Q170 U0.4\n" + PROFILE + TURN, id="foil for levels"
        ),
        pytest.param(
            BEGIN + "G71 U1. R1.\n" + "G71 P10 Q20 U.4\n" * 5_000 + TURN, id="5,000 lost labels"
        ),
    ],
)
def test_a_strange_program_is_answered_and_never_clear(text: str, tmp_path: Path) -> None:
    proof = proved(text.encode(), tmp_path)
    assert proof.verdict is not Verdict.CLEAR
    said = plain(lines(proof))
    # What a person reads stays readable, however much is wrong: a few pages, no endless line.
    assert len(said) < 100_000
    assert max(map(len, said.splitlines())) < 1_000


@pytest.mark.parametrize("bar", [0.5, 3000.0])
@pytest.mark.parametrize("length", [1.0, 5000.0])
def test_a_blank_of_the_wrong_order_is_answered(bar: float, length: float) -> None:
    proof = standclear.prove(standclear.read_job(EXAMPLES / "demo-pin", bar=bar, length=length))
    assert exit_status(proof) == 1
    assert plain(lines(proof))


def test_of_a_blank_shorter_than_what_is_faced_off_nothing_is_left(tmp_path: Path) -> None:
    # No jaws to strike: the front end faces off 2.0, and the blank is 1.0 long.
    folder = copy_of("demo-pin", tmp_path)
    job = folder / "job.toml"
    text = job.read_text()
    for name in ("hard", "soft"):
        text = text.replace(f'jaws = "{name}-jaws.toml"\n', "")
    job.write_text(text)
    proof = standclear.prove(standclear.read_job(folder, length=1.0))
    assert exit_status(proof) == 1
    lengths = [size.found for size in proof.sizes if size.name == "whole part"]
    assert lengths == [0.0]
