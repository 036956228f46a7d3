"""A folder of jobs: every one answered, whatever becomes of the others, and none proved again for
nothing."""

from __future__ import annotations

import json
import os
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from standclear.archive import run as archive_run
from standclear.archive.find import jobs_in
from standclear.archive.row import Row, no_answer, prove_row
from standclear.archive.run import rows_of
from standclear.archive.wanted import Wanted
from standclear.cli import app
from standclear.errors import FileError
from standclear.report.words import CAUTIONS

EXAMPLES = Path(__file__).parents[2] / "examples"
CLEAR, STRUCK = "demo-pin", "bent-rapid"


def standclear(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(w) for w in words], env={"COLUMNS": "80"})


def rows(result: Result) -> dict[str, dict[str, Any]]:
    """The rows by the name of the job's folder."""
    found = [json.loads(line) for line in result.stdout.splitlines()]
    return {Path(row["job"]).parent.name: row for row in found}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Two good jobs, one a folder deeper, and one that is none."""
    shutil.copytree(EXAMPLES / CLEAR, tmp_path / "shop" / CLEAR)
    shutil.copytree(EXAMPLES / STRUCK, tmp_path / "shop" / "deeper" / STRUCK)
    (tmp_path / "shop" / "broken").mkdir()
    (tmp_path / "shop" / "broken" / "job.toml").write_text('units = "mm"\n')
    return tmp_path / "shop"


def test_jobs_are_found_once_each_and_no_copies(shop: Path) -> None:
    for copies in ("earlier", "proofs", ".hidden"):
        shutil.copytree(shop / CLEAR, shop / copies / CLEAR)
    (shop / "drawn.nc.job.toml").write_text("")
    (shop / CLEAR / "notes.toml").write_text("")
    found = jobs_in([shop, shop / CLEAR, shop / CLEAR / "job.toml"])
    assert [str(path.relative_to(shop)) for path in found] == [
        "drawn.nc.job.toml",
        "broken/job.toml",
        f"deeper/{STRUCK}/job.toml",
        f"{CLEAR}/job.toml",
    ]


def test_a_folder_without_jobs_is_said_to_be_one(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"a directory without job\.toml, and none lies below it"):
        jobs_in([tmp_path])


@pytest.mark.parametrize("at_once", ["1", "3"])
def test_one_bad_job_does_not_stop_the_rest(shop: Path, at_once: str) -> None:
    result = standclear("prove", shop, "--lines", "--at-once", at_once)
    found = rows(result)
    assert {name: row["verdict"] for name, row in found.items()} == {
        CLEAR: "clear",
        STRUCK: "contact",
        "broken": "",
    }
    assert {name: row["status"] for name, row in found.items()} == {
        CLEAR: 0,
        STRUCK: 1,
        "broken": 2,
    }
    assert result.exit_code == 2
    assert "blank is missing" in " ".join(found["broken"]["faults"])
    assert found[STRUCK]["findings"] == {"rapid-into-metal": 1}
    assert result.stderr == "3 jobs: 1 clear, 1 contact, 1 without an answer\n"


def test_for_a_person_a_line_each(shop: Path) -> None:
    shutil.rmtree(shop / "broken")
    result = standclear("prove", shop)
    assert result.exit_code == 1
    assert re.search(rf"{CLEAR}/job.toml: clear: no motion meets", result.stdout)
    assert re.search(rf"{STRUCK}/job.toml: contact: .*\n  1 rapid-into-metal\n", result.stdout)
    assert result.stdout.endswith("2 jobs: 1 clear, 1 contact\n")
    # As with every answer: no list of clear jobs stands without what it does not know.
    assert all(caution in result.stdout for caution in CAUTIONS)


def test_a_row_is_the_answer_of_the_job_alone(shop: Path) -> None:
    alone = json.loads(standclear("prove", shop / CLEAR, "--bar", "52", "--json").stdout)
    row = prove_row(shop / CLEAR, Wanted(bar=52.0))
    assert (row.verdict, row.headline, row.status) == (
        alone["verdict"],
        alone["headline"],
        alone["exit_status"],
    )
    assert sum(row.findings.values()) == sum(f["severity"] != "note" for f in alone["findings"])


def test_only_what_changed_is_proved_again(shop: Path) -> None:
    shutil.rmtree(shop / "broken")
    first = rows(standclear("prove", shop, "--lines", "--since", "--keep"))
    assert all(row["proved"] and row["before"] == "" for row in first.values())
    again = rows(standclear("prove", shop, "--lines", "--since", "--keep"))
    assert not any(row["proved"] for row in again.values())
    assert {n: (r["verdict"], r["headline"]) for n, r in again.items()} == {
        n: (r["verdict"], r["headline"]) for n, r in first.items()
    }
    assert {n: r["kept"] for n, r in again.items()} == {n: r["kept"] for n, r in first.items()}
    program = shop / CLEAR / "pin.nc"
    assert b"X51." in program.read_bytes()
    program.write_bytes(program.read_bytes().replace(b"X51.", b"X46."))
    result = standclear("prove", shop, "--lines", "--since", "--keep")
    last = rows(result)
    assert [name for name, row in last.items() if row["proved"]] == [CLEAR]
    pin = last[CLEAR]
    assert (pin["before"], pin["verdict"], pin["differs"]) == ("clear", "contact", True)
    assert pin["kept"] not in ("", first[CLEAR]["kept"])
    assert result.stderr.endswith(
        "; 1 as kept, since nothing that was read for it has changed; "
        "1 with another answer than was kept\n"
    )


def test_a_shared_file_that_changed_touches_all_that_read_it(shop: Path) -> None:
    shutil.rmtree(shop / "broken")
    shutil.rmtree(shop / "deeper")
    shutil.copytree(shop / CLEAR, shop / "twin")
    standclear("prove", shop, "--keep")
    jaws = next(shop.glob(f"{CLEAR}/*jaws*.toml"))
    jaws.write_bytes(jaws.read_bytes() + b"\n# another set\n")
    found = rows(standclear("prove", shop, "--lines", "--since"))
    assert {name: row["proved"] for name, row in found.items()} == {CLEAR: True, "twin": False}
    assert not found[CLEAR]["differs"]


@pytest.mark.parametrize("spoilt", ["bar", "tool", "text", "files", "other job"])
def test_a_kept_answer_that_may_not_hold_is_not_taken(shop: Path, spoilt: str) -> None:
    words = ("--bar", "47") if spoilt == "bar" else ()
    assert standclear("prove", shop / CLEAR, "--keep", *words).exit_code == 0
    (kept,) = (shop / CLEAR / "proofs").glob("*.json")
    old = json.loads(kept.read_text())
    if spoilt == "tool":
        old["files"]["standclear"] = "0" * 64
    if spoilt == "files":
        old["files"]["pin.nc"] = "0" * 64
    if spoilt == "other job":
        old["files"]["other.toml"] = old["files"].pop("job.toml")
    kept.write_text("no answer" if spoilt == "text" else json.dumps(old))
    row = prove_row(shop / CLEAR, Wanted(since=True))
    assert row.proved and row.verdict == "clear"
    assert row.before == ("" if spoilt in ("text", "other job") else "clear")


def test_what_stands_in_for_the_job_is_always_proved(shop: Path) -> None:
    standclear("prove", shop / CLEAR, "--keep")
    row = prove_row(shop / CLEAR, Wanted(bar=52.0, length=86.5, since=True))
    assert row.proved and (row.before, row.verdict, row.differs) == ("clear", "contact", True)


def _dies(path: Path, wanted: Wanted) -> Row:
    if path.parent.name == STRUCK:
        os._exit(1)
    return prove_row(path, wanted)


def test_a_process_that_dies_takes_no_other_answer_along(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archive_run, "prove_row", _dies)
    found = {Path(r.job).parent.name: r for r in rows_of(jobs_in([shop]), Wanted(), 2)}
    assert found[CLEAR].verdict == "clear"
    assert found[STRUCK].verdict == "" and "ended by itself" in found[STRUCK].faults[0]
    assert len(found) == 3


def test_a_fault_of_our_own_is_no_answer(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(*_: object) -> None:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr("standclear.archive.row.judge", breaks)
    row = prove_row(shop / CLEAR, Wanted())
    assert (row.verdict, row.status) == ("", 2)
    assert "a fault in standclear itself" in row.faults[0]


@pytest.mark.parametrize(
    "words", [("--draw", "x.svg"), ("--json",), ("--grip", "a=3"), ("--material", "brass")]
)
def test_what_is_for_one_job_is_refused(shop: Path, words: tuple[str, ...]) -> None:
    result = standclear("prove", shop, "--keep", *words)
    assert result.exit_code == 2 and "many jobs at once take no" in result.stderr
    assert not list(shop.rglob("proofs"))


def test_what_is_for_many_jobs_is_refused_for_one(shop: Path) -> None:
    result = standclear("prove", shop / CLEAR, "--at-once", "2")
    assert result.exit_code == 2 and "are for a folder of jobs" in result.stderr


def test_no_answer_says_why() -> None:
    row = no_answer(Path("a"), ("first", "second"))
    assert json.loads(row.as_line())["faults"] == ["first", "second"]
    assert (row.status, row.headline, row.proved) == (2, "first", False)
