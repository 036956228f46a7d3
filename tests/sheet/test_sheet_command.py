"""`standclear sheet`, as a user runs it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.plan.tiny_job import PROGRAM, write_tiny
from tests.sheet.conftest import TOOL
from tests.sheet.reading_back import page_texts
from typer.testing import CliRunner, Result

import standclear.sheet.check
from standclear.cli import app


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, ["sheet", *map(str, words)])


@pytest.fixture(scope="module", autouse=True)
def same_tool() -> Iterator[None]:
    """The tool's source counts as the same, whoever edits it while the tests run."""
    with pytest.MonkeyPatch.context() as patch:
        for stage in ("gather", "check"):
            patch.setattr(f"standclear.sheet.{stage}.tool_hash", lambda: TOOL)
        yield


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a job and its sheet: copied, never changed."""
    folder = tmp_path_factory.mktemp("made")
    program = PROGRAM.replace("Z1.5 M08", "Z1.5 M08 (#let x = [ *a* $b$)")
    write_tiny(folder / "job", title="#let x = [", program=program)
    done = run(folder / "job", "-o", folder / "face.pdf")
    assert done.exit_code == 0, done.output
    return folder


@pytest.fixture
def place(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "place"))


def test_a_name_and_a_comment_like_markup_print_as_themselves(made: Path) -> None:
    texts = page_texts((made / "face.pdf").read_bytes())
    assert all("#let x = [" in text for text in texts)


def test_a_sheet_stands_while_nothing_changes(place: Path) -> None:
    done = run("--check", place / "face.pdf")
    assert done.exit_code == 0, done.output
    assert "The sheet stands" in done.output
    assert "face.nc: the same" in done.output
    assert "job.toml: the same" in done.output
    assert "it says clear" in done.output


def test_a_changed_program_is_named(place: Path) -> None:
    program = place / "job" / "face.nc"
    program.write_text(program.read_text().replace("Z1.5", "Z1.4"))
    done = run("--check", place / "face.pdf")
    assert done.exit_code == 1
    assert "face.nc: CHANGED" in done.output
    assert "job.toml: the same" in done.output


def test_a_file_that_is_gone_is_named(place: Path) -> None:
    (place / "job" / "face.nc").unlink()
    done = run("--check", place / "face.pdf")
    assert done.exit_code == 1
    assert "face.nc: NOT THERE" in done.output


def test_another_tool_is_told(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(standclear.sheet.check, "tool_hash", lambda: "0" * 64)
    done = run("--check", place / "face.pdf")
    assert done.exit_code == 1
    assert "CHANGED, it may answer otherwise now" in done.output
    assert "face.nc: the same" in done.output


def test_a_job_that_moved_has_to_be_given(place: Path) -> None:
    (place / "job").rename(place / "moved")
    done = run("--check", place / "face.pdf")
    assert done.exit_code == 2
    assert "job of the sheet is not there" in done.output
    assert run("--check", place / "face.pdf", place / "moved").exit_code == 0
    assert run("--check", place / "face.pdf", place / "moved" / "job.toml").exit_code == 0


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "this PDF cannot be read"),
        (b"%PDF-1.7\nnothing of one", "this PDF cannot be read"),
        (b"G00 X1.", "this PDF cannot be read"),
    ],
)
def test_what_is_no_sheet_gets_no_answer(place: Path, data: bytes, said: str) -> None:
    other = place / "other.pdf"
    other.write_bytes(data)
    done = run("--check", other)
    assert done.exit_code == 2
    assert said in done.output
    assert len(done.output.splitlines()) == 1


def test_another_pdf_is_no_sheet(place: Path) -> None:
    import typst

    other = place / "other.pdf"
    other.write_bytes(typst.compile(b'#set document(keywords: ("a", "b")); text'))
    done = run("--check", other)
    assert done.exit_code == 2
    assert "this is no set-up sheet" in done.output


def test_nothing_is_written_over(place: Path) -> None:
    before = (place / "face.pdf").read_bytes()
    done = run(place / "job", "-o", place / "face.pdf")
    assert done.exit_code == 2
    assert "the file exists already and is left alone" in done.output
    assert (place / "face.pdf").read_bytes() == before
    job = place / "job" / "job.toml"
    assert run(place / "job", "-o", job).exit_code == 2
    assert job.read_text().startswith("\ntitle")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "give the job and the sheet to write"),
        (("job",), "give the job and the sheet to write"),
        (("job", "-o", "sheet.txt"), "a sheet is a .pdf file"),
        (("job", "-o", "nowhere/sheet.pdf"), "there is no such folder"),
        (("nothing", "-o", "sheet.pdf"), "there is no such file"),
        (("job", "--check", "face.pdf", "--practice"), "--check takes the sheet"),
        (("job", "--check", "face.pdf", "--bar", "41"), "--check takes the sheet"),
        (("--check", "none.pdf"), "there is no such file"),
        (("job", "-o", "sheet.pdf", "--bar", "nan"), "--bar is nan"),
        (("job", "-o", "sheet.pdf", "--bar", "-1"), "blank.size"),
    ],
)
def test_wrong_use_gets_a_clear_word(
    place: Path, words: tuple[str, ...], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(place)
    done = run(*words)
    assert done.exit_code == 2, done.output
    assert said in done.output
    assert not (place / "sheet.pdf").exists()


def test_a_bar_that_strikes_still_gets_its_sheet(place: Path) -> None:
    done = run(place / "job", "--bar", "43", "--paper", "letter", "-o", place / "thick.pdf")
    assert done.exit_code == 1, done.output
    assert done.output.startswith("contact: ")
    assert all("NOT PROVEN" in text for text in page_texts((place / "thick.pdf").read_bytes()))
    assert (
        "with bar 43 in place of the job's own"
        in page_texts((place / "thick.pdf").read_bytes())[-1]
    )
    checked = run("--check", place / "thick.pdf")
    assert checked.exit_code == 0
    assert "with bar 43 in place of the job's own; it says contact" in checked.output
