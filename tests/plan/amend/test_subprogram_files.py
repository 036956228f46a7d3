"""A strike in a subprogram's own file: named there, mended in no file that others may call."""

from __future__ import annotations

from pathlib import Path

import pytest
from plan_shop import files_of, proved

from standclear.blocks.read import bytes_of, read_program
from standclear.drawing.section.focus import hit_words, hits
from standclear.job.read import JobFiles, read_job
from standclear.plan.amend.edit import edited
from standclear.plan.amend.mend import mend
from standclear.proof.result import JobProof, Verdict
from standclear.report.text import lines

CALL = "G00 X60. Z8.\nM98 P2401\n"
# Down to X38 in front of the raw face at Z1, then along into the bar of 40.
SUB = "O2401\nG00 X38. Z4.\nZ-6.\nM99\n"


def _files(folder: Path, body: str = CALL, sub: str = SUB, more: str = "") -> JobFiles:
    files_of(folder, body)
    (folder / "sub.nc").write_bytes(sub.encode("latin-1"))
    text = (folder / "job.toml").read_text(encoding="utf-8")
    (folder / "job.toml").write_text(f'subprograms = ["sub.nc"]\n{text}{more}', encoding="utf-8")
    return read_job(folder)


def _strike(proof: JobProof) -> tuple[str, int]:
    finding = next(f for f in proof.findings if f.code == "rapid-into-metal")
    assert finding.place is not None and finding.place.elsewhere
    return finding.place.program, finding.place.line


def test_the_strike_is_named_with_its_file(tmp_path: Path) -> None:
    files = _files(tmp_path)
    _, proof = proved(files)
    assert proof.verdict is Verdict.CONTACT
    assert _strike(proof) == ("sub.nc", 3)
    assert "sub.nc" in files.files
    hit = hits(proof.setups[0])[0]
    assert hit.line is None
    assert hit_words(hit, "mm").startswith("sub.nc line 3: Z-6. - ")
    assert any("sub.nc line 3, column 1: Z-6." in line.text for line in lines(proof))


def test_no_word_of_the_other_file_is_changed(tmp_path: Path) -> None:
    files = _files(tmp_path)
    held, proof = proved(files)
    assert mend(held, files.job, proof).changes == ()
    own = held.programs["p.nc"]
    assert bytes_of(own) == files.programs["p.nc"]
    assert edited(own, {}) == files.programs["p.nc"]


def test_an_allowance_for_a_line_of_the_program_is_none_for_the_other_file(tmp_path: Path) -> None:
    near = "O2401\nG00 X41. Z1.5\nG01 X39. F0.1\nM99\n"
    allowed = '[[allow]]\ncode = "start-too-near"\nline = {}\nreason = "watched"\n'
    (line,) = [
        f.place.line
        for f in proved(_files(tmp_path, sub=near))[1].findings
        if f.code == "start-too-near" and f.place
    ]
    _, proof = proved(_files(tmp_path, sub=near, more=allowed.format(line)))
    (still,) = [f for f in proof.findings if f.code == "start-too-near"]
    assert still.allowed_because == ""


@pytest.mark.parametrize("sub", ["O2402\nM99\n", "", "(NOTHING)\n"])
def test_a_program_that_no_file_holds_is_unproven(tmp_path: Path, sub: str) -> None:
    _, proof = proved(_files(tmp_path, sub=sub))
    assert proof.verdict is Verdict.UNPROVEN
    assert any("O2401" in f.message for f in proof.findings)


def test_linked_blocks_keep_their_lines() -> None:
    program = read_program(b"O1\nM30\n", "p.nc")
    assert bytes_of(program) == b"O1\nM30\n"


def test_metal_falls_only_at_lines_of_the_program_itself(tmp_path: Path) -> None:
    parting = "O2401\nG00 Z-30.\nG01 X-1. F0.1\nG00 X60.\nM99\n"
    tool = "grooving = { width = 4.0, reach = 25.0 }\n"
    job = files_of(tmp_path, CALL, tool=tool).path
    (tmp_path / "sub.nc").write_bytes(parting.encode("latin-1"))
    text = f'subprograms = ["sub.nc"]\n{job.read_text(encoding="utf-8")}falls_at = [3]\n'
    job.write_text(text, encoding="utf-8")
    _, proof = proved(read_job(tmp_path))
    (loose,) = [f for f in proof.findings if f.code == "loose-metal"]
    assert loose.unproven
