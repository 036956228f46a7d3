"""Where a thread begins may move, so long as its passes still fall into one groove.

A pass waits for the spindle's mark and sets off, so the Z it sets off from, taken by the lead, is
where round the part it cuts (ISO 6983 leaves it to the control; common practice, no source).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from plan_shop import LEFT_RAW, TOOL, files_of, proved, trace_of

from standclear.motions.table import Motions
from standclear.plan.amend.amend import amend
from standclear.plan.amend.in_step import threads_in_step
from standclear.plan.amend.same_cuts import kept_in_place, same_cuts

TURNED = (
    "G00 X44. Z0.\nG01 X-1. F0.2\nG00 X24. Z4.\nG01 Z-30. F0.2\nX44.\nG28 U0. W0.\nT0202\nM03\n"
)
"""Lines 5 to 12: faced to Z0, turned to 24."""
TWO_TOOLS = f"{TOOL}[[tools]]\nstation = 2\nthreading = {{ width = 4.0, reach = 10.0 }}\n"
PASSES = (
    "G00 X48. Z{a}\nX23.4\nG32 Z-18. F2.\nG00 X48.\nZ{b}\nX22.8\nG32 Z-18. F2.\nG00 X48.\nZ6.\n"
)


@pytest.mark.parametrize(
    ("now", "same"),
    [
        (("6.", "6."), True),
        (("8.", "8."), True),
        (("5.3", "5.3"), True),  # both alike
        (("4.", "6."), True),  # by a whole lead
        (("4.", "8."), True),
        (("4.", "5."), False),  # half a lead: a groove between the others
        (("4.5", "4."), False),
        (("4.004", "4."), True),  # a rounding
        (("4.006", "4."), False),
    ],
)
def test_passes_stay_in_step(tmp_path: Path, now: tuple[str, str], same: bool) -> None:
    before = trace_of(tmp_path, PASSES.format(a="4.", b="4."))
    after = trace_of(tmp_path, PASSES.format(a=now[0], b=now[1]))
    assert same_cuts(before, after) is same


@pytest.mark.parametrize(
    ("body", "old", "new", "same"),
    [
        ("G00 X48. Z4.\nG92 X23.4 Z-18. F2.\nX22.8\n", "Z4.", "Z5.3", True),
        ("G00 X48. Z4.\nG92 X23.4 Z-18. F2.\nX22.8\n", "X48.", "X50.", True),
        # The taper's rise is told for the way from the point of call.
        ("G00 X48. Z4.\nG92 X23.4 Z-18. R-1. F2.\nX22.8\n", "Z4.", "Z5.3", False),
        # From within the bore the insert would go through the wall.
        ("G00 X18. Z4.\nG92 X23.4 Z-18. F2.\n", "X18.", "X48.", False),
        (
            "G00 X48. Z4.\nG76 P010060 Q100 R0.05\nG76 X21.4 Z-18. P1300 Q400 F2.\n",
            "Z4.",
            "Z6.",
            True,
        ),
        (
            "G00 X48. Z4.\nG76 P010060 Q100 R0.05\nG76 X21.4 Z-18. R-1. P1300 Q400 F2.\n",
            "Z4.",
            "Z6.",
            False,
        ),
    ],
)
def test_threading_cycles(tmp_path: Path, body: str, old: str, new: str, same: bool) -> None:
    before = trace_of(tmp_path, body)
    assert len(before.motions) > 3 and (before.motions.crest > 0).any()
    assert same_cuts(before, trace_of(tmp_path, body.replace(old, new))) is same


def amended_lines(folder: Path, passes: str) -> list[tuple[int, str, str]]:
    files = files_of(folder, TURNED + passes, tool=TWO_TOOLS)
    held, proof = proved(files)
    assert "thread-run-in-short" in {f.code for f in proof.findings}
    found = amend(held, files.job, proof)
    assert "thread-run-in-short" not in {f.code for f in found.left}
    return [(e.line, e.old, e.new) for e in found.edits]


def test_a_run_in_too_short_is_lengthened_at_the_cycle(tmp_path: Path) -> None:
    # Face at Z0, lead 3: two leads are 6. The insert, 4 wide, keeps its 2.5 at Z4.5 already.
    passes = "G00 X48. Z2.5\nG92 X23.4 Z-18. F3.\nX22.8\n"
    assert amended_lines(tmp_path, passes) == [(13, "Z2.5", "Z6.0")]


def test_one_pass_of_several_is_moved_by_whole_leads(tmp_path: Path) -> None:
    # The second pass alone begins too near; 1.5 more would be enough, but not in step.
    passes = PASSES.format(a="6.5", b="2.5")
    assert amended_lines(tmp_path, passes) == [(17, "Z2.5", "Z4.5")]


def test_a_pass_that_went_nowhere_begins_in_the_groove_of_the_others(tmp_path: Path) -> None:
    # With the retreat left out the second pass begins at Z-18, where it ends.
    broken = PASSES.replace("Z{b}\n", "").format(a="5.")
    before = trace_of(tmp_path, broken)

    def led_out(z: str) -> Motions:
        return trace_of(tmp_path, broken.replace("X22.8", f"X22.8 Z{z}")).motions

    # 23 from Z-18 to Z5 are no whole leads of 2; but the first pass begins at Z5 too.
    assert threads_in_step(before.motions, led_out("5."))
    assert threads_in_step(before.motions, led_out("7."))
    assert not threads_in_step(before.motions, led_out("6."))
    out_of_step = trace_of(tmp_path, broken.replace("X22.8", "X22.8 Z6."))
    assert not kept_in_place(before, out_of_step)


def test_a_retreat_left_out_between_passes_goes_where_the_others_begin(tmp_path: Path) -> None:
    # Of a tapered thread. Line 17 is missing, so that the second pass begins at Z-18 and goes out
    # 0.2 there. 4.5 in front of the face would do for the insert; the other pass begins at Z7.3.
    passes = (
        "G00 X48. Z7.3\nX23.\nG32 X23.4 Z-18. F2.\nG00 X48.\n"
        "X22.4\nG32 X22.8 Z-18. F2.\nG00 X48.\nZ6.\n"
    )
    files = files_of(tmp_path, TURNED + passes, tool=TWO_TOOLS, part=LEFT_RAW)
    held, proof = proved(files)
    found = amend(held, files.job, proof)
    assert [(e.line, e.old, e.new) for e in found.edits] == [(17, "", "G00 Z7.3")]


@pytest.mark.parametrize(
    ("old", "new", "kept"),
    [
        ("G00 X48. Z4.\nX23.4", "G00 X48. Z6.\nX23.4", True),
        ("X22.8\nG32 Z-18.", "X44.\nG32 Z-18.", False),
        ("X23.4\nG32 Z-18.", "X23.4\nG32 Z-12.", False),
    ],
)
def test_a_pass_is_not_moved_aside(tmp_path: Path, old: str, new: str, kept: bool) -> None:
    body = PASSES.format(a="4.", b="4.")
    assert old in body
    before, after = trace_of(tmp_path, body), trace_of(tmp_path, body.replace(old, new))
    assert kept_in_place(before, after) is kept


def test_a_pass_does_not_turn_round(tmp_path: Path) -> None:
    body = "G00 X48. Z-18.\nX22.4\nG32 X22.8 Z-18. F2.\nG00 X48.\n"
    before = trace_of(tmp_path, body)
    assert not kept_in_place(before, trace_of(tmp_path, body.replace("X22.4\n", "X44.\n")))
    # With no other pass, wherever it begins is one groove.
    assert kept_in_place(before, trace_of(tmp_path, body.replace("X22.4\n", "X22.4 Z4.\n")))
