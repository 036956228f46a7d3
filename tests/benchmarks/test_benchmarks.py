"""The benchmarks measure what they say: sound jobs, on which replay and proof agree."""

from __future__ import annotations

import pytest
from benchmarks.jobs import contour, staircase, two_sided
from benchmarks.proving import KINDS, measure
from benchmarks.table import markdown, spread

from standclear import Verdict, hold, judge


def test_a_figure_has_its_spread() -> None:
    assert spread([4.0, 1.0, 2.0]) == "2.00 (1.00 to 4.00)"
    assert spread([1234.5], 0) == "1,234"


def test_columns_stand_in_line() -> None:
    assert markdown(("job", "s"), [("a", "10.5"), ("long", "2")]).splitlines() == [
        "| job  |    s |",
        "| ---- | ---: |",
        "| a    | 10.5 |",
        "| long |    2 |",
    ]


@pytest.mark.parametrize("make", [staircase, contour, two_sided])
def test_a_job_has_about_as_many_motions_as_are_asked_for(make) -> None:  # type: ignore[no-untyped-def]
    held = hold(make(400))
    motions = sum(len(r.trace.motions) for readings in held.readings for r in readings)
    assert 380 <= motions <= 480
    assert judge(held, held.files.job).verdict is Verdict.CLEAR


@pytest.mark.parametrize("kind", list(KINDS))
def test_replay_and_proof_agree_and_both_take_time(kind: str) -> None:
    (found,) = measure(KINDS[kind](80), 1)
    assert min(found.replay, found.proof, found.blank, found.zero) > 0


def test_a_benchmark_whose_two_answers_differ_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchmarks.proving.replay", lambda *_: [1])
    with pytest.raises(SystemExit, match="differ"):
        next(measure(contour(80), 1))
