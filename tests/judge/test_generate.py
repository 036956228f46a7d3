"""The random jobs: what there must be among them, and that a seed names one job."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest
from judge.bench import LEFT_OPEN
from judge.features import FAULTS, FEATURES, draw_extras
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


@pytest.mark.parametrize(
    ("feature", "pattern"),
    [
        ("pattern", r"^G73 U\S+ W\S+ R\d"), ("one-block", r"^G7[12] P\d+ .* D"),
        ("threads", r"^G76 P01"), ("threads", r"^G92 X"), ("threads", r"^G32 .*Z"),
        ("inside-facing", r"^T0505(.|\n)*^G72 P"), ("pockets", r"^N\d+ G00 X\S+ Z"),
        ("pecking", r"^G75 X\S+ P"), ("drilling", r"^G83 .*Z-"), ("compensation", r"G42 G00 X"),
        ("compensation", r"G41 G00"), ("corner-words", r"G01 X\S+ (Z\S+ )?,[CR]"),
        ("corner-words", r"G01 [XZ]\S+ [CR]"), ("subprograms", r"^M98 P"), ("macros", r"^G65 P"),
        ("variables", r"X#1"), ("variables", r"\[.*\+"), ("loops", r"^WHILE\["),
        ("loops", r"^IF\[.*GOTO"), ("block-delete", r"^/G00"), ("zero-shift", r"^G52 X"),
        ("place-setting", r"^G50 X\S+ Z200"), ("tool-words", r"^T010101"), ("tool-words", "G30"),
        ("families", r"G77 |G20 X"),
    ],
)  # fmt: skip
def test_each_feature_comes_when_it_is_asked_for(feature: str, pattern: str) -> None:
    jobs = [make_job(seed, only=(feature,)) for seed in range(60)]
    texts = ["\n".join(t for name, t in files.items() if name != "job.toml") for files in jobs]
    assert any(re.search(pattern, text, re.MULTILINE) for text in texts)


def test_no_other_feature_comes_when_one_is_asked_for() -> None:
    texts = ["\n".join(make_job(seed, only=("tool-words",)).values()) for seed in range(40)]
    assert not re.search(r"G32|M98|G52|#1|,C", "\n".join(texts))


def test_features_come_by_their_weights_when_none_is_asked_for() -> None:
    found = [draw_extras(seed, ()).chosen for seed in range(400)]
    for feature, weight in FEATURES.items():
        share = sum(feature in chosen for chosen in found) / len(found)
        assert abs(share - weight) < 0.06


@pytest.mark.parametrize("feature", list(FEATURES))
def test_the_judge_follows_jobs_with_each_feature(feature: str) -> None:
    words = [judge(make_job(seed, only=(feature,)), 0.4).word for seed in range(30, 34)]
    assert words.count("undecided") <= 1


@pytest.mark.parametrize("fault", sorted({f for faults in FAULTS.values() for f in faults}))
def test_every_fault_of_a_feature_is_planted(fault: str) -> None:
    feature = next(name for name, faults in FAULTS.items() if fault in faults)
    assert any(draw_extras(seed, (feature,)).fault == fault for seed in range(80))
