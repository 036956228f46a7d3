"""The set-up's own work offset called where another one is in force."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from plan_shop import proved

from standclear.findings.finding import Verdict
from standclear.job.read import JobFiles, read_job
from standclear.plan.amend.amend import Amendment, amend

JOB = Path(__file__).parents[3] / "examples" / "second-end-offset"
PROGRAM = "boss.nc"
TURNED_ROUND = b"(FOOT END)\n"


def with_program(old: bytes, new: bytes) -> JobFiles:
    files = read_job(JOB)
    data = files.programs[PROGRAM]
    assert data.count(old) == 1
    return replace(files, programs={PROGRAM: data.replace(old, new)})


def amended(files: JobFiles) -> Amendment:
    held, proof = proved(files)
    assert "wrong-work-offset" in {f.code for f in proof.findings}
    return amend(held, files.job, proof)


def test_an_offset_left_out_is_called_in_front_of_the_first_motion() -> None:
    files = read_job(JOB)
    found = amended(files)
    assert found.after is Verdict.CLEAR and found.left == ()
    ((edit,), before) = found.edits, files.programs[PROGRAM]
    assert (edit.setup, edit.line, edit.old, edit.new) == ("foot end", 23, "", "G55")
    lines = before.splitlines(keepends=True)
    assert found.programs[PROGRAM] == b"".join([*lines[:22], b"G55\n", *lines[22:]])


@pytest.mark.parametrize(
    ("called", "mended"),
    [(b"G54\n", b"G55\n"), (b"G40 G56 G99\n", b"G40 G55 G99\n")],
)
def test_another_set_ups_word_is_changed(called: bytes, mended: bytes) -> None:
    files = with_program(TURNED_ROUND, TURNED_ROUND + called)
    found = amended(files)
    assert found.after is Verdict.CLEAR and found.left == ()
    assert [(e.line, e.new) for e in found.edits] == [(21, "G55")]
    assert found.programs[PROGRAM] == files.programs[PROGRAM].replace(
        TURNED_ROUND + called, TURNED_ROUND + mended
    )


def test_the_first_set_ups_word_is_left_alone() -> None:
    # Only the blocks of the set-up itself are looked at, however the first one calls its offset.
    files = read_job(JOB)
    assert files.programs[PROGRAM].count(b"G54") == 1
    assert amended(files).programs[PROGRAM].count(b"G54") == 1
