"""What must hold for any program: twins in inch and mm, shifted Z words, no text that stops it."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from lathe_shop import job, trace

from standclear.blocks.read import read_program
from standclear.motions.trace import trace_setup

HUNDREDTHS = st.integers(-300, 300).map(lambda n: Decimal(n) / 100)
DIAMETERS = st.integers(1, 300).map(lambda n: Decimal(n) / 100)
MOVE = st.tuples(st.sampled_from(["G00", "G01", "G90", "G94"]), DIAMETERS, HUNDREDTHS)


def text_of(
    moves: list[tuple[str, Decimal, Decimal]], factor: Decimal, unit: str, shift: Decimal
) -> str:
    """A program of absolute words, each length times `factor`, each Z moved by `shift`."""
    lines = [unit, "T0101", "G97 S500 M03", f"G00 X{4 * factor:.4f} Z{(shift + 1) * factor:.4f}"]
    for word, x, z in moves:
        lines.append(f"{word} X{x * factor:.4f} Z{(z + shift) * factor:.4f} F.1")
        lines.append(f"U{Decimal('.5') * factor:.4f} W{Decimal('.25') * factor:.4f}")
    return "\n".join(lines)


@given(st.lists(MOVE, min_size=1, max_size=6))
@settings(max_examples=60)
def test_inch_and_metric_twins(moves: list[tuple[str, Decimal, Decimal]]) -> None:
    inch = trace(text_of(moves, Decimal(1), "G20", Decimal(0))).motions
    metric = trace(text_of(moves, Decimal("25.4"), "G21", Decimal(0))).motions
    assert np.array_equal(inch.kind, metric.kind)
    assert np.allclose(inch.end, metric.end, atol=1e-9)


@given(st.lists(MOVE, min_size=1, max_size=6), HUNDREDTHS)
@settings(max_examples=60)
def test_shifting_every_z_word_shifts_every_z(
    moves: list[tuple[str, Decimal, Decimal]], shift: Decimal
) -> None:
    plain = trace(text_of(moves, Decimal(1), "G21", Decimal(0))).motions
    moved = trace(text_of(moves, Decimal(1), "G21", shift)).motions
    assert np.array_equal(plain.kind, moved.kind)
    assert np.allclose(plain.end[1:, 0] + float(shift), moved.end[1:, 0], atol=1e-9)
    assert np.allclose(plain.end[1:, 1], moved.end[1:, 1], atol=1e-12)


WORDS = """
G00 G01 G02 G28 G50 G53 G55 G70 G71 G72 G74 G75 G90 G94 G96 G04 G41 G#1 T0101 T0202 T01 T0
X10. X#1 X-- Z-5. Z2 U1. W-1. R2. I1. K1. P10 Q20 D1. S500 F.1 N10 N20 O5
M00 M03 M30 M98 / ; ( ) % #1=3 IF[1]
"""
LINES = st.lists(
    st.lists(st.sampled_from(WORDS.split()), max_size=6).map(" ".join), max_size=12
).map("\n".join)


@given(LINES, st.booleans(), st.sampled_from([None, {"stop": 1}, {"label": 10}]))
@settings(max_examples=150)
def test_any_text_has_an_answer(text: str, stated: bool, mark: dict[str, int] | None) -> None:
    control = {} if stated else {"block_delete": None, "arc_centre": None, "cycle_words": None}
    of_job = job(control=control, setups=[{"start": mark}])
    for found in trace_setup(read_program(text.encode(), "p.nc"), of_job, 0):
        m = found.motions
        assert len(m) or found.findings
        assert np.isfinite(m.start).all() and np.isfinite(m.end).all()
        assert all(f.motion <= len(m) for f in found.findings)
        if len(m):
            assert m.kind[0] == 2
        joined = (m.kind[1:] == 2) | (m.start[1:] == m.end[:-1]).all(axis=1)
        assert joined.all(), "each row starts where the one before ended, or the tool appears anew"
