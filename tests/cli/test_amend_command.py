"""The command `amend`: what it says, what it writes, what it refuses."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import pytest
from planted.applied import applied
from typer.testing import CliRunner, Result

from standclear.cli import app

sys.path.insert(0, str(Path(__file__).parents[1] / "plan" / "amend"))
from plan_shop import CONTROL, HEAD, TAIL, files_of

EXAMPLES = Path(__file__).parents[2] / "examples"
# Raw face at Z1 and bar 40: X41 stands 0.5 beside the metal, where 1.25 is wanted.
NEAR = "G00 X41. Z0.\nG01 X20. F0.2\nG00 X43. Z5.\n"


def run(*words: str) -> Result:
    return CliRunner().invoke(app, ["amend", *words], env={"COLUMNS": "120"})


def names(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in sorted(folder.iterdir())}


@pytest.fixture
def pin(tmp_path: Path) -> Path:
    """The demo pin, in a folder of its own."""
    shutil.copytree(EXAMPLES / "demo-pin", tmp_path / "pin")
    return tmp_path / "pin"


def two_ends(folder: Path, first: str, second: str, more: str = "") -> Path:
    """Two set-ups of one clamping, each with a program of its own."""
    files_of(folder, first)
    (folder / "q.nc").write_bytes((HEAD + second + TAIL).encode("latin-1"))
    job = folder / "job.toml"
    text = job.read_text(encoding="utf-8")
    setup = (
        text[text.index("[[setup]]") :]
        .replace('"one"', '"two"\nturned = false')
        .replace('"p.nc"', '"q.nc"')
    )
    job.write_text(text + setup + more, encoding="utf-8")
    assert CONTROL in text
    return folder


def test_the_words_are_said_and_the_file_holds_them(pin: Path) -> None:
    before = names(pin)
    done = run(str(pin), "--bar", "50")
    # 50 + 0.2 + 2.5 = 52.7, written without decimals: X53, at both ends.
    assert done.exit_code == 0
    for text in ("pin.nc line 10, set-up front end", "- G00 X51. Z5. M08", "+ G00 X53. Z5. M08",
                 "pin.nc line 40, set-up back end", "As it stands: clear",
                 "With these edits, proved on the whole job: clear", "single block"):  # fmt: skip
        assert text in done.output
    after = names(pin)
    assert after.pop("pin.amended.nc") == before["pin.nc"].replace(
        b"G00 X51. Z5. M08", b"G00 X53. Z5. M08"
    )
    assert after == before
    assert "not to be run" not in done.output


def test_json_says_the_same_and_its_edits_make_the_file(pin: Path) -> None:
    done = run(str(pin), "--bar", "50", "--json", "--write", str(pin / "new.nc"))
    said = json.loads(done.stdout)
    assert (said["before"], said["after"]) == ("clear", "clear")
    assert [(e["line"], e["old"], e["new"]) for e in said["edits"]] == [
        (10, "X51.", "X53."),
        (40, "X51.", "X53."),
    ]
    assert said["written"] == [str(pin / "new.nc")]
    assert (said["moved"], said["offset"], said["left"], said["beyond"]) == (None, None, [], [])
    assert applied((pin / "pin.nc").read_bytes(), said["edits"]) == (pin / "new.nc").read_bytes()


def test_nothing_to_mend_writes_nothing(pin: Path) -> None:
    before = names(pin)
    done = run(str(pin))
    assert done.exit_code == 0
    assert "Nothing to mend." in done.output
    assert names(pin) == before


@pytest.mark.parametrize("asked", [[], ["--json"], ["--write", "{}/taken.nc"]])
def test_a_file_that_exists_is_left_alone(pin: Path, asked: list[str]) -> None:
    for name in ("pin.amended.nc", "taken.nc"):
        (pin / name).write_bytes(b"(KEPT)\n")
    before = names(pin)
    done = run(str(pin), "--bar", "50", *(word.format(pin) for word in asked))
    assert done.exit_code == 2
    assert "the file exists already and is left alone" in done.stderr
    assert done.stdout == ""
    assert names(pin) == before


def test_the_program_itself_is_no_target(pin: Path) -> None:
    before = names(pin)
    done = run(str(pin), "--bar", "50", "--write", str(pin / "pin.nc"))
    assert done.exit_code == 2
    assert "exists already" in done.stderr
    assert names(pin) == before


def test_a_job_that_cannot_be_read_gives_no_answer(tmp_path: Path) -> None:
    done = run(str(tmp_path / "none"))
    assert done.exit_code == 2
    assert "none" in done.stderr and "there is no such file" in done.stderr
    (tmp_path / "job.toml").write_text("units = 3\n", encoding="utf-8")
    done = run(str(tmp_path))
    assert done.exit_code == 2
    assert "job.toml: units" in done.stderr
    assert list(tmp_path.iterdir()) == [tmp_path / "job.toml"]


def test_a_size_that_is_no_number_is_refused(pin: Path) -> None:
    done = run(str(pin), "--bar", "nan")
    assert done.exit_code == 2
    assert "--bar" in done.stderr


def test_both_programs_are_written_beside_theirs(tmp_path: Path) -> None:
    folder = two_ends(tmp_path, NEAR, NEAR.replace("X41. Z0.", "X41. Z-0.5"))
    done = run(str(folder))
    for name in ("p", "q"):
        old = (folder / f"{name}.nc").read_bytes()
        assert (folder / f"{name}.amended.nc").read_bytes() == old.replace(b"X41.", b"X43.")
        assert f"{name}.amended.nc" in done.stderr


@pytest.mark.parametrize("taken", ["p.amended.nc", "q.amended.nc"])
def test_where_one_of_two_cannot_be_written_neither_is(tmp_path: Path, taken: str) -> None:
    folder = two_ends(tmp_path, NEAR, NEAR.replace("X41. Z0.", "X41. Z-0.5"))
    (folder / taken).write_bytes(b"(KEPT)\n")
    before = names(folder)
    done = run(str(folder))
    assert done.exit_code == 2
    assert taken in done.stderr
    assert names(folder) == before


def test_one_file_for_two_programs_is_refused_and_a_folder_takes_both(tmp_path: Path) -> None:
    (tmp_path / "job").mkdir()
    folder = two_ends(tmp_path / "job", NEAR, NEAR.replace("X41. Z0.", "X41. Z-0.5"))
    before = names(folder)
    done = run(str(folder), "--write", str(tmp_path / "new.nc"))
    assert done.exit_code == 2
    assert "2 programs change (p.nc, q.nc)" in done.stderr
    assert not (tmp_path / "new.nc").exists()
    (tmp_path / "out").mkdir()
    run(str(folder), "--write", str(tmp_path / "out"))
    assert sorted(names(tmp_path / "out")) == ["p.nc", "q.nc"]
    assert names(folder) == before


def test_a_subprogram_in_a_file_of_its_own_is_never_changed(tmp_path: Path) -> None:
    # The strike is in the subprogram; the word of the call's own program that comes before is no
    # cure, and the subprogram may serve other programs.
    files_of(tmp_path, "G00 X60. Z8.\nM98 P2401\n")
    (tmp_path / "sub.nc").write_bytes(b"O2401\nG00 X38. Z4.\nZ-6.\nM99\n")
    job = tmp_path / "job.toml"
    text = job.read_text(encoding="utf-8")
    job.write_text(f'subprograms = ["sub.nc"]\n{text}', encoding="utf-8")
    before = names(tmp_path)
    done = run(str(tmp_path))
    assert done.exit_code == 1
    assert "What no edit mends" in done.output
    after = names(tmp_path)
    assert set(after) - set(before) <= {"p.amended.nc"}
    assert before.items() <= after.items()


def test_what_is_not_clear_is_not_to_be_run(tmp_path: Path) -> None:
    # X41 is mended; a feed into the bar with the spindle stopped is not to be mended by places.
    body = NEAR + "M05\nG00 X44. Z-10.\nG01 X38. F0.1\nG00 X44.\nM03\n"
    files_of(tmp_path, body)
    done = run(str(tmp_path))
    assert done.exit_code == 1
    assert "still contact, not to be run" in done.stderr
    assert (tmp_path / "p.amended.nc").exists()


def test_a_file_that_needs_a_zero_keyed_in_says_so(pin: Path) -> None:
    # 86.5 long with the front at 2: the first cut at the back would be 4.95 deep; T1 may take 3.
    done = run(str(pin), "--bar", "52", "--length", "86.5")
    assert done.exit_code == 0
    assert "key in face allowance 3.95 mm in place of 2.0 mm" in done.output
    assert "1.95 mm toward the chuck; changes what is cut" in done.output
    assert "clear with G54 keyed in anew, not without" in done.stderr
