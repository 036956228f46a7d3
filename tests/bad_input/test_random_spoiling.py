"""Spoilt jobs and programs: an answer or a clear refusal, never a fault of ours."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from spoiling import FOLDERS, copy_of, spoilt_bytes, spoilt_table

import standclear
from standclear.drawing.section.sheet import sheet
from standclear.drawing.writers.svg import to_svg
from standclear.errors import StandclearError
from standclear.findings.finding import Verdict
from standclear.report.json_answer import answer, to_json
from standclear.report.lines import plain
from standclear.report.text import lines

pytestmark = pytest.mark.filterwarnings("error::RuntimeWarning")
SEEDS = range(40)


def answered(folder: Path) -> None:
    """Prove and report every way. Whatever is raised but a refusal fails the test."""
    try:
        proof = standclear.prove(standclear.read_job(folder))
    except StandclearError as refusal:
        for fault in str(refusal).splitlines():
            # File, key or line, what was found, what is accepted.
            assert re.search(r"\S+: .+: \S", fault), fault
        return
    assert proof.verdict in set(Verdict)
    said = plain(lines(proof))
    assert not re.search(r"\b(nan|inf)\b|\{", said)
    to_json(answer(proof))
    to_svg(sheet(proof))


def spoil_one(folder: Path, suffix: str, rng: random.Random) -> Path:
    return rng.choice(sorted(each for each in folder.iterdir() if each.suffix == suffix))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_spoilt_program_is_answered_or_refused(seed: int, tmp_path: Path) -> None:
    rng = random.Random(seed)
    folder = copy_of(rng.choice(FOLDERS), tmp_path)
    program = spoil_one(folder, ".nc", rng)
    program.write_bytes(spoilt_bytes(rng, program.read_bytes()))
    answered(folder)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_job_with_spoilt_values_is_answered_or_refused(seed: int, tmp_path: Path) -> None:
    rng = random.Random(1000 + seed)
    folder = copy_of(rng.choice(FOLDERS), tmp_path)
    file = spoil_one(folder, ".toml", rng)
    file.write_bytes(spoilt_table(rng, file.read_bytes()))
    answered(folder)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_job_with_spoilt_text_is_answered_or_refused(seed: int, tmp_path: Path) -> None:
    rng = random.Random(2000 + seed)
    folder = copy_of(rng.choice(FOLDERS), tmp_path)
    file = spoil_one(folder, ".toml", rng)
    file.write_bytes(spoilt_bytes(rng, file.read_bytes()))
    answered(folder)
