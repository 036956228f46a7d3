"""Tools in the wrong order: whole lines move, and each tool moves as it did."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from plan_shop import HEAD, TAIL, TOOL, files_of, proved

from standclear.findings.finding import Verdict
from standclear.job.read import JobFiles, read_job
from standclear.plan.amend import order
from standclear.plan.amend.amend import Amendment, amend
from standclear.proof.held import hold
from standclear.report.plan.amending import amendment_lines

EXAMPLES = Path(__file__).parents[3] / "examples"
PIN = EXAMPLES / "demo-pin"
# T1 grooves to X24 at Z-10 with a blade that reaches 6: 8 deep from bar 40, 4 from X32, to which
# T2 turns. Lines 3 to 8 are the groove's, 9 to 15 the turning's.
TOOLS = "grooving = { width = 3.0, reach = 6.0 }\n[[tools]]\nstation = 2\n" + TOOL
GROOVE = "T0101\nG97 S800 M03\nG00 X50. Z-10.\nG01 X24. F0.1\nG00 X50.\nG28 U0. W0.\n"
TURN = "T0202\nG97 S700 M03\nG00 X50. Z5.\nG00 X32.\nG01 Z-42. F0.2\nG01 X44.\nG28 U0. W0.\n"
ALLOWED = "".join(
    f'[[allow]]\ncode = "{code}"\nreason = "one end only"\n'
    for code in ("face-left-raw", "diameter-left-raw", "size-wrong", "band-left")
)


def job(folder: Path, *parts: str) -> JobFiles:
    files = files_of(folder, "", tool=TOOLS)
    first = HEAD.split("T0101")[0]
    text = first + "".join(parts) + "M05\n" + TAIL
    (folder / "p.nc").write_bytes(text.encode("latin-1"))
    words = files.path.read_text(encoding="utf-8")
    files.path.write_text(words + ALLOWED, encoding="utf-8")
    return read_job(folder)


def amended(files: JobFiles) -> Amendment:
    held, proof = proved(files)
    return amend(held, files.job, proof)


def test_what_is_needed_first_is_put_first(tmp_path: Path) -> None:
    files = job(tmp_path, GROOVE, TURN)
    found = amended(files)
    assert (found.before, found.after, found.left) == (Verdict.CONTACT, Verdict.CLEAR, ())
    assert (found.edits, found.offset) == ((), None)
    moved = found.moved
    assert moved is not None
    assert (moved.program, moved.first, moved.last, moved.to) == ("p.nc", 9, 15, 3)
    assert moved.blocks == ("T0202", "G28 U0. W0.", "T0101")
    said = [line.text for line in amendment_lines(found, None, "mm")]
    assert "p.nc lines 9 to 15, set-up one" in [text.strip() for text in said]
    assert any("put in front of line 3, T0101" in text for text in said)
    old = files.programs["p.nc"]
    assert found.programs["p.nc"] == old.replace((GROOVE + TURN).encode(), (TURN + GROOVE).encode())


def test_work_that_stands_in_a_subprogram_is_put_in_its_place_too(tmp_path: Path) -> None:
    # What strikes stands in lines of the subprogram, which belong to no tool of the program.
    main = GROOVE.replace("G00 X50. Z-10.\nG01 X24. F0.1\nG00 X50.\n", "M98 P0700\n")
    sub = "%\nO0700\nG00 X50. Z-10.\nG01 X24. F0.1\nG00 X50.\nM99\n%\n"
    job(tmp_path, main, TURN)
    (tmp_path / "o0700.nc").write_text(sub, encoding="latin-1")
    words = (tmp_path / "job.toml").read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(f'subprograms = ["o0700.nc"]\n{words}', encoding="utf-8")
    files = read_job(tmp_path)
    found = amended(files)
    assert (found.before, found.after, found.left) == (Verdict.CONTACT, Verdict.CLEAR, ())
    moved = found.moved
    assert moved is not None and moved.blocks == ("T0202", "G28 U0. W0.", "T0101")
    assert found.programs.keys() == {"p.nc"}


def test_in_the_right_order_nothing_moves(tmp_path: Path) -> None:
    found = amended(job(tmp_path, TURN, GROOVE))
    assert (found.before, found.left, found.moved, found.programs) == (Verdict.CLEAR, (), None, {})


def test_a_tool_that_comes_too_late_goes_before_one_that_nothing_is_wrong_with() -> None:
    # The groove goes so deep that the drill, coming after it, frees a ring. Nothing is told of the
    # groove itself.
    files = read_job(EXAMPLES / "parted-collar")
    lines = files.programs["collar.nc"].splitlines(keepends=True)
    drill, groove = lines[15:21], lines[21:30]
    assert drill[0].startswith(b"T0707") and groove[0].startswith(b"T0909")
    swapped = b"".join([*lines[:15], *groove, *drill, *lines[30:]])
    found = amended(replace(files, programs={"collar.nc": swapped}))
    assert (found.before, found.after, found.left) == (Verdict.CONTACT, Verdict.CLEAR, ())
    assert (found.edits, found.offset) == ((), None)
    assert found.programs == files.programs


def test_a_comment_goes_with_its_tool(tmp_path: Path) -> None:
    found = amended(job(tmp_path, "(GROOVE)\n", GROOVE, "(TURN)\n", TURN))
    assert found.moved is not None and found.after is Verdict.CLEAR
    assert b"(TURN)\nT0202" in found.programs["p.nc"]
    assert b"(GROOVE)\nT0101" in found.programs["p.nc"]
    assert found.programs["p.nc"].index(b"(TURN)") < found.programs["p.nc"].index(b"(GROOVE)")


def test_a_word_is_mended_in_the_new_order_and_told_by_its_old_line(tmp_path: Path) -> None:
    # 41 beside bar 40 is 0.5, where 1.25 is wanted: 42.5, written without decimals: X43.
    files = job(tmp_path, GROOVE, TURN.replace("G00 X50. Z5.", "G00 X50. Z2."))
    found = amended(files)
    assert found.moved is not None and found.after is Verdict.CLEAR
    # 1 + 2.5 = 3.5, written without decimals: Z4.
    assert [(e.line, e.old, e.new) for e in found.edits] == [(11, "Z2.", "Z4.")]
    lines = files.programs["p.nc"].split(b"\n")
    assert lines[10] == b"G00 X50. Z2."
    assert b"T0202\nG97 S700 M03\nG00 X50. Z4.\n" in found.programs["p.nc"]


@pytest.mark.parametrize("stop", ["M00\n", "M01\n"])
def test_no_tool_moves_across_a_stop(tmp_path: Path, stop: str) -> None:
    found = amended(job(tmp_path, GROOVE, stop, TURN))
    assert found.moved is None
    assert found.after is Verdict.CONTACT


def test_an_order_that_changes_a_tools_own_motions_is_none(tmp_path: Path) -> None:
    # T2 has no speed of its own. Behind the groove it turns at its 800, put first at 500.
    turn = TURN.replace("G97 S700 M03\n", "")
    found = amended(job(tmp_path, "G97 S500 M03\n", GROOVE, turn))
    assert found.moved is None


def test_a_profile_is_not_finished_before_it_is_roughed() -> None:
    files = read_job(PIN)
    lines = files.programs["pin.nc"].splitlines(keepends=True)
    rough, finish = lines[4:24], lines[24:31]
    assert rough[1].startswith(b"T0101") and finish[1].startswith(b"T0202")
    swapped = b"".join([*lines[:4], *finish, *rough, *lines[31:]])
    one = hold(files)
    other = hold(replace(files, programs={"pin.nc": swapped}))
    assert order._finished_before_roughed(one, other)
    # A program that stands so already is not held against an order that leaves it so, or mends it.
    assert not order._finished_before_roughed(other, one)
    assert not order._finished_before_roughed(other, other)
    assert not order._finished_before_roughed(one, one)
