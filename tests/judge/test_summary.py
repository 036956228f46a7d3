"""The table made from logs: what is added up, and what is not."""

from __future__ import annotations

from dataclasses import asdict, replace
from pathlib import Path

import pytest
from judge.compare import Kind, Outcome
from judge.log import Head, Stretch, open_log
from judge.rays import Outcome as WindowOutcome
from judge.rays import Ray
from judge.summary import groups_of, main, seeds_text, summary

HEAD = Head("aaaa", "c0ffee0123456789", True, Kind().row)


def row(seed: int, judged: str, proved: str) -> dict[str, object]:
    return asdict(Outcome(seed, judged, proved, "", "", ("G71",), 0.1, 0.1))


def test_seeds_as_ranges() -> None:
    assert seeds_text([5, 3, 4, 9, 1]) == "1, 3-5, 9"
    assert seeds_text([]) == ""


def test_rows_of_one_source_are_added_up_and_a_seed_counts_once() -> None:
    first = Stretch(HEAD, [row(1, "contact", "contact"), row(2, "clear", "clear")])
    later = Stretch(
        replace(HEAD, commit="beef", clean=False, begun="later"),
        [row(2, "clear", "unproven"), row(3, "contact", "contact")],
    )
    (group,) = groups_of([first, later])
    assert sorted(group.rows) == [1, 2, 3]
    told = summary([first, later])
    cells = [cell.strip() for cell in told.splitlines()[6].strip("|").split("|")]
    # Two strike and both are found: at most 1 - 0.05^(1/2) = 77.6 % of such are missed.
    assert cells[:7] == [
        "c0ffee012345, beef*", "aaaa", "0.1 mm", "1-3", "3", "0 of 2, at most 77.6 %",
        "0 of 0, at most 100 %",
    ]  # fmt: skip


def test_rows_of_other_sources_and_of_other_pixels_stand_apart() -> None:
    heads = [HEAD, replace(HEAD, source="bbbb"), replace(HEAD, asked=Kind(0.02).row)]
    told = summary([Stretch(head, [row(1, "clear", "clear")]) for head in heads])
    assert sum(line.count("1 of") == 0 and "| 1 | 1 |" in line for line in told.splitlines()) == 3


def test_rows_without_a_head_are_not_counted() -> None:
    assert "Nothing was run." in summary([Stretch(None, [row(1, "clear", "clear")])])


def test_windows_have_a_table_of_their_own() -> None:
    rays = (Ray("first", "agree", "", (2.0, 40.0), 0.1), Ray("job", "wider", "", (2.0, 40.0), 0.9))
    head = replace(HEAD, asked={"windows": True, "pixel": 0.2, "rays": 4})
    told = summary([Stretch(head, [asdict(WindowOutcome(7, rays, "", (), 0.0, 0.0))])])
    assert "Against the proof" not in told
    assert "| 7 | 1 | 1 of 2, at most 97.5 % | 1 |" in told  # p^2 = 1 - 0.05


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = open_log(tmp_path / "a.jsonl", HEAD, lambda: HEAD.source)
    log.append(row(1, "contact", "clear"))
    log.write()
    assert main([str(tmp_path / "a.jsonl")]) == 0
    assert "1 of 1, at most 100 %" in capsys.readouterr().out
    assert main([str(tmp_path / "none.jsonl")]) == 2
    assert "no file" in capsys.readouterr().err
