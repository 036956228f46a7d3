"""Runs that go on for long: logs that do not mix, batches that stop, bounds that hold."""

from __future__ import annotations

import io
import itertools
import json
import math
import os
import subprocess
import sys
from pathlib import Path

import pytest
from judge.__main__ import main
from judge.batch import TELL_SECONDS, Died, Progress, outcomes
from judge.chance import at_most, bound_text
from judge.log import Head, Refused, open_log, read_log
from judge.source import PROOF, checkout, package, tree_hash

from judge import source

HEAD = Head("aaaa", "c0ffee", True, {"pixel": 0.1})


def unchanged() -> str:
    return HEAD.source


# --- how often at most --------------------------------------------------------------------------


@pytest.mark.parametrize("trials", [1, 10, 300, 100_000])
def test_none_seen_is_the_closed_form_and_near_the_rule_of_three(trials: int) -> None:
    """(1 - p)^n = 0.05; and 3 / n from 30 on, to a hundredth and on the safe side (Hanley and
    Lippman-Hand, JAMA 249, 1983)."""
    found = at_most(0, trials)
    assert found == pytest.approx(1 - 0.05 ** (1 / trials), rel=1e-9)
    if trials >= 300:
        assert 0.99 * 3 / trials < found < 3 / trials


@pytest.mark.parametrize(("seen", "trials"), [(1, 20), (3, 50), (7, 1000)])
def test_at_the_bound_so_few_are_seen_one_time_in_twenty(seen: int, trials: int) -> None:
    """The definition of Clopper and Pearson, by the binomial sum itself."""
    p = at_most(seen, trials)
    summed = sum(math.comb(trials, k) * p**k * (1 - p) ** (trials - k) for k in range(seen + 1))
    assert summed == pytest.approx(0.05, rel=1e-6)


def test_bounds_without_trials_and_in_words() -> None:
    assert at_most(0, 0) == 1.0
    assert at_most(5, 5) == 1.0
    assert bound_text(0, 300) == "0 of 300, at most 0.994 % (95 %)"


# --- logs ---------------------------------------------------------------------------------------


def test_a_log_is_gone_on_with(tmp_path: Path) -> None:
    path = tmp_path / "out" / "log.jsonl"
    log = open_log(path, HEAD, unchanged)
    log.append({"seed": 1})
    log.append({"seed": 2})
    log.write()
    later = open_log(path, HEAD, unchanged)
    assert sorted(later.rows) == [1, 2]
    later.append({"seed": 3})
    later.write()
    stretches, broken = read_log(path)
    assert [len(each.rows) for each in stretches] == [3] and broken == 0


@pytest.mark.parametrize(
    ("other", "told"),
    [
        (Head("bbbb", "", None, {"pixel": 0.1}), "1 rows of source aaaa, this is bbbb"),
        (Head("aaaa", "", None, {"pixel": 0.02}), "1 rows with pixel 0.1, this run asks for 0.02"),
    ],
)
def test_rows_of_another_run_are_refused_or_run_again(
    tmp_path: Path, other: Head, told: str
) -> None:
    path = tmp_path / "log.jsonl"
    log = open_log(path, HEAD, unchanged)
    log.append({"seed": 1})
    log.write()
    before = path.read_bytes()
    with pytest.raises(Refused, match=told):
        open_log(path, other, lambda: other.source)
    assert path.read_bytes() == before
    log = open_log(path, other, lambda: other.source, again=True)
    assert log.rows == {} and log.passed_over == 1
    log.append({"seed": 1, "word": "anew"})
    log.write()
    assert path.read_bytes().startswith(before)
    # And back: the first rows still count for their own source.
    assert open_log(path, HEAD, unchanged, again=True).rows == {1: {"seed": 1}}


def test_rows_that_no_head_stands_over_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "log.jsonl"
    path.write_text('{"seed": 1}\n')
    with pytest.raises(Refused, match="without a head"):
        open_log(path, HEAD, unchanged)


def test_a_line_broken_off_is_run_again_and_spoils_none_after_it(tmp_path: Path) -> None:
    path = tmp_path / "log.jsonl"
    log = open_log(path, HEAD, unchanged)
    log.append({"seed": 1})
    log.write()
    with path.open("a") as file:
        file.write('{"seed": 2, "ju')
    log = open_log(path, HEAD, unchanged)
    assert sorted(log.rows) == [1] and log.broken == 1
    log.append({"seed": 2})
    log.write()
    assert sorted(open_log(path, HEAD, unchanged).rows) == [1, 2]


def test_outcomes_of_a_source_that_changed_meanwhile_are_not_written(tmp_path: Path) -> None:
    path = tmp_path / "log.jsonl"
    log = open_log(path, HEAD, lambda: "another")
    log.append({"seed": 1})
    with pytest.raises(Refused, match="changed while the run went on"):
        log.write()
    assert read_log(path)[0][0].rows == []


# --- what a run is made with --------------------------------------------------------------------


def test_the_hash_changes_with_text_name_and_place_and_with_nothing_else(tmp_path: Path) -> None:
    root, judge = tmp_path / "package", tmp_path / "judge"
    (root / "proof").mkdir(parents=True)
    (root / "page").mkdir()
    judge.mkdir()
    (root / "proof" / "a.py").write_text("one")
    (judge / "b.py").write_text("two")

    def found() -> str:
        return tree_hash(("proof",), root, judge)

    first = found()
    (root / "page" / "c.py").write_text("three")
    (root / "proof" / "a.txt").write_text("four")
    assert found() == first
    seen = {first}
    (root / "proof" / "a.py").write_text("one ")
    seen.add(found())
    (root / "proof" / "a.py").rename(root / "proof" / "d.py")
    seen.add(found())
    (root / "proof" / "d.py").rename(judge / "d.py")
    seen.add(found())
    (judge / "b.py").write_text("2")
    seen.add(found())
    assert len(seen) == 5


def test_all_that_a_proof_runs_through_is_in_the_hash() -> None:
    """The modules that a proof has loaded when it is done."""
    script = (
        "import sys, standclear\n"
        "standclear.prove(standclear.read_job('examples/demo-pin'))\n"
        "print(*{m.split('.')[1] for m in sys.modules if m.startswith('standclear.')})"
    )
    root = Path(source.__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=root, capture_output=True, text=True, check=True
    )
    loaded = set(done.stdout.split())
    assert "proof" in loaded
    assert loaded <= {part.removesuffix(".py") for part in PROOF}
    assert all((package() / part).exists() for part in PROOF)


def test_without_a_checkout_there_is_no_commit(tmp_path: Path) -> None:
    assert checkout(tmp_path / "nowhere") == ("", None)


# --- batches ------------------------------------------------------------------------------------


def double(seed: int) -> int:
    return 2 * seed


@pytest.mark.parametrize("workers", [1, 2])
def test_all_seeds_are_run_in_their_order(workers: int) -> None:
    assert list(outcomes(double, range(40), workers)) == [2 * seed for seed in range(40)]


@pytest.mark.parametrize("workers", [1, 2])
def test_no_time_begins_none(workers: int) -> None:
    assert list(outcomes(double, range(40), workers, 0.0)) == []


def test_a_batch_that_stops_has_the_first_seeds(monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock that moves on by a second at each look: half a minute is 29 jobs."""
    ticks = itertools.count()
    monkeypatch.setattr("judge.batch.time.monotonic", lambda: float(next(ticks)))
    assert list(outcomes(double, range(1000), 1, 0.5)) == [2 * seed for seed in range(29)]


def die_at_five(seed: int) -> int:
    if seed == 5:
        os._exit(1)
    return seed


def test_a_process_that_dies_is_told_with_where_to_look() -> None:
    found = []
    with pytest.raises(Died, match=r"seeds from \d to \d+"):
        found += list(outcomes(die_at_five, range(40), 2))
    assert 5 not in found


def test_progress_is_a_line_a_minute_without_a_terminal() -> None:
    now = [0.0]
    stream = io.StringIO()
    progress = Progress(1000, 100, stream, lambda: now[0])
    for _ in range(40):
        now[0] += TELL_SECONDS / 4
        progress.step("false clear 0")
    lines = stream.getvalue().splitlines()
    assert len(lines) == 10
    assert lines[0].startswith("1 min: 104 of 1000, false clear 0; 0.1 a second, about 224 min")


# --- the command --------------------------------------------------------------------------------


def test_a_run_stops_goes_on_and_refuses_another_source(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    log = tmp_path / "log.jsonl"
    words = ["--n", "2", "--alone", "--pixel", "0.4", "--log", str(log), "--out", str(tmp_path)]
    assert main([*words, "--minutes", "0"]) == 0
    assert "stopped after 0 minutes: 0 of 2; the same command goes on" in capsys.readouterr().out
    assert main(words) == 0
    told = capsys.readouterr().out
    assert "2 jobs" in told and "stopped" not in told
    assert f"source {json.loads(log.read_text().splitlines()[0])['head']['source']}" in told
    monkeypatch.setattr("judge.__main__.tree_hash", lambda parts: "changed")
    assert main(words) == 2
    assert "2 rows of source" in capsys.readouterr().err
    assert main([*words, "--again"]) == 0
