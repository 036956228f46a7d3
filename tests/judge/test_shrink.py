"""Disagreements made small: with faults planted in the proof, and by hand."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from random import Random

import pytest
from judge.__main__ import main
from judge.compare import Outcome, compare_files
from judge.files import job_text
from judge.generate import make_job
from judge.shrink import JOB, fewest, nature, shrink, size

from judge import compare

STRIKES = 900010
"""A seed whose job strikes: a rapid goes into metal."""


@pytest.fixture
def always_clear(monkeypatch: pytest.MonkeyPatch) -> None:
    """A proof that sees nothing."""
    monkeypatch.setattr(compare, "prove_files", lambda files: ("clear", ""))


@pytest.mark.usefixtures("always_clear")
def test_a_proof_that_is_always_clear_is_shown_by_a_few_blocks(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A tool and a way there: no more is needed to strike."""
    files = make_job(STRIKES)
    wanted = nature(compare_files(files, 0.1))
    assert wanted == ("false clear", "rapid into metal")
    assert main(["--n", "1", "--seed", str(STRIKES), "--out", str(tmp_path)]) == 1
    told = capsys.readouterr().out
    folder = tmp_path / f"false-clear-{STRIKES}"
    assert (folder / JOB).read_text() == files[JOB]
    smallest = {p.name: p.read_text() for p in (folder / "smallest").iterdir()}
    answers = json.loads(smallest.pop("answers.json"))
    assert size(smallest)["blocks"] <= 6
    assert size(smallest)["set-ups"] == 1 and size(smallest)["tools"] == 1
    assert f"{size(smallest)['blocks']} of {size(files)['blocks']} blocks" in told
    assert nature(compare_files(smallest, 0.1)) == wanted
    assert answers["judge"].startswith("contact") and answers["proof"] == "clear"


@pytest.mark.usefixtures("always_clear")
def test_of_many_that_differ_in_one_way_few_are_made_small(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["--n", "9", "--seed", str(STRIKES - 8), "--pixel", "0.4", "--out", str(tmp_path)]
    assert main([*words, "--shrink", "0"]) == 1
    assert "false clear" in capsys.readouterr().out
    assert list(tmp_path.glob("false-clear-*")) != []
    assert list(tmp_path.glob("*/smallest")) == []


def test_what_only_two_set_ups_show_keeps_both(monkeypatch: pytest.MonkeyPatch) -> None:
    """A proof that sees nothing of jobs with two ends, and calls all others a contact."""

    def two_ends_blind(files: dict[str, str]) -> tuple[str, str]:
        setups = tomllib.loads(files[JOB]).get("setup", ())
        return ("clear", "") if len(setups) == 2 else ("contact", "rapid-into-metal x line 1")

    monkeypatch.setattr(compare, "prove_files", two_ends_blind)
    files = make_job(STRIKES)
    wanted = nature(compare_files(files, 0.2))
    seen = []

    def same(smaller: dict[str, str]) -> bool:
        seen.append(nature(compare_files(smaller, 0.2)))
        return seen[-1] == wanted

    smallest = shrink(files, same, most=120)
    assert size(smallest)["set-ups"] == 2
    assert nature(compare_files(smallest, 0.2)) == wanted
    # Other kinds were come by on the way, and were not gone on with.
    assert {each[0] for each in seen} > {"false clear"}


def test_an_error_stays_the_same_error() -> None:
    one = Outcome(1, "clear", "error", "", "KeyError: 'a'", (), 0.0, 0.0)
    other = Outcome(1, "clear", "error", "", "ValueError: no blank", (), 0.0, 0.0)
    judges = Outcome(1, "error", "clear", "KeyError: 'a'", "", (), 0.0, 0.0)
    assert nature(one) == nature(Outcome(2, "contact", "error", "", "KeyError: 'b'", (), 0.0, 0.0))
    assert len({nature(one), nature(other), nature(judges)}) == 3


@pytest.mark.parametrize("seed", range(20))
def test_as_few_as_still_hold(seed: int) -> None:
    rng = Random(seed)
    count = rng.randrange(1, 60)
    needed = set(rng.sample(range(count), rng.randrange(0, min(5, count) + 1)))
    assert set(fewest(list(range(count)), lambda kept: needed <= set(kept))) == needed


def test_no_one_item_more_can_go_where_items_hang_together() -> None:
    """Pairs hold together: 2 and 3 go both or neither; one of 7 and 8 is enough."""

    def holds(kept: list[int]) -> bool:
        return (2 in kept) == (3 in kept) and (7 in kept or 8 in kept)

    left = fewest(list(range(12)), holds)
    assert holds(left)
    assert not any(holds([x for x in left if x != item]) for item in left)


def test_numbers_become_simpler_where_they_do_as_well() -> None:
    table = {"blank": {"size": 40.37, "length": 64.0}, "setup": [{"program": "a.nc"}]}
    files = {JOB: job_text(table), "a.nc": "G00 X41.237 Z5.\nG01 Z-30.55\n"}

    def same(smaller: dict[str, str]) -> bool:
        text = smaller.get("a.nc", "")
        return "size = 40" in smaller[JOB] and "X41.2" in text and "Z-" in text

    smallest = shrink(files, same)
    assert smallest[JOB].strip() == job_text(
        {"blank": {"size": 40.0}, "setup": [{"program": "a.nc"}]}
    ).strip()  # fmt: skip
    assert smallest["a.nc"] == "G00 X41.2 Z5.\nG01 Z-31.\n"


def test_a_job_file_written_from_what_stands_in_it_reads_the_same() -> None:
    for seed in range(10):
        table = tomllib.loads(make_job(seed)[JOB])
        assert tomllib.loads(job_text(table)) == table
