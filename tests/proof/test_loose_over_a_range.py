"""Metal that comes loose only of the longest blank there may be is loose all the same."""

from __future__ import annotations

from pathlib import Path

import pytest

import standclear
from standclear import Verdict
from standclear.job.models import Job

PIN = Path(__file__).parents[2] / "examples" / "demo-pin"


def verdict(length: float, spread: float) -> Verdict:
    """Of the pin, whose back face is cut in two passes: beyond the reach of the insert a slug of
    the raw end is cut free."""
    files = standclear.read_job(PIN, length=length)
    held = standclear.hold(files)
    blank = files.job.blank.model_copy(update={"length_tolerance": (-spread, spread)})
    job: Job = files.job.model_copy(update={"blank": blank})
    return standclear.judge(held, job).verdict


@pytest.mark.parametrize("length", [92.4, 92.8, 93.2])
def test_a_range_is_clear_only_if_its_longest_blank_is(length: float) -> None:
    longest = verdict(length + 0.2, 0.0)
    assert (verdict(length, 0.2) is Verdict.CLEAR) == (longest is Verdict.CLEAR)


def test_both_kinds_of_answer_are_among_them() -> None:
    assert verdict(92.4, 0.2) is Verdict.CLEAR
    assert verdict(92.8, 0.2) is Verdict.UNPROVEN
    assert verdict(92.6, 0.0) is Verdict.CLEAR
