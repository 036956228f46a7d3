"""Every code has one program that draws it and one near miss that does not."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from finding_cases import CASES, Case, Edit

from standclear.findings.finding import Verdict
from standclear.findings.pages import codes
from standclear.report.words import finding_sentence


def toml_value(value: Any) -> str:
    """`value` as TOML on one line."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml_value(v)}" for key, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(each) for each in value) + "]"
    return json.dumps(value)


def proved(edit: Edit, folder: Path) -> Any:
    """The proof of the edited job, written to `folder`."""
    from standclear.job.read import read_job
    from standclear.proof.prove import prove

    (folder / "case.nc").write_text(edit.text())
    lines = [f"{key} = {toml_value(value)}\n" for key, value in edit.job().items()]
    (folder / "job.toml").write_text("".join(lines))
    return prove(read_job(folder))


def codes_of(edit: Edit, folder: Path) -> set[str]:
    """Codes of all findings of the edited job."""
    return {finding.code for finding in proved(edit, folder).findings}


def test_every_code_has_a_case() -> None:
    assert sorted(case.code for case in CASES) == sorted(codes())


def test_the_base_is_clear_and_draws_nothing(tmp_path: Path) -> None:
    answer = proved(Edit(), tmp_path)
    assert answer.findings == ()
    assert answer.verdict is Verdict.CLEAR


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.code)
def test_is_drawn(case: Case, tmp_path: Path) -> None:
    assert case.code in codes_of(case.draws, tmp_path)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.code)
def test_near_miss_is_not_drawn(case: Case, tmp_path: Path) -> None:
    assert case.code not in codes_of(case.misses, tmp_path)


def test_a_start_inside_says_how_far_behind_and_under(tmp_path: Path) -> None:
    # X43. in a bar of 44: 1.0 on diameter; Z4.5 in 6.5 at the back: 2.0.
    inside = next(case for case in CASES if case.code == "start-inside-metal")
    found = proved(inside.draws, tmp_path).findings
    said = next(finding_sentence(f, "mm") for f in found if f.code == inside.code)
    assert "X 1.0 mm under the diameter, Z 2.0 mm behind the face; wanted" in said


def test_skin_that_a_motion_not_followed_may_take_off_only_may_stay(tmp_path: Path) -> None:
    label_missing = next(case for case in CASES if case.code == "label-missing")
    skin = [f for f in proved(label_missing.draws, tmp_path).findings if f.code == "face-left-raw"]
    assert skin
    assert all("may stay" in f.message for f in skin)
