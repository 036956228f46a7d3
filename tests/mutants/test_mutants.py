"""The draw of small faults, and whether a fault and its absence are told apart."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from mutants.__main__ import logged
from mutants.draw import CHECKER, Mutant, changed, difference, drawn, mutants_of
from mutants.reach import FOLDERS, Reach, asked, lines_of, read_reach
from mutants.run import Outcome, fails, first_failing, note_tests, wrong_answers
from mutants.score import interval, score_text

ROOT = Path(__file__).parents[2]

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


def test_how_a_dataclass_keeps_its_fields_is_no_fault(tmp_path: Path) -> None:
    root = tree(tmp_path)
    (root / "src/standclear/proof/x.py").write_text(
        "from dataclasses import dataclass\n@dataclass(frozen=True, slots=True)\nclass A: ...\n"
    )
    # Frozen or not can be seen, by whoever puts it into a set.
    assert [m.occurrence for m in drawn(root, 1, 10)] == [0]


def test_of_the_checker_only_the_checker_is_drawn() -> None:
    assert all(each.path.startswith("audit/") for each in drawn(ROOT, 1, 5, CHECKER))


REACH = Reach(
    {"tests/motions/test_a.py::one": 1.0, "tests/proof/test_b.py::slow": 8.0,
     "tests/proof/test_b.py::quick": 2.0, "tests/motions/test_a.py::two": 3.0},
    {"proof/x.py": {
        5: ("tests/motions/test_a.py::one", "tests/proof/test_b.py::slow"),
        6: ("tests/proof/test_b.py::quick", "tests/motions/test_a.py::one"),
    }},
)  # fmt: skip


def asked_at(line: int, longest: float = 100.0) -> list[str]:
    mutant = Mutant("proof/x.py", line, "AddNot", 0)
    return [test.rpartition("::")[2] for test in asked(mutant, TEXT, REACH, longest)]


def test_the_tests_next_to_a_file_are_asked_first_and_quick_ones_before_slow() -> None:
    assert asked_at(6) == ["quick", "one"]
    # Line 3 begins a function and is run when the file is imported: all tests count.
    assert asked_at(3) == ["quick", "slow", "one", "two"]


def test_no_more_is_asked_than_time_allows() -> None:
    assert asked_at(3, longest=3.5) == ["quick", "one"]


def test_a_fault_stands_in_the_lines_of_its_statement() -> None:
    text = "def a(\n b: int,\n) -> int:\n if (\n  b\n ):\n  b = (\n1)\n return b\n"
    assert list(lines_of(text, 2)) == [1, 2, 3]
    assert list(lines_of(text, 5)) == [4, 5, 6]
    assert list(lines_of(text, 8)) == [7, 8]
    assert list(lines_of(text, 9)) == [9]


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A tree with a package of two functions, and two tests."""
    shutil.copytree(ROOT / "mutants", tmp_path / "mutants")
    package = tmp_path / "src/standclear/proof"
    package.mkdir(parents=True)
    (tmp_path / "src/standclear/__init__.py").touch()
    (package / "__init__.py").touch()
    (package / "x.py").write_text("def one():\n    return 1\ndef two():\n    return 2\n")
    for folder in FOLDERS:
        (tmp_path / "tests" / folder).mkdir(parents=True)
    (tmp_path / "tests/proof/test_one.py").write_text(
        "from standclear.proof.x import one\ndef test_one():\n    assert one() == 1\n"
    )
    (tmp_path / "tests/proof/test_two.py").write_text(
        "from standclear.proof.x import two\ndef test_two():\n    assert two() == 2\n"
    )
    return tmp_path


ONE, TWO = "tests/proof/test_one.py::test_one", "tests/proof/test_two.py::test_two"


def test_which_test_runs_through_which_line_is_noted(small: Path) -> None:
    notes = [small / "a.json"]
    assert note_tests(small, notes) == ""
    reach = read_reach(notes)
    assert reach.through("proof/x.py", [2]) == {ONE}
    assert reach.through("proof/x.py", [4]) == {TWO}
    assert reach.through("proof/x.py", [3]) == {ONE, TWO}
    assert set(reach.seconds) == {ONE, TWO}


def test_a_tree_that_fails_as_it_is_is_told(small: Path) -> None:
    (small / "tests/proof/test_one.py").write_text("def test_one():\n    assert 1 == 2\n")
    assert ONE in note_tests(small, [small / "a.json"])


def test_a_fault_is_seen_by_the_tests_asked_and_by_no_other(small: Path) -> None:
    assert first_failing([ONE, TWO], small) == "" and not fails("tests/proof", small)
    path = small / "src/standclear/proof/x.py"
    path.write_text(path.read_text().replace("return 2", "return 3"))
    assert first_failing([ONE, TWO], small) == TWO and fails("tests/proof", small)
    assert first_failing([ONE], small) == "" and first_failing([], small) == ""


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
    found = [Outcome("a", "judge", 1.0)] * 8 + [Outcome("b", "", 1.0), Outcome("c", ONE, 1.0)]
    text = score_text(found)
    assert text.startswith("9 of 10 seen: 90.0 %") and text.endswith("judge 8, tests/proof 1")
