"""The summary of a run: what it counts by cycle and word."""

from __future__ import annotations

import pytest
from judge.__main__ import main
from judge.compare import Outcome
from judge.tally import Tally


def outcome(seed: int, judged: str, proved: str, *words: str) -> Outcome:
    return Outcome(seed, judged, proved, "", "", words, 0.0, 0.0)


def test_each_word_is_counted_with_what_became_of_its_jobs() -> None:
    tally = Tally()
    tally.add(outcome(1, "clear", "clear", "G76", "M98"))
    tally.add(outcome(2, "clear", "unproven", "G76"))
    tally.add(outcome(3, "contact", "clear", "G76"))
    tally.add(outcome(4, "doubtful", "clear", "G76"))
    rows = {line.split()[0]: line.split()[1:] for line in tally.by_word()}
    assert rows["word"] == ["jobs", "agree", "differ", "unproven", "undecided"]
    assert rows["G76"] == ["4", "1", "1", "25", "%", "1"]
    assert rows["M98"] == ["1", "1", "0", "0", "%", "0"]
    assert all(line in tally.table() for line in tally.by_word())


def test_a_feature_that_there_is_not_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--only", "threads,cheese"])
    assert "no feature 'cheese'" in capsys.readouterr().err


def test_a_run_for_chosen_features_counts_their_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--n", "3", "--only", "subprograms", "--alone", "--pixel", "0.4"]) == 0
    assert "M98" in capsys.readouterr().out
