"""The random jobs: what there must be among them, and that a seed names one job."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest
from judge.bench import LEFT_OPEN
from judge.generate import make_job
from judge.replay import judge

JOBS = [make_job(seed) for seed in range(700, 820)]
TABLES: list[dict[str, Any]] = [tomllib.loads(files["job.toml"]) for files in JOBS]
PROGRAMS = ["\n".join(t for name, t in files.items() if name != "job.toml") for files in JOBS]


def test_a_seed_names_one_job() -> None:
    assert make_job(731) == JOBS[31]
    assert make_job(732) != JOBS[31]


@pytest.mark.parametrize("shape", ["round", "tube", "hexagon", "square"])
def test_every_shape_of_bar(shape: str) -> None:
    assert any(job["blank"]["shape"] == shape for job in TABLES)


@pytest.mark.parametrize("key", ["run_out", "bow", "out_of_square", "size_tolerance"])
def test_blanks_that_are_not_true(key: str) -> None:
    assert any(job["blank"].get(key) for job in TABLES)


@pytest.mark.parametrize("station", range(1, 9))
def test_every_kind_of_tool_is_called(station: int) -> None:
    called = [p for p in PROGRAMS if f"T{station:02d}{station:02d}" in p]
    assert len(called) >= 5


@pytest.mark.parametrize("row", LEFT_OPEN)
def test_rows_of_the_control_are_left_open_and_stated(row: str) -> None:
    stated = [row in job["machine"]["control"] for job in TABLES]
    assert any(stated) and not all(stated)


@pytest.mark.parametrize("way", ["stop", "touch", "rule"])
def test_every_way_of_the_first_zero(way: str) -> None:
    assert any(job["setup"][0]["zero"]["way"] == way for job in TABLES)


@pytest.mark.parametrize("way", ["finished-on-stop", "measured", "nominal"])
def test_every_way_of_the_second_zero(way: str) -> None:
    assert any(job["setup"][1]["zero"]["way"] == way for job in TABLES)


@pytest.mark.parametrize(
    "pattern",
    [
        r"G02 .*R", r"G02 .*I", r"G03 .*R", r"G03 .*K-", r"G90 .*R-", r"G94 .*R\d", r"G01 U",
        r"G01 W-", r"X-[2-5]\.", r"^G28 U0$", r"^G28 W0$", r"^G28 U0 W0$", r"M04", r"G77 ", r"G24 ",
    ],
)  # fmt: skip
def test_words(pattern: str) -> None:
    assert any(re.search(pattern, program, re.MULTILINE) for program in PROGRAMS)


def test_one_tool_of_some_jobs_is_worn() -> None:
    worn = [sum(1 for tool in job["tools"] if tool.get("wear")) for job in TABLES]
    assert set(worn) == {0, 1}


def test_jobs_strike_and_are_clear() -> None:
    # Not the shares of a run, only that neither has died out.
    words = {judge(files, 0.2).word for files in JOBS[:12]}
    assert {"contact", "clear"} <= words
