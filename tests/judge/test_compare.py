"""The summary of a run: what it counts by cycle and word."""

from __future__ import annotations

import judge.compare
import pytest
from judge.__main__ import main
from judge.compare import Outcome
from judge.replay import Verdict
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


@pytest.mark.parametrize(
    ("words", "kind", "asked"),
    [
        (("clear", "clear", "contact"), "agree", [0.1, 0.02, 0.01]),
        (("clear", "doubtful"), "doubtful", [0.1, 0.02]),
        (("clear", "clear", "undecided"), "needless contact", [0.1, 0.02, 0.01]),
        (("clear",) * 4, "needless contact", [0.1, 0.02, 0.01, 0.005]),
        (("contact",), "agree", [0.1]),
    ],
)
def test_a_disagreement_is_judged_by_ever_finer_pixels(
    words: tuple[str, ...], kind: str, asked: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    sizes: list[float] = []

    def judged(_: dict[str, str], pixel: float) -> Verdict:
        sizes.append(pixel)
        return Verdict(words[len(sizes) - 1])

    monkeypatch.setattr(judge.compare, "_judged", judged)
    monkeypatch.setattr(judge.compare, "prove_files", lambda _: ("contact", ""))
    assert judge.compare.compare_files({}, 0.1).kind == kind
    assert sizes == asked
