"""Each program of the corpus means what stands beside it."""

from __future__ import annotations

from pathlib import Path

import pytest
from corpus import Case, cases
from corpus_compare import faults

CASES = cases()
BY_NAME = {case.name: case for case in CASES}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_means_what_stands_beside_it(case: Case, tmp_path: Path) -> None:
    disagreements = faults(case, tmp_path)
    assert not disagreements, "\n".join(disagreements)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_says_something_that_is_compared(case: Case) -> None:
    assert case.data["says"].strip()
    assert case.means or "proof" in case.data


def test_every_program_has_its_meaning_and_every_meaning_its_program() -> None:
    here = Path(__file__).parent
    named = {case.path.parent / each for case in CASES for each in case.data.get("files", [])}
    assert {case.path for case in CASES} | named == set(here.glob("*/*.nc"))


NEAR_MISSES = [case for case in CASES if case.nearly]
MOST_LINES_CHANGED = 4
"""Of program and job together: more would not be near."""


@pytest.mark.parametrize("case", NEAR_MISSES, ids=lambda case: case.name)
def test_a_near_miss_is_near_and_misses(case: Case) -> None:
    drawn = BY_NAME[case.nearly]
    missed = codes(drawn) - codes(case)
    assert missed, f"{case.nearly} makes nothing that this program does not"
    assert _changed(case, drawn) <= MOST_LINES_CHANGED


def codes(case: Case) -> set[str]:
    """Codes of the findings that a case says its program makes."""
    return {finding.split()[1] for finding in case.findings}


def _changed(one: Case, other: Case) -> int:
    """Lines of one case that do not stand in the other, whichever has more of them."""
    lines = [case.text.splitlines() + _keys(case.data.get("job", {})) for case in (one, other)]
    return max(
        len([line for line in lines[0] if line not in lines[1]]),
        len([line for line in lines[1] if line not in lines[0]]),
    )


def _keys(job: dict[str, object]) -> list[str]:
    return [f"{key}={value}" for key, value in job.items()]
