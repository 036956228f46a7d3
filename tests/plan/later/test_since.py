"""What changed since a kept proof, and what is to be keyed in: sums by hand."""

from __future__ import annotations

import json
import shutil
from math import hypot
from pathlib import Path

import pytest
from typer.testing import CliRunner

from standclear.cli import app
from standclear.errors import FileError
from standclear.plan.later.since import last_kept

PIN = Path(__file__).parents[3] / "examples" / "demo-pin"


def prove(*words: str) -> tuple[int, str]:
    answer = CliRunner().invoke(app, ["prove", *words])
    return answer.exit_code, answer.output


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """A copy of the pin, tools in the folder above, first offset stated, proved and kept."""
    folder = tmp_path / "shop" / "pin"
    shutil.copytree(PIN, folder)
    (folder / "tools.toml").rename(tmp_path / "shop" / "tools.toml")
    text = (folder / "job.toml").read_text()
    text = text.replace('"tools.toml"', '"../tools.toml"')
    text = text.replace('offset = "G54"', 'offset = "G54"\noffset_z = -312.45')
    (folder / "job.toml").write_text(text)
    assert prove(str(folder), "--keep")[0] == 0
    return folder


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))


def told(folder: Path, *words: str) -> dict[str, object]:
    done = CliRunner().invoke(app, ["prove", str(folder), "--since", "--json", *words])
    found: dict[str, object] = json.loads(done.stdout)["since"]
    return found


def test_another_bar_and_a_changed_program_next_month(tmp_path: Path) -> None:
    folder = tmp_path / "pin"
    shutil.copytree(PIN, folder)
    assert prove(str(folder), "--since")[0] == 2
    assert prove(str(folder), "--keep")[0] == 0
    status, said = prove(str(folder), "--since")
    assert status == 0 and "every file and the tool itself are the same" in said
    edit(folder / "pin.nc", "G00 X51. Z5. M08", "G00 X51. Z6. M08")
    status, said = prove(str(folder), "--since", "--bar", "52")
    assert status == 1
    assert "verdict: clear -> contact" in said
    assert "changed: pin.nc" in said
    assert "new: stop rapid-into-metal" in said
    assert "motion, line 10 -> 10: Z5. -> Z6." in said
    # The nose of 0.8 stands off the corner of bar and face, (2.05, 24.1), with its centre at
    # (5.8, 26.3), and at (6.8, 26.3) now. The outline lies outside the nose, by 0.001 at most.
    (gap,) = told(folder)["gaps"]  # type: ignore[misc]
    assert gap["line"] == 10
    for found, centre in ((gap["old"], 5.8), (gap["new"], 6.8)):
        exact = hypot(centre - 2.05, 26.3 - 24.1) - 0.8
        assert exact - 0.001 <= found <= exact


def test_gaps_are_found_again_where_lines_were_put_in(kept: Path) -> None:
    edit(kept / "pin.nc", "T0101\n", "(NEW INSERT)\nG04 U1.\nT0101\n")
    assert told(kept)["gaps"] == []
    # Line 10 was X51. Z5. and is 12 now: 1 mm more in Z, so that its gap alone grows.
    edit(kept / "pin.nc", "G00 X51. Z5. M08", "G00 X51. Z6. M08")
    (gap,) = told(kept)["gaps"]  # type: ignore[misc]
    assert gap["line"] == 12


def test_a_longer_blank_moves_a_touched_zero_out_and_no_stop(kept: Path) -> None:
    """1 mm longer, each raw face touched: part zero 1 further from the chuck, -312.45 + 1; the
    second zero counts from the stop and stays; 84 - 2 measured after the first end."""
    _, said = prove(str(kept), "--since", "--length", "84")
    assert "blank length: 83.0 mm -> 84.0 mm" in said
    assert (
        "G54, set-up front end: old Z-312.450, change Z+1.000 (away from the chuck), new Z-311.450"
    ) in said
    assert "Each raw face touched: 2.0 mm, as before." in said
    assert "G55, set-up back end: stays as it was" in said
    assert "Measure the part first: 82.0 mm expected." in said


def test_a_new_face_allowance_is_keyed_in_with_its_change(kept: Path) -> None:
    """2.0 -> 2.4: part zero 0.4 nearer the chuck."""
    _, said = prove(str(kept), "--since", "--face", "2.4")
    assert "old Z-312.450, change Z-0.400 (towards the chuck), new Z-312.850" in said
    assert "Each raw face touched: old 2.0, change +0.4, new 2.4 mm." in said
    edit(kept / "job.toml", "-312.45", "-312.95")
    _, said = prove(str(kept), "--since", "--face", "2.4")
    assert "states Z-312.950, the sum gives Z-312.850: find out which is right" in said


def test_other_jaws_move_the_zero_by_where_their_stop_lies(kept: Path, tmp_path: Path) -> None:
    """Stop 10 in front of the chuck's face, and 15 now: the zero, 79 in front of it, 5 further out.
    The land ends at 22 and not at 24 from the stop: 18 long, so the grip is 18."""
    soft = tmp_path / "soft.toml"
    text = (kept / "soft-jaws.toml").read_text().replace("face = -10.0", "face = -15.0")
    soft.write_text(text.replace("[24.0, 0.0]", "[22.0, 0.0]").replace("[24.0, 10", "[22.0, 10"))
    status, said = prove(str(kept), "--since", "--jaws", f"back end={soft}")
    assert status == 0
    assert f"new: {soft}" in said
    assert "jaws of set-up back end: soft jaws bored 45, land 16 -> " in said
    assert "G55, set-up back end: change Z+5.000 (away from the chuck)" in said
    bare = tmp_path / "bare.toml"
    bare.write_text("\n".join(s for s in text.splitlines() if not s.startswith(("chuck", "stop"))))
    _, said = prove(str(kept), "--since", "--jaws", f"back end={bare}")
    assert "other jaws are in the chuck: set it anew" in said


def test_jaws_given_are_kept_and_stand_in_the_next_comparison(kept: Path, tmp_path: Path) -> None:
    soft = tmp_path / "soft.toml"
    soft.write_text((kept / "soft-jaws.toml").read_text().replace("-10.0", "-15.0"))
    given = ["--jaws", f"back end={soft}", "--grip", "front end=47.9", "--material", "C60"]
    assert prove(str(kept), "--keep", *given)[0] == 0
    soft.unlink()
    _, said = prove(str(kept), "--since")
    assert "G55, set-up back end: change Z-5.000 (towards the chuck)" in said
    assert "grip diameter of set-up front end: 47.9 mm -> not stated" in said
    assert "blank material: C60 -> C45" in said
    assert "jaws of set-up back end: soft jaws bored 45, land 16 -> " in said
    assert "(other measures)" in said


def test_another_jaw_is_proved(kept: Path, tmp_path: Path) -> None:
    """The front passes end at Z-53, the jaws' front at 24 - 81 = -57; of jaws 29 deep at -52."""
    deep = tmp_path / "deep.toml"
    deep.write_text((kept / "hard-jaws.toml").read_text().replace("24.0", "29.0"))
    status, said = prove(str(kept), "--jaws", f"front end={deep}")
    assert status == 1 and said.startswith("contact")


def test_tools_that_changed(kept: Path) -> None:
    tools = kept.parent / "tools.toml"
    edit(tools, "CNMG120408", "CNMG120404")
    edit(tools, "greatest_depth = 1.5", "greatest_depth = 1.4")
    _, said = prove(str(kept), "--since")
    assert "T1 roughing, 80 degrees, facing and turning: another insert; touch it off again" in said
    assert "T2 finishing, 55 degrees, nose 0.4: another greatest depth; nothing to key in." in said


def test_a_kept_proof_without_its_files_still_answers(kept: Path) -> None:
    shutil.rmtree(next(p for p in (kept / "proofs").iterdir() if p.is_dir()))
    status, said = prove(str(kept), "--since")
    assert status == 0 and "What to key in is not worked out" in said


def test_a_kept_file_that_was_altered_is_not_believed(kept: Path) -> None:
    program = next((kept / "proofs").glob("*/at/pin.nc"))
    program.write_bytes(program.read_bytes() + b"\n")
    status, said = prove(str(kept), "--since")
    assert status == 0 and "pin.nc is not as it was proved" in said


def test_files_two_folders_up_are_kept_and_read_again(tmp_path: Path) -> None:
    folder = tmp_path / "shop" / "pins" / "pin"
    shutil.copytree(PIN, folder)
    (folder / "tools.toml").rename(tmp_path / "shop" / "tools.toml")
    edit(folder / "job.toml", '"tools.toml"', '"../../tools.toml"')
    assert prove(str(folder), "--keep")[0] == 0
    status, said = prove(str(folder), "--since")
    assert status == 0 and "is not worked out" not in said
    assert list((folder / "proofs").glob("*/at/at/job.toml"))


def test_files_from_the_root_and_jaws_beside_the_job_are_not_copied_as_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tools named from the root of the file system stay where they are; jaws given by a name that
    counts from another folder are kept from what was read, not looked for beside the job."""
    folder = tmp_path / "pin"
    shutil.copytree(PIN, folder)
    (folder / "tools.toml").rename(tmp_path / "tools.toml")
    edit(folder / "job.toml", '"tools.toml"', json.dumps(str(tmp_path / "tools.toml")))
    (tmp_path / "soft.toml").write_text((folder / "soft-jaws.toml").read_text())
    monkeypatch.chdir(tmp_path)
    given = ["--jaws", "back end=soft.toml"]
    assert prove("pin", "--keep", *given)[0] == 0
    assert not list((folder / "proofs").rglob("tools.toml"))
    status, said = prove("pin", "--since", *given)
    assert status == 0 and "is not worked out" not in said
    assert "new: soft.toml" not in said and "gone: soft.toml" not in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--jaws", "middle=x.toml"], "--jaws is 'middle=x.toml': give SETUP=FILE, with one of"),
        (["--jaws", "back end=none.toml"], "none.toml: there is no such file"),
        (["--grip", "back end=-3"], "--grip is 'back end=-3': give a diameter greater than 0"),
        (["--material", "C60"], "--material changes no motion: give it with --since or --keep"),
    ],
)
def test_a_bench_that_cannot_be(words: list[str], said: str) -> None:
    done = CliRunner().invoke(app, ["prove", str(PIN), *words])
    assert done.exit_code == 2 and said in done.stderr


def test_the_last_of_one_second_counts_by_its_number(tmp_path: Path) -> None:
    (tmp_path / "proofs").mkdir()
    for number in ("", "-2", "-10"):
        (tmp_path / "proofs" / f"2031-05-06T07-08-09{number}.json").write_text("{}")
    assert last_kept(tmp_path).name == "2031-05-06T07-08-09-10.json"


def test_a_file_that_is_no_kept_answer_is_said_to_be_none(tmp_path: Path) -> None:
    from standclear.plan.later.since import since

    odd = tmp_path / "odd.json"
    odd.write_text("{}")
    with pytest.raises(FileError, match="no kept answer"):
        since(odd, {"files": {}})
