"""Tolerances of bar against figures of the standards and against closed forms."""

from __future__ import annotations

import pytest

from standclear.plan.rack.tolerance import INCH, tolerance_of


@pytest.mark.parametrize(
    ("grade", "size", "width"),
    [
        ("h9", 25.0, 0.052), ("h11", 25.0, 0.130), ("h10", 30.0, 0.084), ("h12", 30.0, 0.210),
        ("h9", 45.0, 0.062), ("h11", 48.0, 0.160), ("h11", 50.0, 0.160), ("h11", 50.1, 0.190),
        ("h9", 80.0, 0.074), ("h12", 100.0, 0.350),
    ],
)  # fmt: skip
def test_bright_bar(grade: str, size: float, width: float) -> None:
    """EN 10278: h9 to h12, minus only; widths of ISO 286-1 for over 18 to 120 mm (both from memory,
    agreeing with excerpts of public pages)."""
    assert tolerance_of(f"EN 10278 {grade}", size) == (-width, 0.0)  # type: ignore[arg-type]


@pytest.mark.parametrize(("grade", "units"), [("h9", 40), ("h10", 64), ("h11", 100), ("h12", 160)])
@pytest.mark.parametrize(
    "band", [(3, 6), (6, 10), (10, 18), (18, 30), (30, 50), (50, 80), (80, 120), (120, 180)]
)
def test_bright_bar_by_the_rule_of_the_grades(
    grade: str, units: int, band: tuple[int, int]
) -> None:
    """ISO 286-1: i = 0.45 D^(1/3) + 0.001 D micrometres, D the geometric mean of the band; IT9 to
    IT12 are 40, 64, 100 and 160 i. Tables are rounded: they agree within 5 %."""
    mean = (band[0] * band[1]) ** 0.5
    rule = units * (0.45 * mean ** (1 / 3) + 0.001 * mean) / 1000
    found = tolerance_of(f"EN 10278 {grade}", float(band[1]))  # type: ignore[arg-type]
    assert found is not None and -found[0] == pytest.approx(rule, rel=0.05)


@pytest.mark.parametrize(
    ("size", "width"),
    [(10, 0.4), (15, 0.4), (16, 0.5), (25, 0.5), (26, 0.6), (35, 0.6), (36, 0.8), (50, 0.8),
     (52, 1.0), (80, 1.0), (85, 1.3), (100, 1.3), (105, 1.5), (120, 1.5), (125, 2.0), (160, 2.0),
     (165, 2.5), (200, 2.5)],
)  # fmt: skip
def test_hot_rolled_round(size: int, width: float) -> None:
    """EN 10060, normal tolerance (from memory, agreeing with an excerpt of a public page)."""
    assert tolerance_of("EN 10060", float(size)) == (-width, width)


@pytest.mark.parametrize(
    ("carbon", "size", "under"),
    [("to", 1.0, 2), ("to", 1.5, 2), ("to", 2.0, 3), ("to", 2.5, 3), ("to", 3.0, 4), ("to", 5.0, 5),
     ("over", 1.0, 3), ("over", 2.0, 4), ("over", 4.0, 5), ("over", 5.0, 6)],
)  # fmt: skip
def test_cold_finished_round_in_inches(carbon: str, size: float, under: int) -> None:
    """ASTM A108, drawn or turned: thousandths of an inch, minus only; one more for carbon over
    0.28 % (from memory, over 4 in the least sure)."""
    found = tolerance_of(f"ASTM A108 {carbon} 0.28 % C", size * INCH)  # type: ignore[arg-type]
    assert found == (pytest.approx(-under / 1000 * INCH), 0.0)


@pytest.mark.parametrize(
    ("size", "low", "high"),
    [(1.75, -1 / 64, 1 / 64), (2.0, -1 / 64, 1 / 64), (2.25, 0, 1 / 32), (3.0, 0, 3 / 64),
     (4.0, 0, 1 / 16)],
)  # fmt: skip
def test_hot_rolled_round_in_inches(size: float, low: float, high: float) -> None:
    """ASTM A29 (from memory, in part agreeing with an excerpt of a public page)."""
    assert tolerance_of("ASTM A29", size * INCH) == pytest.approx((low * INCH, high * INCH))


def test_a_size_that_no_table_here_reaches_has_none() -> None:
    assert tolerance_of("EN 10060", 9.0) is None
    assert tolerance_of("EN 10060", 201.0) is None
    assert tolerance_of("EN 10278 h9", 181.0) is None
    assert tolerance_of("ASTM A29", 1.5 * INCH) is None
    assert tolerance_of("ASTM A108 to 0.28 % C", 6.1 * INCH) is None
