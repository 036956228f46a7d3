"""What changed since a kept proof."""

from __future__ import annotations

import json
import shutil
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


def test_another_bar_and_a_changed_program_next_month(tmp_path: Path) -> None:
    folder = tmp_path / "pin"
    shutil.copytree(PIN, folder)
    assert prove(str(folder), "--since")[0] == 2
    assert prove(str(folder), "--keep")[0] == 0
    status, said = prove(str(folder), "--since")
    assert status == 0 and "every file and the tool itself are the same" in said
    program = folder / "pin.nc"
    program.write_bytes(program.read_bytes().replace(b"G00 X51. Z5. M08", b"G00 X51. Z6. M08", 1))
    status, said = prove(str(folder), "--since", "--bar", "52")
    assert status == 1
    assert "verdict: clear -> contact" in said
    assert "changed: pin.nc" in said
    assert "new: stop rapid-into-metal" in said
    # The nose of 0.8 stands off the corner of bar and face, (2.05, 24.1), with its centre at
    # (5.8, 26.3), and at (6.8, 26.3) now: sqrt(3.75^2 + 2.2^2) - 0.8 = 3.548, then
    # sqrt(4.75^2 + 2.2^2) - 0.8 = 4.435. The chords of its outline may add a few microns.
    _, said = prove(str(folder), "--since", "--json")
    (gap,) = json.loads(said)["since"]["gaps"]
    assert gap["line"] == 10
    assert (gap["old"], gap["new"]) == pytest.approx((3.548, 4.435), abs=0.005)


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
