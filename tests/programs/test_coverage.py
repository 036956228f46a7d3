"""Each word and behaviour of the language stands in the checklist with a program that uses it."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from corpus import Case, cases

from standclear.findings.pages import codes
from standclear.job.models import Control, Machine

LISTED = tomllib.loads((Path(__file__).parent / "coverage.toml").read_text())
CASES = {case.name: case for case in cases()}
ITEMS = [
    pytest.param(item, id=f"{section}: {item['says']}")
    for section, items in LISTED["words"].items()
    for item in items
]
SECTIONS = 13
"""Axes and text, order in a block, places, flow, G71, G72, G73, G70, pecking with drilling,
threads, single passes, nose compensation, what a setter checks by eye; rows have a table."""


@pytest.mark.parametrize("item", ITEMS)
def test_the_program_holds_the_word(item: dict[str, Any]) -> None:
    assert item["in"], "no program uses it"
    for name in item["in"]:
        assert name in CASES, f"no such program: {name}"
        text = CASES[name].text
        assert re.search(item["word"], text, re.MULTILINE | re.IGNORECASE), name


def test_no_section_is_left_out() -> None:
    assert len(LISTED["words"]) == SECTIONS
    assert all(LISTED["words"].values())


ROWS = [
    pytest.param(row, value, names, id=f"{row}={value}")
    for row, values in LISTED["rows"].items()
    for value, names in values.items()
]


@pytest.mark.parametrize(("row", "value", "names"), ROWS)
def test_the_job_states_the_row(row: str, value: str, names: list[str]) -> None:
    assert names, "no program is run with it"
    for name in names:
        stated = _row(CASES[name], row)
        if value == "stated":
            assert stated is not None, f"{name} leaves it open"
        else:
            assert stated == (None if value == "open" else value), f"{name} has {stated}"


def test_every_row_has_every_value() -> None:
    """Rows of the job's model: each value that it takes, and open where it may be open."""
    for row, field in {**Control.model_fields, **_machine_rows()}.items():
        choice = re.search(r"Literal\[(.*?)\]", str(field.annotation))
        wanted = set(re.findall(r"'(.*?)'", choice.group(1))) if choice else {"stated"}
        missing = wanted - LISTED["rows"].get(row, {}).keys()
        assert not missing, f"{row}: {missing}"


FINDINGS = LISTED["findings"]


@pytest.mark.parametrize("code", FINDINGS)
def test_a_program_makes_the_finding_and_another_just_does_not(code: str) -> None:
    made, missed = CASES[FINDINGS[code]["made"]], CASES[FINDINGS[code]["missed"]]
    assert code in _codes(made)
    assert code not in _codes(missed)
    assert missed.data.get("findings") is not None or code in missed.data["proof"]["misses"]
    assert missed.nearly == made.name


def test_every_code_of_text_and_execution_is_listed() -> None:
    """What is listed beside them comes from the proof or the job: tests/findings draws those."""
    others = set(LISTED["findings_of_proof_and_job"]["codes"])
    assert others <= set(codes())
    assert set(FINDINGS) >= set(codes()) - others


def test_every_case_is_listed() -> None:
    named = {name for items in LISTED["words"].values() for item in items for name in item["in"]}
    named |= {n for values in LISTED["rows"].values() for names in values.values() for n in names}
    named |= {each[key] for each in FINDINGS.values() for key in ("made", "missed")}
    assert CASES.keys() == named


def _machine_rows() -> dict[str, Any]:
    names = ("rapid_path", "rapid_rates", "rapid_corner", "home", "second_home")
    return {name: Machine.model_fields[name] for name in names}


def _row(case: Case, row: str) -> Any:
    """What the job says of a row, else what the model takes; None where it is open."""
    machine = case.job["machine"]
    if row in Control.model_fields:
        return machine["control"].get(row, Control.model_fields[row].default)
    return machine.get(row, Machine.model_fields[row].default)


def _codes(case: Case) -> set[str]:
    return {finding.split()[1] for finding in case.findings}
