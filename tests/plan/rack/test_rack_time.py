"""What another bar takes, by hand: spindle 800, feed 0.2, so 160 mm/min."""

from __future__ import annotations

import pytest
from tests.proof.proof_shop import files_of

import standclear
from standclear.plan.rack.timing import bar_time, own_time
from standclear.proof.result import WordChange

FACE = "G00 X44. Z0.5\nG01 X-1. F0.2\nG00 Z3.\nG28 U0 W0\n"


def test_a_start_further_out_takes_the_air_it_adds() -> None:
    """From X44 to X48 the feed is 2 longer on radius: 2 / 160 of a minute, 0.75 s; at 60 an hour
    0.0125 more of money."""
    files = files_of(FACE, more="shop = { machine_rate = 60.0 }")
    held = standclear.hold(files)
    own = own_time(held, files.job)
    (line,) = [
        number
        for number, text in enumerate(files.programs["one.nc"].decode().splitlines(), 1)
        if text == "G00 X44. Z0.5"
    ]
    change = WordChange("one", "one.nc", line, 5, "X44.", "X48.", "")
    thick = files.job.model_copy(
        update={"blank": files.job.blank.model_copy(update={"size": 44.0})}
    )
    found = bar_time(held, thick, own, (change,), None)
    assert (found.more.lo, found.more.hi) == pytest.approx((0.75, 0.75))
    assert found.cost is not None
    assert found.cost.lo == pytest.approx(found.seconds.lo / 60)


def test_the_jobs_own_blank_takes_nothing_more() -> None:
    files = files_of(FACE)
    held = standclear.hold(files)
    found = bar_time(held, files.job, own_time(held, files.job), (), None)
    assert (found.more.lo, found.more.hi) == (0.0, 0.0)
    assert found.cost is None
