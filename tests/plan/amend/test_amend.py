"""Faults planted in proven jobs are mended with no more words; no other byte is touched."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from plan_shop import LEFT_RAW, files_of, proved

from standclear.findings.finding import Verdict
from standclear.job.read import JobFiles, read_job
from standclear.plan.amend.amend import Amendment, amend
from standclear.plan.amend.level import Level
from standclear.plan.amend.lift import lift
from standclear.proof.held import hold

EXAMPLES = Path(__file__).parents[3] / "examples"
PLANTED = [
    ("demo-pin", "pin.nc", 10, b"X51.", b"X46."),
    ("demo-pin", "pin.nc", 40, b"X51.", b"X47."),
]


def planted(name: str, file: str, line: int, old: bytes, new: bytes) -> JobFiles:
    files = read_job(EXAMPLES / name)
    lines = files.programs[file].split(b"\n")
    assert old in lines[line - 1]
    lines[line - 1] = lines[line - 1].replace(old, new, 1)
    return replace(files, programs={**files.programs, file: b"\n".join(lines)})


def amended(files: JobFiles) -> Amendment:
    held, proof = proved(files)
    return amend(held, files.job, proof)


@pytest.mark.parametrize("fault", PLANTED)
def test_a_lowered_clearance_word_is_mended_by_one_word(
    fault: tuple[str, str, int, bytes, bytes],
) -> None:
    files = planted(*fault)
    found = amended(files)
    assert found.after is Verdict.CLEAR and found.left == () and found.offset is None
    (edit,) = found.edits
    assert (edit.line, edit.old) == (fault[2], fault[4].decode())
    # Only the reported word differs.
    lines = files.programs[fault[1]].split(b"\n")
    at, old = edit.column - 1, edit.old.encode()
    line = lines[edit.line - 1]
    lines[edit.line - 1] = line[:at] + edit.new.encode() + line[at + len(old) :]
    assert found.programs[fault[1]] == b"\n".join(lines)


def test_a_dropped_retreat_is_put_back_as_a_block(tmp_path: Path) -> None:
    # The way out of the groove along Z meets its wall; out along X comes first.
    body = "G00 X50. Z-10.\nG01 X30. F0.1\nG00 Z9.\n"
    tool = "grooving = { width = 3.0, reach = 15.0 }\n"
    files = files_of(tmp_path, body, tool=tool)
    found = amended(files)
    assert found.before is Verdict.CONTACT and found.after is Verdict.CLEAR
    (edit,) = found.edits
    # 40 + 2.5 = 42.5, written without decimals: X43.
    assert (edit.line, edit.old, edit.new) == (7, "", "G00 X43.")
    assert edit.level is Level.AIR
    assert found.programs["p.nc"] == files.programs["p.nc"].replace(
        b"G00 Z9.\n", b"G00 X43.\nG00 Z9.\n"
    )


def test_two_passes_that_need_each_other_are_mended_together(tmp_path: Path) -> None:
    # Left out: G00 Z4. before the second pass, so that its feed goes nowhere. The third begins
    # 3 mm inside the metal. The fourth leaves the same section whatever those two take.
    body = (
        "G00 X45. Z4.\nG00 X36.\nG01 Z-15. F0.2\nG01 X43.\n"
        "G00 X32.\nG01 Z-15.\nG01 X36.\n"
        "G00 Z-3.\nG00 X28.\nG01 Z-15.\nG01 X32.\n"
        "G00 Z4.\nG00 X26.\nG01 Z-15.\nG01 X43.\nG00 X45.\nG00 Z9.\n"
    )
    found = amended(files_of(tmp_path, body, part=LEFT_RAW))
    assert found.before is Verdict.CONTACT
    assert found.after is Verdict.CLEAR and found.left == ()
    assert len(found.edits) == 2


def test_a_feed_begun_inside_the_metal_is_led_out_along_its_own_line(tmp_path: Path) -> None:
    # Left out: G00 Z4. before the second pass, which from Z-30 feeds back to Z-15 through the part.
    # The raw face stands at Z1, and 2.5 are owed: 3.5, without decimals Z4. again.
    body = (
        "G00 X45. Z4.\nG00 X36.\nG01 Z-30. F0.2\nG01 X43.\n"
        "G00 X32.\nG01 Z-15.\nG01 X43.\nG00 X45.\nG00 Z9.\n"
    )
    found = amended(files_of(tmp_path, body, part=LEFT_RAW))
    assert found.before is Verdict.CONTACT
    assert found.after is Verdict.CLEAR and found.left == ()
    (edit,) = found.edits
    assert (edit.line, edit.old, edit.new, edit.level) == (9, "", "G00 Z4.", Level.CUTS)


def test_a_cycle_called_inside_its_own_shape_is_called_from_where_other_rapids_end(
    tmp_path: Path,
) -> None:
    # Clear of the raw face at Z1 by the margin, but the profile begins at Z5: between the two the
    # cycle has no way to go. The rapid before ends at Z9.
    body = (
        "G00 X45. Z9.\nG00 Z4.\nG71 U2. R0.5\nG71 P10 Q20 U0. W0. F0.2\n"
        "N10 G00 X30. Z5.\nG01 Z-15.\nN20 G01 X44.\nG00 Z9.\n"
    )
    found = amended(files_of(tmp_path, body, part=LEFT_RAW))
    assert found.before is Verdict.UNPROVEN
    assert found.after is Verdict.CLEAR and found.left == ()
    assert [(e.line, e.old, e.new) for e in found.edits] == [(6, "Z4.", "Z9.")]


def test_a_repeated_profile_is_called_from_in_front_of_the_metal(tmp_path: Path) -> None:
    # The raw face stands at Z1, 2.5 are owed: 3.5, without decimals Z4.
    body = (
        "G00 X45. Z-3.\nG73 U4. W0.5 R3\nG73 P10 Q20 U0. W0. F0.2\n"
        "N10 G00 X32.\nG01 Z-15.\nN20 G01 X44.\nG00 Z9.\n"
    )
    found = amended(files_of(tmp_path, body, part=LEFT_RAW))
    assert found.before is Verdict.CONTACT
    assert found.after is Verdict.CLEAR and found.left == ()
    assert [(e.line, e.old, e.new) for e in found.edits] == [(5, "Z-3.", "Z4.")]


def test_a_drilling_call_that_cannot_be_followed_is_called_from_further_out(
    tmp_path: Path,
) -> None:
    # From Z4, clear of the face at Z1 by the margin, the level at Z7 is the wrong way. The rapid
    # before ends at Z9.
    body = "G00 X0. Z9.\nG00 Z4.\nG83 X0. Z-15. R7. F0.1\nG80\nG00 Z9.\n"
    drill = "drill = { diameter = 10.0, point_angle = 118.0, length = 60.0 }\n"
    files_of(tmp_path, body, tool=drill, part=LEFT_RAW)
    job = (tmp_path / "job.toml").read_text(encoding="utf-8")
    rows = 'drilling_r = "absolute"\ndrilling_return = "initial"'
    job = job.replace("[machine.control]", f"[machine.control]\n{rows}")
    (tmp_path / "job.toml").write_text(job, encoding="utf-8")
    found = amended(read_job(tmp_path))
    assert found.before is Verdict.UNPROVEN
    assert found.after is Verdict.CLEAR and found.left == ()
    (edit,) = found.edits
    assert (edit.line, edit.old, edit.new) == (6, "Z4.", "Z9.")
    assert edit.reason.startswith("the cycle then starts")


def test_the_offset_is_keyed_in_where_the_jaws_are_near() -> None:
    found = amended(read_job(EXAMPLES / "jaws-too-near"))
    assert found.programs == {} and found.left == () and found.offset is not None
    assert found.offset.new == pytest.approx(found.offset.old - found.offset.change)


def test_a_clear_job_gets_no_edit_and_lifts_to_the_same_motions() -> None:
    files = read_job(EXAMPLES / "demo-pin")
    held, proof = proved(files)
    found = amend(held, files.job, proof)
    assert (found.edits, found.programs, found.offset) == ((), {}, None)
    lifted = lift(held, files.job, proof)
    # 48 + 0.2 of run-out; 51 - 48.2 = 2.8.
    assert b"#101=48.2 (BAR)" in lifted.programs["pin.nc"]
    assert b"G00 X[#101+2.8] Z[#102+2.95] M08" in lifted.programs["pin.nc"]
    again = hold(replace(files, programs=lifted.programs))
    for old, new in zip(held.readings, again.readings, strict=True):
        assert abs(old[0].trace.motions.end - new[0].trace.motions.end).max() < 1e-6
