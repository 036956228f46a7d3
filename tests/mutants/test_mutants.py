"""The draw of small faults, and whether a fault and its absence are told apart."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from mutants.__main__ import logged
from mutants.draw import CHECKER, Mutant, changed, difference, drawn, mutants_of
from mutants.run import Outcome, catchers, fails, wrong_answers
from mutants.score import interval, score_text

TEXT = '''"""Adds 1 or 2."""

def longer(a: float | None, b: float = 2.0) -> float:
    """Of 3 and 4."""
    if a < b:
        return b - a
    return a + 1.0
'''


def of(slip: str) -> list[Mutant]:
    return [mutant for mutant in mutants_of(TEXT, "proof/x.py") if mutant.slip == slip]


def test_slips_stand_at_their_lines() -> None:
    assert [m.line for m in of("ReplaceComparisonOperator_Lt_LtE")] == [5]
    assert [m.line for m in of("ReplaceBinaryOperator_Sub_Add")] == [6]
    assert difference(TEXT, of("ReplaceBinaryOperator_Sub_Add")[0]) == (
        "-        return b - a\n+        return b + a"
    )


def test_a_place_that_is_not_there_is_told() -> None:
    with pytest.raises(ValueError, match="no such place"):
        changed(TEXT, Mutant("proof/x.py", 1, "ReplaceBinaryOperator_Mul_Div", 0))


def tree(folder: Path) -> Path:
    for part in ("blocks", "motions", "tools", "sweeps", "proof"):
        (folder / "src/standclear" / part).mkdir(parents=True)
    (folder / "src/standclear/proof/x.py").write_text(TEXT)
    return folder


def test_the_draw_is_the_seeds_and_leaves_out_what_is_not_run(tmp_path: Path) -> None:
    root = tree(tmp_path)
    some, more = drawn(root, 5, 3), drawn(root, 5, 1_000)
    assert more[:3] == some and len(set(more)) == len(more)
    assert drawn(root, 6, 1_000) != more
    # `float | None` is an annotation: turned into `&` it is the same code.
    assert of("ReplaceBinaryOperator_BitOr_BitAnd")
    assert not [m for m in more if m.slip == "ReplaceBinaryOperator_BitOr_BitAnd"]


def test_the_tests_next_to_a_file_are_asked_first_and_the_judge_last() -> None:
    asked = catchers("sweeps/areas.py")
    assert asked[0] == "tests/sweeps" and asked[-1] == "judge" and len(set(asked)) == len(asked)
    assert all((Path(__file__).parents[2] / each).is_dir() for each in asked)


def test_of_the_checker_only_its_own_tests_are_asked() -> None:
    assert catchers("audit/exact.py") == ("tests/audit", "tests/certificate")
    root = Path(__file__).parents[2]
    assert all(each.path.startswith("audit/") for each in drawn(root, 1, 5, CHECKER))


def test_a_fault_is_seen_and_none_is_not(tmp_path: Path) -> None:
    (tmp_path / "src").mkdir()
    (tmp_path / "src/thing.py").write_text("def one() -> int:\n    return 1\n")
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests/test_thing.py").write_text(
        "import thing\ndef test() -> None:\n    assert thing.one() == 1\n"
    )
    assert not fails("tests", tmp_path)
    (tmp_path / "src/thing.py").write_text("def one() -> int:\n    return 2\n")
    shutil.rmtree(tmp_path / "src/__pycache__", ignore_errors=True)
    assert fails("tests", tmp_path)


def test_of_the_judge_the_answers_count() -> None:
    table = "  agree            57\n  false clear             0\n  needless contact        0\n"
    assert wrong_answers(table) == 0
    assert wrong_answers(table + "  error                   2\n") == 2
    assert wrong_answers("  jobs with G76, at least 3      0  NOT MET\n" + table) == 0
    assert wrong_answers("Traceback (most recent call last):\n") == -1


def test_a_log_of_other_code_is_refused(tmp_path: Path) -> None:
    log = tmp_path / "log.jsonl"
    assert logged(log, "abc") == {}
    row = {"source": "abc", "name": "a:1 AddNot 0", "seen_by": "judge", "seconds": 1.0}
    log.write_text(json.dumps(row) + "\n")
    assert logged(log, "abc") == {"a:1 AddNot 0": Outcome("a:1 AddNot 0", "judge", 1.0)}
    with pytest.raises(ValueError, match="line 1: of other code"):
        logged(log, "abd")


def test_score() -> None:
    # Newcombe, Statistics in Medicine 17 (1998), table I: 81 of 263 is 0.2553 to 0.3662.
    low, high = interval(81, 263)
    assert (round(low, 4), round(high, 4)) == (0.2553, 0.3662)
    assert interval(0, 0) == (0.0, 1.0)
    found = [Outcome("a", "judge", 1.0)] * 9 + [Outcome("b", "", 1.0)]
    assert score_text(found).startswith("9 of 10 seen: 90.0 %")
