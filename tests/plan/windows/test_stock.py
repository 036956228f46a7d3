"""Stock windows against sums by hand and against proofs on either side of every edge."""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import pytest
import shapely
from unseated import unseated_pin

import standclear
from standclear.plan.rack.check import sizes_at
from standclear.plan.windows.clean_up import FACE_STAYS, SEAT_STAYS
from standclear.plan.windows.frames import Varied
from standclear.plan.windows.stock import CANNOT_SEAT, Window, stock_windows

EXAMPLES = Path(__file__).parents[3] / "examples"
LOOSE_TOLERANCES = 1.0
"""mm: more than face and size vary by over the tolerances of these jobs."""
FINE = 3e-3
"""mm: sweeps are known within 0.001 a side, and diameters double it."""


def windows(name: str) -> tuple[standclear.Held, tuple[Window, ...]]:
    held = standclear.hold(standclear.read_job(EXAMPLES / name))
    return held, stock_windows(held, held.files.job, standclear.judge(held, held.files.job))


def test_the_pin_by_hand() -> None:
    """Greatest size: the tool comes down at X51: 51 - 0.2 run-out + 2 x 0.005 contact
    limit = 50.81.
    Least: collar 45 + 0.16 (h11) + 0.2 run-out + 2 x 0.01 to count as cut = 45.38.
    Least face, front: 0.05 touching + 0.2 lean + 0.01 = 0.26. Greatest: the jaws' front at
    f + 0.05 + 0.2 + 24 - 83 ... stands 3.75 from the deepest pass with f = 2: 5.75 + 0.005.
    Least length: 0.2 saw + 0.05 touching + 0.2 lean + 0.01 over 79 + 2: 81.46.
    """
    _, (front, _, job) = windows("demo-pin")
    assert sizes_at(front, 2.0) == pytest.approx((45.38, 50.81), abs=FINE)
    x_min, _, x_max, _ = front.region.bounds
    assert (x_min, x_max) == pytest.approx((0.26, 5.755), abs=FINE)
    assert job.region.bounds[0] == pytest.approx(81.46, abs=FINE)
    jaws = [e for e in front.edges if e.against == "jaws"]
    assert {e.side for e in jaws} == {"strikes"}
    struck = [e.line for e in front.edges if e.against == "metal" and e.start[0] > 2 and e.line]
    assert set(struck) <= {10, 11}


def test_a_first_face_that_is_never_cut_is_told_at_the_second_end_too(tmp_path: Path) -> None:
    """The front's two facing cuts down to X20 only: its middle stays raw however far it stands out,
    and the part is seated on it."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "pin.nc").read_text()
    (folder / "pin.nc").write_text(text.replace("G94 X-1.6", "G94 X20.", 1))
    notes = [window.notes for window in windows(str(folder))[1]]
    assert [FACE_STAYS in each for each in notes] == [True, False, True]
    assert [SEAT_STAYS in each for each in notes] == [False, True, False]


@pytest.mark.parametrize("name", ["demo-pin", "inch-flange", "threaded-stud"])
def test_proofs_on_either_side_of_each_edge(name: str) -> None:
    held, found = windows(name)
    whole = found[-1]
    varied = Varied(held.files.job, whole.across, 0)
    for edge in whole.edges:
        if not edge.setup or shapely.LineString([edge.start, edge.end]).length < 0.05:
            continue
        x, d = ((a + b) / 2 for a, b in zip(edge.start, edge.end, strict=True))
        length = shapely.LineString([edge.start, edge.end]).length
        across = ((edge.end[1] - edge.start[1]) / length, -(edge.end[0] - edge.start[0]) / length)
        for by in (-0.02, 0.02):
            px, pd = x + by * across[0], d + by * across[1]
            within = whole.region.contains(shapely.Point(px, pd))
            if edge.side == "comes loose" and not within:
                # Proved on the least metal that there may be, drawn on the most.
                further = math.copysign(LOOSE_TOLERANCES, by)
                px, pd = x + further * across[0], d + further * across[1]
            proof = standclear.judge(held, varied.at(px, pd))
            raw = {"face-left-raw", "diameter-left-raw", "band-left"}
            left = any(f.code in raw for f in proof.findings)
            clear = proof.verdict is standclear.Verdict.CLEAR and not left
            assert clear or not within, (edge, px, pd)
            # A finished surface that reaches out to a thinner bar's own may stay raw: narrower.
            assert within or not clear or edge.against == "diameter", (edge, px, pd)


def test_a_part_that_cannot_sit_is_told_beside_the_window(tmp_path: Path) -> None:
    told = CANNOT_SEAT.format(name="back end")
    notes = [window.notes for window in windows(unseated_pin(tmp_path))[1]]
    assert [told in each for each in notes] == [False, True, True]
