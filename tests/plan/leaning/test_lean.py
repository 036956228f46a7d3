"""What a verdict leans on, against sums by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.plan.tiny_job import write_tiny

import standclear
from standclear.job.placing import place_setups
from standclear.plan.leaning.lean import Lean, _can_be, leaning
from standclear.plan.leaning.measurement import Kind, Measurement, measurements, widened
from standclear.plan.windows.stock import stock_windows

EXAMPLES = Path(__file__).parents[3] / "examples"


def leans(folder: Path, **blank: object) -> tuple[standclear.Held, tuple[Lean, ...]]:
    files = standclear.read_job(folder)
    if blank:
        job = files.job.model_copy(update={"blank": files.job.blank.model_copy(update=blank)})
        files = replace(files, job=job)
    held = standclear.hold(files)
    return held, leaning(held, files.job, standclear.judge(held, files.job), count=4)


def test_one_face_by_hand(tmp_path: Path) -> None:
    """The sums stand in `tiny_job`. Steps are 0.01, those of a touch-off as listed."""
    _, found = leans(write_tiny(tmp_path / "job"))
    assert [(x.measurement.kind, x.clear_to, x.fails_at, x.towards) for x in found] == [
        (Kind.ZERO, 0.5, 0.51, -1),
        (Kind.TOUCH_OFF, 0.5, 0.75, 0),
        (Kind.SIZE, 42.0, 42.01, 0),
        (Kind.RUN_OUT, 2.0, 2.01, 0),
    ]
    assert {x.failed.verdict for x in found} == {standclear.Verdict.CONTACT}


def test_windows_change_nothing_but_the_number_of_trials(tmp_path: Path) -> None:
    held, bare = leans(write_tiny(tmp_path / "job"))
    proof = standclear.judge(held, held.files.job)
    windows = stock_windows(held, held.files.job, proof)
    guided = leaning(held, held.files.job, proof, windows, count=4)
    assert [(x.measurement, x.fails_at) for x in guided] == [
        (x.measurement, x.fails_at) for x in bare
    ]


def test_a_tolerance_is_used_up_before_it_counts(tmp_path: Path) -> None:
    """Bar 40 +1.5/0: from 41.5 only 0.505 is left to 42.005, as little as the zero has. A run-out
    of 0.4 takes 0.4 of that; it then fails where it alone has taken 0.505: at 0.51."""
    _, found = leans(write_tiny(tmp_path / "a"), size_tolerance=(0.0, 1.5))
    by_kind = {x.measurement.kind: x for x in found}
    assert (by_kind[Kind.SIZE].fails_at, by_kind[Kind.SIZE].slack) == (42.01, 0.51)
    _, found = leans(write_tiny(tmp_path / "b"), size_tolerance=(0.0, 1.5), run_out=0.4)
    by_kind = {x.measurement.kind: x for x in found}
    assert by_kind[Kind.RUN_OUT].fails_at == 0.51
    assert by_kind[Kind.SIZE].fails_at == 41.61
    assert next(iter(by_kind)) is Kind.TOUCH_OFF or by_kind[Kind.SIZE].slack == 0.11


def test_nothing_leans_on_a_verdict_that_is_not_clear(tmp_path: Path) -> None:
    assert leans(write_tiny(tmp_path / "job"), size=43.0)[1] == ()


def test_no_blank_is_asked_about_that_cannot_be(tmp_path: Path) -> None:
    """A bar of 2 is not tried 5 smaller, nor a tube of 40 with a bore of 38 with one of 40."""
    held, _ = leans(write_tiny(tmp_path / "job"))
    job = held.files.job
    thin = job.model_copy(update={"blank": job.blank.model_copy(update={"size": 2.0})})
    tube = job.model_copy(
        update={"blank": job.blank.model_copy(update={"shape": "tube", "bore": 38.0})}
    )
    by_way = {(m.kind, m.way): m for m in measurements(thin)}
    assert not _can_be(by_way[Kind.SIZE, -1], thin, 2.0)
    assert _can_be(by_way[Kind.SIZE, -1], thin, 1.9)
    by_way = {(m.kind, m.way): m for m in measurements(tube)}
    assert not _can_be(by_way[Kind.BORE, 1], tube, 2.0)
    assert _can_be(by_way[Kind.BORE, 1], tube, 1.9)
    assert not _can_be(by_way[Kind.SIZE, -1], tube, 2.0)


@pytest.mark.parametrize("kind", [Kind.SIZE, Kind.LENGTH, Kind.RUN_OUT, Kind.ZERO])
def test_further_out_holds_all_that_lies_nearer(kind: Kind) -> None:
    """The placing of a wider range holds that of a narrower: so clear there is clear here."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    job = held.files.job
    for wrong in (m for m in measurements(job) if m.kind is kind):
        before = place_setups(job)
        for by in (0.1, 0.35, 1.0):
            after = place_setups(widened(held, job, wrong, by)[1])
            for old, new in zip(before, after, strict=True):
                assert new.raw_face.lo <= old.raw_face.lo <= old.raw_face.hi <= new.raw_face.hi
                assert new.stop_plane.lo <= old.stop_plane.lo
                assert new.stop_plane.hi >= old.stop_plane.hi
                assert new.strike_radius >= old.strike_radius
                assert new.cleanup_radius <= old.cleanup_radius
            before = after
        assert widened(held, job, wrong, 0.0)[1] == job


def test_a_tool_touched_off_wrong_is_swept_so() -> None:
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    wrong = Measurement(Kind.TOUCH_OFF, 1, 0, 0.0, 0.0, False)
    other, job = widened(held, held.files.job, wrong, 0.25)
    assert job is held.files.job
    for readings in other.readings:
        for reading in readings:
            bounds = dict(zip((use.tool for use in reading.trace.tools), reading.wear, strict=True))
            assert bounds[1] == 0.25
            assert bounds.get(0, 0.0) == 0.0
            assert max(layer.grow for layer in reading.keep.layers) == 0.25


def test_blanks_up_to_the_limit_are_clear_and_at_it_not(tmp_path: Path) -> None:
    """Not a wider range but single blanks: each up to `clear_to` is clear, that of `fails_at` is
    struck; the same for zeros, a face that stands out by as much more."""
    held, found = leans(write_tiny(tmp_path / "job"))
    limits = {lean.measurement.kind: lean for lean in found}
    size, zero = limits[Kind.SIZE], limits[Kind.ZERO]
    for bar in (40.0, 40.7, 41.5, 41.99, size.clear_to):
        assert standclear.ask(held, bar=bar).verdict is standclear.Verdict.CLEAR
    assert standclear.ask(held, bar=size.fails_at).verdict is standclear.Verdict.CONTACT
    for off in (0.1, 0.37, zero.clear_to):
        for way in (-1, 1):
            face = 1.0 + way * off
            assert standclear.ask(held, face=face).verdict is standclear.Verdict.CLEAR
    assert standclear.ask(held, face=1.0 + zero.fails_at).verdict is standclear.Verdict.CONTACT
    assert standclear.ask(held, face=1.0 - zero.fails_at).verdict is standclear.Verdict.CLEAR
