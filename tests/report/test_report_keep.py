from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from standclear.errors import FileError
from standclear.report.keep import keep_answer

AT = datetime(2031, 5, 6, 7, 8, 9)


def test_answers_of_one_second_stand_side_by_side(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    kept = [keep_answer(job, text, AT) for text in ("first", "second")]
    assert [k.name for k in kept] == ["2031-05-06T07-08-09.json", "2031-05-06T07-08-09-2.json"]
    assert [k.read_text() for k in kept] == ["first", "second"]
    assert sorted(p.name for p in (tmp_path / "proofs").iterdir()) == sorted(k.name for k in kept)


def test_a_file_in_the_way_is_a_clear_error(tmp_path: Path) -> None:
    (tmp_path / "proofs").write_text("mine")
    with pytest.raises(FileError, match="cannot be made"):
        keep_answer(tmp_path / "job.toml", "text", AT)
    assert (tmp_path / "proofs").read_text() == "mine"
