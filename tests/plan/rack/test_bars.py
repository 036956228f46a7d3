"""Blanks from bars, weights and prices against sums by hand and handbook values."""

from __future__ import annotations

import pytest

from standclear.job.models import Blank
from standclear.plan.rack.bars import Saw, bar_needed, blanks_from, density_of, weight_kg

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


@pytest.mark.parametrize(
    ("bar", "blank", "saw", "count", "left"),
    [
        # 1000 - 4 trim = 996; 9 x (100 + 3) = 927, a tenth would need 1030: 9, and 69 of it left.
        (1000.0, 100.0, Saw(3.0, trim=4.0), 9, 69.0),
        # Ten of 97 with ten cuts of 3 is the whole bar: 10, nothing left.
        (1000.0, 97.0, Saw(3.0), 10, 0.0),
        # A hundredth longer, and the tenth does not come out; with the last cut saved it does.
        (1000.0, 97.01, Saw(3.0), 9, 1000.0 - 9 * 100.01),
        (1000.0, 97.01, Saw(3.0, last_as_it_is=True), 10, 1000.0 - 970.1 - 27.0),
        # The grip remnant is held back: 1000 - 120 = 880 gives 8 of 100, and 200 with it is left.
        (1000.0, 97.0, Saw(3.0, remnant=120.0), 8, 200.0),
        # Shorter than a blank, or only by its remnant: none, and the bar is left whole.
        (99.0, 97.0, Saw(3.0), 0, 99.0),
        (200.0, 97.0, Saw(3.0, remnant=120.0), 0, 200.0),
        # An offcut cut to length already needs no cut at all.
        (97.0, 97.0, Saw(3.0, last_as_it_is=True), 1, 0.0),
    ],
)
def test_blanks_by_hand(bar: float, blank: float, saw: Saw, count: int, left: float) -> None:
    found = blanks_from(bar, blank, saw)
    assert found.count == count
    assert found.left == pytest.approx(left)


def test_the_inch_bar_by_hand() -> None:
    """41 x (3.350 + 0.065) = 140.015 in; 144 - 0.25 - 140.015 = 3.735 in left, 3.0 of it held."""
    saw = Saw(0.065 * INCH, 0.25 * INCH, 3.0 * INCH)
    assert blanks_from(144 * INCH, 3.350 * INCH, saw).left == pytest.approx(3.735 * INCH)
    assert bar_needed(41, 3.350 * INCH, saw) == pytest.approx((140.015 + 3.25) * INCH)


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


@pytest.mark.parametrize(
    ("material", "density"),
    [("C45", 7.85), ("1018", 7.85), ("42CrMo4", 7.85), ("11SMn30", 7.85),
     ("C35", 7.85), ("16MnCr5", 7.85),
     ("1045", 7.85), ("4140", 7.85), ("S355J2", 7.85), ("304", 7.95),
     ("316L", 8.0), ("17-4PH", 7.8), ("EN-GJL-250", 7.2), ("6061", 2.70), ("2024", 2.78),
     ("7075", 2.81), ("brass C360", 8.5), ("copper", 8.94), ("Ti-6Al-4V", 4.43),
     ("alloy 718", 8.2)],
)  # fmt: skip
def test_densities(material: str, density: float) -> None:
    """Handbook and data sheet values, from memory mostly agreeing with public pages, to 1 %."""
    assert density_of(material) == pytest.approx(density, rel=0.01)


def test_a_material_that_says_nothing_has_no_density() -> None:
    assert density_of("unknown stuff") is None


@pytest.mark.parametrize(("inches", "pounds_a_foot"), [(1.0, 2.67), (2.0, 10.68), (3.0, 24.03)])
def test_weight_of_round_steel_a_foot(inches: float, pounds_a_foot: float) -> None:
    """Closed form: pi/4 D2 x 12 in x 0.2833 lb/in3 = 2.670 D2 lb a foot; 7.85 g/cm3 is 0.28360
    lb/in3, a thousandth more. 1 lb = 0.45359237 kg, exact."""
    blank = Blank(size=inches * INCH, length=12 * INCH)
    kg = weight_kg(blank, blank.size, 12 * INCH, 7.85)
    assert kg / 0.45359237 == pytest.approx(pounds_a_foot, rel=2e-3)


def test_weight_of_a_square_and_of_a_tube() -> None:
    """Closed form, a metre at 7850 kg/m3: square 20, 400 mm2, 3.14 kg; tube 50 with bore 30,
    pi/4 (2500 - 900) = 1256.637 mm2, 9.8646 kg: that of round 40."""
    square = Blank(shape="square", size=20.0, length=1000.0)
    assert weight_kg(square, 20.0, 1000.0, 7.85) == pytest.approx(3.14)
    tube = Blank(shape="tube", size=50.0, bore=30.0, length=1000.0)
    assert weight_kg(tube, 50.0, 1000.0, 7.85) == pytest.approx(9.8646, abs=1e-4)
