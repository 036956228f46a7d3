"""The starter job reads without a fault or a question, and never writes over anything."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from standclear.errors import StandclearError
from standclear.job.placing import place_setups
from standclear.job.read import read_job
from standclear.job.starter import STARTER_FILES, starter_text, write_starter


def test_the_starter_job_is_sound(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "pin"
    written = write_starter(folder)
    assert sorted(path.name for path in written) == sorted(STARTER_FILES)
    files = read_job(folder)
    assert files.questions == ()
    assert set(files.files) == set(STARTER_FILES)
    first, second = place_setups(files.job)
    # Seat at -61 +/- 0.02; lean 0.2: 62.3 + 0.2 - 60.98 and 61.8 - 61.02 - 0.2.
    assert (first.face_strike_z, first.face_cleanup_z) == pytest.approx((1.52, 0.58))
    assert second.turned and not second.length_follows_saw


def test_each_file_is_commented_and_each_key_has_a_comment_near() -> None:
    for name in STARTER_FILES:
        text = starter_text(name)
        if name.endswith(".toml"):
            assert text.startswith("# ") and tomllib.loads(text)
            assert text.count("#") >= 3
        assert text.isascii() and text.endswith("\n")


@pytest.mark.parametrize("name", STARTER_FILES)
def test_one_file_in_the_way_and_nothing_is_written(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("mine")
    with pytest.raises(StandclearError, match="exists already and is left alone"):
        write_starter(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [name]
    assert (tmp_path / name).read_text() == "mine"


def test_a_file_that_appears_meanwhile_is_left_and_the_others_are_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from standclear.job import starter

    real = starter.write_new

    def slow(path: Path, data: bytes) -> None:
        if path.name == STARTER_FILES[2]:
            path.write_text("mine")
        real(path, data)

    monkeypatch.setattr(starter, "write_new", slow)
    with pytest.raises(StandclearError):
        write_starter(tmp_path)
    assert [(path.name, path.read_text()) for path in tmp_path.iterdir()] == [
        (STARTER_FILES[2], "mine")
    ]


def test_a_folder_that_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "pin").write_text("")
    with pytest.raises(StandclearError, match="the folder cannot be made"):
        write_starter(tmp_path / "pin")
