from __future__ import annotations

import pytest
from reading import proved_example
from shapely.geometry import Polygon, box

from standclear.drawing.inks import PENS, Ink
from standclear.drawing.section.threads import thread_lines
from standclear.drawing.view import View

VIEW = View((-60.0, 0.0, 10.0, 40.0), 1.0, (0.0, 0.0))
"""Paper x is z + 60, y is r."""


def drawn(threads: Polygon, metal: Polygon) -> dict[Ink, list[tuple[tuple[float, float], ...]]]:
    found: dict[Ink, list[tuple[tuple[float, float], ...]]] = {}
    for line in thread_lines(VIEW, threads, metal):
        found.setdefault(line.ink, []).append(line.points)
    return found


def test_the_root_of_an_outside_thread_is_narrow_and_as_long_as_the_thread() -> None:
    # A shank of 12 radius from Z0 to Z-50, threaded 1.2 deep over 20; the last groove's flank
    # rises at 60 degrees: 0.7 along for 1.2 across.
    metal = box(-50, 0, 0, 12)
    thread = Polygon([(0, 10.8), (-20, 10.8), (-20.7, 12), (0, 12)])
    lines = drawn(thread, metal)
    assert PENS[Ink.THREAD].width * 2 == PENS[Ink.OUTLINE].width
    ((a, b),) = lines[Ink.THREAD]
    assert (min(a[0], b[0]), max(a[0], b[0])) == pytest.approx((40.0, 60.0), abs=0.05)
    assert a[1] == b[1] == pytest.approx(10.8, abs=0.01)
    # Plain metal of the crest's diameter goes on behind the thread: a wide line ends it.
    ((c, d),) = lines[Ink.OUTLINE]
    assert c[0] == d[0] == pytest.approx(40.0, abs=0.05)
    assert sorted((c[1], d[1])) == pytest.approx([10.8, 12.0], abs=0.02)


def test_a_thread_that_runs_out_into_an_undercut_has_no_end_of_its_own() -> None:
    shank = box(-50, 0, 0, 12).difference(box(-25, 10, -20, 12))
    lines = drawn(Polygon([(0, 10.8), (-20, 10.8), (-20, 12), (0, 12)]), shank)
    assert len(lines[Ink.THREAD]) == 1
    assert Ink.OUTLINE not in lines


def test_the_root_of_an_inside_thread_is_its_outer_diameter() -> None:
    # A bore of 10 radius in a body of 30, threaded to 11.2 over 15.
    metal = box(-40, 10, 0, 30)
    lines = drawn(Polygon([(0, 10), (0, 11.2), (-15, 11.2), (-15.7, 10)]), metal)
    ((a, b),) = lines[Ink.THREAD]
    assert a[1] == b[1] == pytest.approx(11.2, abs=0.01)
    ((c, d),) = lines[Ink.OUTLINE]
    assert sorted((c[1], d[1])) == pytest.approx([10.0, 11.2], abs=0.02)


def test_no_thread_draws_nothing() -> None:
    assert drawn(Polygon(), box(-50, 0, 0, 12)) == {}


def test_the_stud_m24_x_2_has_its_root_at_the_standards_core_diameter() -> None:
    # ISO 724 and DIN 13-1 (from memory): d3 = d - 1.22687 P = 24 - 2.4537 = 21.546.
    _, proof = proved_example("threaded-stud")
    assert not proof.threads.is_empty
    view = View((-80.0, 0.0, 10.0, 30.0), 1.0, (0.0, 0.0))
    assert proof.outcome is not None
    roots = [
        line for line in thread_lines(view, proof.threads, proof.outcome) if line.ink is Ink.THREAD
    ]
    (root,) = roots
    assert 2 * root.points[0][1] == pytest.approx(24 - 1.22687 * 2, abs=0.05)


def test_a_thread_of_an_earlier_set_up_is_still_there_in_the_next() -> None:
    _, proof = proved_example("threaded-stud")
    threaded = [not setup.threads.is_empty for setup in proof.setups]
    assert threaded == sorted(threaded), "once cut it stays"
    assert threaded[-1]
