"""Bars and face allowances, against sums by hand and against proofs beyond each end."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.plan.tiny_job import ANY_LENGTH, write_tiny

import standclear
from standclear.plan.bar_table.sizes import bar_sizes
from standclear.plan.bar_table.table import BarTable, bar_table
from standclear.plan.windows.stock import stock_windows

EXAMPLES = Path(__file__).parents[3] / "examples"


def table_of(folder: Path, **sizes: float) -> tuple[standclear.Held, BarTable]:
    files = standclear.read_job(folder, **sizes)
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    return held, bar_table(held, files.job, proof, stock_windows(held, files.job, proof))


def test_one_face_by_hand(tmp_path: Path) -> None:
    """A rapid passes at Z1.5: faces to 1.5 do, the step of 0.05 after would be 1.55. Nothing is cut
    off a face at 0. Bars to 42 do, 43 is over 42.005 (see `tiny_job`)."""
    _, table = table_of(write_tiny(tmp_path / "job", more=ANY_LENGTH))
    assert table.setups == (0,)
    assert [row.size for row in table.rows] == [37.0, 38.0, 39.0, 40.0, 41.0, 42.0]
    assert [row.size for row in table.rows if row.stated] == [40.0]
    for row in table.rows:
        (face,) = row.ends
        assert face is not None
        assert (face.least, face.greatest) == (0.05, 1.5)


def test_a_length_to_hold_narrows_it(tmp_path: Path) -> None:
    """50 less the face is to be 49 within 0.1, as the back stays as sawn: faces from 0.9 to 1.1."""
    _, table = table_of(write_tiny(tmp_path / "job"))
    (face,) = next(row.ends for row in table.rows if row.stated)
    assert face is not None
    assert (face.least, face.greatest) == (0.9, 1.1)


def test_the_pin_by_hand_and_proved_on_either_side() -> None:
    """The front needs 0.2 lean, 0.05 touching and something to cut: 0.3; the back 0.2 of the saw
    more: 0.5. The first facing cut goes to Z1 and may take 3: a face to 4 - 0.05 = 3.95 at the
    front, to 4 - 0.05 - 0.2 - 0.2 = 3.55 at the back. Bar 49 leaves less air than is wanted:
    51 - 49.2 is 1.8, the margin 2.5."""
    held, table = table_of(EXAMPLES / "demo-pin")
    ends = {row.size: row.ends for row in table.rows}
    for size in (46.0, 47.0, 48.0):
        front, back = ends[size]
        assert front is not None
        assert back is not None
        assert (front.least, front.greatest) == (0.3, 3.95)
        assert (back.least, back.greatest) == (0.5, 3.55)
    assert ends[49.0] == (None, None)
    asks = {}
    for face in (0.25, 0.3, 3.95, 4.0):
        proof = standclear.ask(held, face=face, length=79.0 + face + 2.0)
        asks[face] = [f for f in proof.findings if f.severity > 1]
    assert [bool(asks[face]) for face in (0.25, 0.3, 3.95, 4.0)] == [True, False, False, True]


def test_a_bar_that_strikes_has_no_row_that_does(tmp_path: Path) -> None:
    """With bar 43 on the bench nothing is clear; the bars that would do are in the table."""
    _, table = table_of(write_tiny(tmp_path / "job"), bar=43.0)
    ends = {row.size: row.ends[0] for row in table.rows}
    assert ends[43.0] is None
    assert ends[42.0] is not None


@pytest.mark.parametrize(
    ("stated", "least", "greatest", "units", "most", "sizes"),
    [
        (48.0, 45.4, 50.8, "mm", 6, [46.0, 47.0, 48.0, 49.0, 50.0]),
        (20.0, 18.0, 24.0, "mm", 4, [19.0, 19.5, 20.0, 20.5]),
        (47.3, 46.9, 48.2, "mm", 6, [47.0, 47.3, 48.0]),
        (25.4, 24.0, 27.0, "inch", 3, [25.4 * 31 / 32, 25.4, 25.4 * 33 / 32]),
        (30.0, 40.0, 45.0, "mm", 3, [30.0, 40.0, 40.5]),
    ],
)
def test_sizes_are_round_and_near(
    stated: float, least: float, greatest: float, units: str, most: int, sizes: list[float]
) -> None:
    assert bar_sizes(stated, least, greatest, units, most) == pytest.approx(sizes)
