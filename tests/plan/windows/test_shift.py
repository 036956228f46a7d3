"""Shift windows against sums by hand and against proofs bisected on either side."""

from __future__ import annotations

from pathlib import Path

import pytest
from unseated import unseated_pin

import standclear
from standclear.job.models import Job, Zero
from standclear.plan.windows.shift import Shifted, ShiftWindow, shift_windows

EXAMPLES = Path(__file__).parents[3] / "examples"
FINE = 3e-3
"""mm: sweeps are known within 0.001 a side."""
RAW = {"face-left-raw", "diameter-left-raw", "band-left"}


def windows(name: str, **sizes: float) -> tuple[standclear.Held, Job, tuple[ShiftWindow, ...]]:
    held = standclear.hold(standclear.read_job(EXAMPLES / name))
    job = held.files.job
    if sizes:
        job = job.model_copy(update={"blank": job.blank.model_copy(update=sizes)})
    return held, job, shift_windows(held, job, standclear.judge(held, job))


def test_the_pin_by_hand() -> None:
    """Front 2.0, of which 0.05 touching + 0.2 lean + 0.01 to count as cut may not go: 1.74 away.
    Back 83 - 79 - 2 = 2.0, of which 0.2 saw, 0.2 lean, 0.05 touching, 0.01: 1.54 towards.
    Jaws' front at -57 and 0.25 nearer at most, deepest pass at -53: 3.75, and 0.005 contact limit.
    The second zero: length 79.0 +/- 0.1, known exactly on the stop: 0.1 either way; its jaws' front
    at -39.0, deepest pass at -28: 11.0, and 0.005.
    """
    _, _, (front, back) = windows("demo-pin")
    assert front.offsets == ("G54",) and back.offsets == ("G55",)
    assert front.toward is not None and front.away is not None
    assert (front.toward.by, front.away.by) == pytest.approx((1.54, 1.74), abs=FINE)
    assert (front.toward.stops[0].setup, front.toward.stops[0].against) == ("back end", "face")
    assert (front.away.stops[0].setup, front.away.stops[0].against) == ("front end", "face")
    jaws = {s.setup: s.by for s in front.toward.stops if s.against == "jaws"}
    assert jaws == {"front end": pytest.approx(3.755, abs=FINE)}
    assert back.toward is not None and back.away is not None
    assert (back.toward.by, back.away.by) == pytest.approx((0.1, 0.1), abs=FINE)
    assert {side.stops[0].against for side in (back.toward, back.away)} == {"length"}
    jaws = {s.setup: s.by for s in back.toward.stops if s.against == "jaws"}
    assert jaws == {"back end": pytest.approx(11.005, abs=FINE)}


def test_metal_stops_a_shift_by_hand() -> None:
    """The tool comes down at Z5; the raw face stands at 2.05 at most. Bar 52 is struck at X51 as
    soon as the face reaches the nose, so that the zero is not good as it stands."""
    _, _, (front, back) = windows("demo-pin", size=52.0)
    assert front.toward is None and front.away is None
    assert "strikes (metal)" in front.why
    assert back.toward is None


@pytest.mark.parametrize("name", ["demo-pin", "sleeve", "inch-flange"])
def test_proofs_on_either_side_of_each_stop(name: str) -> None:
    """Each first stop but that of length lies where proofs, bisected, change from clear and clean
    to not."""
    held, job, found = windows(name)
    for number, window in enumerate(found):
        shifted = Shifted(job, (number,))
        if not shifted.has_number:
            continue
        for sign, side in ((1.0, window.toward), (-1.0, window.away)):
            assert side is not None
            if side.stops[0].against == "length":
                continue
            good, bad = 0.0, side.by + 0.5
            while bad - good > 2e-3:
                middle = (good + bad) / 2
                proof = standclear.judge(held, shifted.at(sign * middle, job.blank.size))
                raw = {f.code for f in proof.findings} & RAW
                if proof.verdict is standclear.Verdict.CLEAR and not raw:
                    good = middle
                else:
                    bad = middle
            assert side.by == pytest.approx(good, abs=2 * FINE), (name, window.setups, sign)


def test_a_nominal_second_end_makes_the_part_shorter_by_hand() -> None:
    """With 2.0 keyed in from the raw back the finished length is 83 - 2 - 2 = 79 +/- 0.2 saw and
    more: already off as it stands. Known to the thousandth it is 79.0 +/- 0.1, and a first zero
    moved by 0.1 either way takes that up."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    job = held.files.job
    second = Zero(way="nominal", face_allowance=2.0)
    setups = [job.setup[0], job.setup[1].model_copy(update={"zero": second})]
    job = job.model_copy(update={"setup": setups})
    found = shift_windows(held, job, standclear.judge(held, job))
    assert found[0].toward is None and "(length)" in found[0].why
    exact = {"length_tolerance": (0.0, 0.0), "out_of_square": 0.0}
    zero = job.setup[0].zero.model_copy(update={"error": 0.0})
    setups[0] = setups[0].model_copy(update={"zero": zero})
    job = job.model_copy(update={"setup": setups, "blank": job.blank.model_copy(update=exact)})
    first, second_zero = shift_windows(held, job, standclear.judge(held, job))
    for window in (first, second_zero):
        assert window.toward is not None and window.away is not None
        assert (window.toward.by, window.away.by) == pytest.approx((0.1, 0.1), abs=FINE)
        assert window.toward.stops[0].against == window.away.stops[0].against == "length"


def test_a_part_that_cannot_sit_leaves_its_zero_no_window(tmp_path: Path) -> None:
    for window in windows(unseated_pin(tmp_path))[2]:
        assert window.toward is None and window.away is None
        assert window.why == "the part cannot sit in set-up back end"
