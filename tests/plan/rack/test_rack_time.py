"""What another bar takes, by hand: spindle 800, feed 0.2, so 160 mm/min."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.proof.proof_shop import files_of

import standclear
from standclear.plan.rack.check import check_rack
from standclear.plan.rack.rack_file import Rack, Stock
from standclear.plan.rack.timing import bar_time, own_time
from standclear.plan.windows.stock import stock_windows
from standclear.proof.result import WordChange
from standclear.report.plan.rack import rack_lines

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


def test_machine_and_material_of_a_bar_are_told_together() -> None:
    """3 m of round 40 at 10 a metre, saw cuts of 2 and no trim: 48 blanks of 60, so 0.625 a blank;
    the machine at 60 an hour beside it."""
    files = files_of(FACE, more="shop = { machine_rate = 60.0 }")
    held = standclear.hold(files)
    stock = Stock(size=40.0, length=3000.0, price_per_metre=10.0)
    (window, *_) = stock_windows(held, files.job, standclear.judge(held, files.job))
    (row,) = check_rack(held, files.job, Rack(units="mm", kerf=2.0, stock=[stock]), window)
    time = bar_time(held, files.job, own_time(held, files.job), (), None)
    told = "\n".join(line.text for line in rack_lines([replace(row, time=time)], "mm"))
    machine = time.seconds.lo / 60
    assert f"machine {machine:.2f} a part, with its material {machine + 0.625:.2f}" in told


def test_the_jobs_own_blank_takes_nothing_more() -> None:
    files = files_of(FACE)
    held = standclear.hold(files)
    found = bar_time(held, files.job, own_time(held, files.job), (), None)
    assert (found.more.lo, found.more.hi) == (0.0, 0.0)
    assert found.cost is None
