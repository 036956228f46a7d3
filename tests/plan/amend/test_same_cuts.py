"""What a change of clearance points may do to the cuts, and what it must not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from plan_shop import trace_of

from standclear.motions.table import Kind
from standclear.plan.amend.same_cuts import kept_in_place, only_calls_moved, same_cuts
from standclear.plan.amend.set_aside import begun_elsewhere

ROUGH = """G71 U2. R0.5
G71 P10 Q30 U0.4 W0.1 F0.2
N10 G00 X20.
N20 G01 Z-20. F0.1
N30 X46.
"""
BORE = """G71 U2. R0.5
G71 P10 Q30 U-0.4 W0.1 F0.2
N10 G00 X30.
N20 G01 Z-20. F0.1
N30 X16.
"""
SAME = [
    # The feed along X begins further out, on its own line.
    ("G00 X42. Z0.\nG01 X20. F0.2\n", "X42.", "X45."),
    ("G00 X36. Z2.\nG01 Z-10. F0.2\n", "Z2.", "Z4."),
    ("G00 X42. Z2.\nG94 X20. Z0. F0.2\nZ-1.\n", "X42. Z2.", "X45. Z4."),
    ("G00 X42. Z2.\nG90 X30. Z-9. F0.2\nX20.\n", "X42. Z2.", "X45. Z4."),
    (f"G00 X42. Z2.\n{ROUGH}", "X42. Z2.", "X45. Z4."),
    (f"G00 X42. Z2.\n{ROUGH}G00 X42. Z2.\nG70 P10 Q30\n", "X42. Z2.", "X47. Z4."),
    ("G00 X42. Z-9.\nG75 R0.5\nG75 X20. Z-12. P2000 Q2500 F0.1\n", "X42.", "X45."),
    ("G00 X0. Z2.\nG74 R0.5\nG74 Z-12. Q2000 F0.1\n", "Z2.", "Z4."),
]
BENT = [
    # A smaller or larger diameter is turned.
    ("G00 X36. Z2.\nG01 Z-10. F0.2\n", "X36.", "X43."),
    ("G00 X42. Z0.\nG01 X20. F0.2\n", "Z0.", "Z4."),
    # A slanting feed from elsewhere is another cone.
    ("G00 X36. Z2.\nG01 X40. Z-10. F0.2\n", "Z2.", "Z4."),
    # A taper's rise counts from the clearance point.
    ("G00 X42. Z2.\nG90 X30. Z-9. R-1. F0.2\n", "Z2.", "Z4."),
    # The tool would feed the other way to get there.
    ("G00 X18. Z0.\nG01 X30. F0.2\n", "X18.", "X43."),
    ("G00 X18. Z2.\nG90 X30. Z-9. F0.2\n", "X18.", "X43."),
    (f"G00 X18. Z2.\n{BORE}", "X18.", "X43."),
    # Steps in the profile count from the clearance point.
    (f"G00 X42. Z2.\n{ROUGH.replace('N10 G00 X20.', 'N10 G00 U-22.')}", "X42.", "X45."),
    # Where the groove lies, and where the hole.
    ("G00 X42. Z-9.\nG75 R0.5\nG75 X20. Z-12. P2000 Q2500 F0.1\n", "Z-9.", "Z4."),
    ("G00 X10. Z2.\nG74 R0.5\nG74 Z-12. Q2000 F0.1\n", "X10.", "X45."),
]


@pytest.mark.parametrize(("body", "old", "new"), SAME)
def test_same(tmp_path: Path, body: str, old: str, new: str) -> None:
    assert old in body
    before, after = trace_of(tmp_path, body), trace_of(tmp_path, body.replace(old, new))
    assert before.motions.start[1:4].tolist() != after.motions.start[1:4].tolist()
    assert same_cuts(before, after)


@pytest.mark.parametrize(("body", "old", "new"), BENT)
def test_not_the_same(tmp_path: Path, body: str, old: str, new: str) -> None:
    assert old in body
    before, after = trace_of(tmp_path, body), trace_of(tmp_path, body.replace(old, new))
    assert same_cuts(before, before)
    assert not same_cuts(before, after)


FACED = """G72 W2. R0.5
G72 P10 Q30 U1. W0.2 F0.2
N10 G00 Z-12.
N20 G01 X30. F0.1
G01 Z-6.
G01 X20.
N30 Z1.
"""


@pytest.mark.parametrize(
    ("body", "old", "new", "same"),
    [
        # X30.6 lies inside the finish allowance of 1 over X30: the shape was meant from outside.
        (f"G00 X30.6 Z2.\n{FACED}", "X30.6", "X43.", True),
        (f"G00 X42. Z2.\n{FACED}", "X42.", "X45.", True),
        # The way out of the shape, to X46, lies beyond the point of call before and after.
        (f"G00 X38. Z2.\n{ROUGH}", "X38.", "X43.", True),
        # Called between its passes: most of them tell where from.
        ("G00 X30. Z2.\nG90 X33. Z-9. F0.2\nX28.\nX25.\n", "G00 X30.", "G00 X43.", True),
        # From inside a bore the same words cut the other way.
        (f"G00 X18. Z2.\n{BORE}", "X18.", "X43.", False),
        ("G00 X18. Z2.\nG90 X30. Z-9. F0.2\n", "X18.", "X43.", False),
        # Called at the diameter itself: nothing tells from where it was meant.
        ("G00 X30. Z2.\nG90 X30. Z-9. F0.2\n", "G00 X30.", "G00 X43.", False),
        # What makes the same cuts need not be told; where a peck's groove lies is not.
        ("G00 X42. Z-9.\nG75 R0.5\nG75 X20. P2000 F0.1\n", "X42.", "X45.", True),
        ("G00 X42. Z-9.\nG75 R0.5\nG75 X20. P2000 F0.1\n", "Z-9.", "Z4.", False),
    ],
)
def test_only_calls_moved(tmp_path: Path, body: str, old: str, new: str, *, same: bool) -> None:
    assert old in body
    before, after = trace_of(tmp_path, body), trace_of(tmp_path, body.replace(old, new))
    assert only_calls_moved(before, after) is same


@pytest.mark.parametrize(("old", "new", "kept"), [("X42.", "X45.", True), ("Z-9.", "Z3.", False)])
def test_grooves_stay(tmp_path: Path, old: str, new: str, *, kept: bool) -> None:
    body = "G00 X42. Z-9.\nG75 R0.5\nG75 X20. P2000 F0.1\n"
    before, after = trace_of(tmp_path, body), trace_of(tmp_path, body.replace(old, new))
    assert kept_in_place(before, after) is kept


@pytest.mark.parametrize(
    ("old", "new", "kept"), [("Z2.", "Z4.", True), ("X36.", "X43.", False), ("-9.", "-8.", True)]
)
def test_a_pass_stays_on_its_line(tmp_path: Path, old: str, new: str, *, kept: bool) -> None:
    body = "G00 X36. Z2.\nG01 Z-9. F0.2\nG00 X45.\n"
    before, after = trace_of(tmp_path, body), trace_of(tmp_path, body.replace(old, new))
    assert kept_in_place(before, after) is kept


@pytest.mark.parametrize(
    ("old", "new", "on_line"),
    [
        # Led out along Z the feed keeps its diameter and its end.
        ("X32.\n", "Z4.\nG00 X32.\n", True),
        # At another diameter it is another cut.
        ("X32.\n", "X45.\n", False),
    ],
)
def test_begun_elsewhere(tmp_path: Path, old: str, new: str, *, on_line: bool) -> None:
    body = "G00 X45. Z-30.\nG00 X32.\nG01 Z-15. F0.2\nG01 X43.\n"
    before, after = trace_of(tmp_path, body), trace_of(tmp_path, body.replace(old, new))
    block = int(before.motions.block[before.motions.kind == Kind.FEED][0])
    renumbered = replace(
        after,
        motions=replace(after.motions, block=after.motions.block - (new.count("\n") - 1)),
    )
    were, are = begun_elsewhere(before, renumbered, [block])
    assert (len(were), len(are)) == (int(on_line), int(on_line))
    assert all(len(rows) == 0 for rows in begun_elsewhere(before, renumbered, []))
