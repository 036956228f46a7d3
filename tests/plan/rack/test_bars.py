"""Blanks from bars, weights and prices against sums by hand and handbook values."""

from __future__ import annotations

from pathlib import Path

import pytest

from standclear.errors import JobError
from standclear.job.models import Blank
from standclear.plan.rack.bars import Saw, bar_needed, blanks_from, density_of, weight_kg
from standclear.plan.rack.rack_file import read_rack

INCH = 25.4


def test_blanks_from_a_bar_in_millimetres() -> None:
    """(3000 - 5 - 60) / (85 + 2) = 33.736: 33; left 3000 - 5 - 33 * 87 = 124."""
    found = blanks_from(3000.0, 85.0, Saw(kerf=2.0, trim=5.0, remnant=60.0))
    assert found.count == 33
    assert found.left == pytest.approx(124.0)


def test_the_last_piece_needs_no_cut() -> None:
    """No remnant is held back, and the last cut is saved: (3000 - 5 + 2) / 87 = 34.448: 34."""
    assert blanks_from(3000.0, 85.0, Saw(2.0, 5.0, 0.0, last_as_it_is=True)).count == 34


def test_blanks_from_a_bar_in_inches() -> None:
    """(144 - 0.25 - 3.0) / (3.350 + 0.065) = 41.215: 41."""
    saw = Saw(0.065 * INCH, 0.25 * INCH, 3.0 * INCH)
    assert blanks_from(144 * INCH, 3.350 * INCH, saw).count == 41


def test_the_reverse_gives_the_same_number() -> None:
    saw = Saw(2.0, 5.0, 60.0)
    for count in (1, 7, 33):
        needed = bar_needed(count, 85.0, saw)
        assert blanks_from(needed, 85.0, saw).count == count
        assert blanks_from(needed - 0.01, 85.0, saw).count == count - 1


@pytest.mark.parametrize(
    ("size", "kg"), [(25, 3.8534), (40, 9.8646), (50, 15.4134), (100, 61.6538)]
)
def test_weight_of_round_steel_a_metre(size: float, kg: float) -> None:
    """pi/4 d2 at 7850 kg/m3: 0.00616538 d2 (closed form)."""
    blank = Blank(size=float(size), length=1000.0)
    assert weight_kg(blank, blank.size, 1000.0, 7.85) == pytest.approx(kg, abs=1e-3)


def test_weight_of_a_hexagon() -> None:
    """0.866025 s2 at 7850 kg/m3: 30 across flats weighs 6.118 kg a metre (closed form)."""
    blank = Blank(shape="hexagon", size=30.0, length=1000.0)
    assert weight_kg(blank, 30.0, 1000.0, 7.85) == pytest.approx(6.118, abs=1e-3)


def test_weight_and_price_of_a_piece() -> None:
    """87 mm of round 50 is 1.34097 kg; at 1.80 a kilogram 2.41374."""
    blank = Blank(size=50.0, length=85.0)
    kg = weight_kg(blank, 50.0, 87.0, 7.85)
    assert kg == pytest.approx(1.34097, abs=1e-4)
    assert 1.80 * kg == pytest.approx(2.41374, abs=2e-4)


def test_densities() -> None:
    """Usual handbook values, from memory, good to 1 %."""
    assert density_of("C45") == 7.85
    assert density_of("EN AW-6082") == pytest.approx(2.70, rel=0.01)
    assert density_of("unknown stuff") is None


def test_faults_of_a_rack_name_file_and_key(tmp_path: Path) -> None:
    rack = tmp_path / "rack.toml"
    rack.write_text(
        'units = "mm"\nkerf = 2.0\n[[stock]]\nsize = -4.0\nlength = 3000.0\n', encoding="utf-8"
    )
    with pytest.raises(JobError, match=r"rack\.toml: stock\[0\]\.size is -4"):
        read_rack(rack)
