"""Gaps of a place to watch: the shortest distance is told where X and Z alone would mislead."""

from __future__ import annotations

from dataclasses import replace

from fixture_proof import pin

from standclear.report.words import gap_words

PLACE = next(a for s in pin().setups for a in s.approaches)


def told(nearest: float, across: float | None, along: float | None) -> str:
    return gap_words(replace(PLACE, gap=nearest, gap_radial=across, gap_z=along), "mm")


def test_a_gap_along_one_axis_stands_alone_where_it_is_the_nearest() -> None:
    assert told(1.4, 1.4, None) == "X 2.8 mm on diameter, 1.4 mm between tool and metal"
    assert told(2.9995, None, 3.0) == "Z 3.0 mm"


def test_in_a_bore_the_holder_faces_the_front_and_the_tip_is_nearer() -> None:
    """Sleeve of the bar 92 in front of the face, tip 0.5 from the bore's wall."""
    assert told(0.5, None, 92.0) == "0.5 mm at the nearest; Z 92.0 mm"
    assert told(0.5, 14.1, 24.0).startswith("0.5 mm at the nearest; X 28.2 mm on diameter")
