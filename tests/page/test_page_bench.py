"""Open jobs: read again when a file changes, kept when none does, and few at a time."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from standclear.errors import JobError
from standclear.page.bench import MOST_OPEN, Bench
from standclear.page.store import Store


@pytest.fixture
def bench(shop: Path) -> Bench:
    return Bench(Store(shop))


def test_nothing_is_read_twice_while_no_file_changes(bench: Bench) -> None:
    assert bench.job("demo-pin") is bench.job("demo-pin")


def test_another_program_reuses_the_end_that_stays(bench: Bench, shop: Path) -> None:
    before = bench.job("demo-pin")
    program = shop / "demo-pin" / "pin.nc"
    # Line 10, front end; the back end's motions stay as they are.
    program.write_text(program.read_text().replace("X51. Z5. M08", "X52. Z5. M08", 1))
    after = bench.job("demo-pin")
    assert after.revision != before.revision
    one, other = before.ready[1].readings, after.ready[1].readings
    assert one[0][0].keep is not other[0][0].keep
    assert one[1][0].keep is other[1][0].keep


def test_a_file_touched_and_not_changed_keeps_the_proof(bench: Bench, shop: Path) -> None:
    before = bench.job("demo-pin")
    program = shop / "demo-pin" / "pin.nc"
    program.write_bytes(program.read_bytes())
    assert bench.job("demo-pin") is before


def test_a_file_that_goes_is_a_fault_and_one_that_comes_back_mends_it(
    bench: Bench, shop: Path
) -> None:
    assert not bench.job("demo-pin").faults
    tools = shop / "demo-pin" / "tools.toml"
    tools.rename(shop / "away.toml")
    broken = bench.job("demo-pin")
    assert broken.faults and broken.proof is None
    with pytest.raises(JobError, match=r"tools\.toml"):
        _ = broken.ready
    (shop / "away.toml").rename(tools)
    assert not bench.job("demo-pin").faults


@pytest.mark.parametrize("key", ['machine = "machine.toml"', 'tools = "tools.toml"'])
def test_no_key_of_a_job_leads_out_of_the_folder(bench: Bench, shop: Path, key: str) -> None:
    (shop.parent / "out.toml").write_text("secret = 1\n")
    job = shop / "demo-pin" / "job.toml"
    name = key.split(" ")[0]
    job.write_text(job.read_text().replace(key, f'{name} = "../../out.toml"'))
    opened = bench.job("demo-pin")
    assert "outside the folder" in str(opened.faults[0])
    assert "../../out.toml" not in opened.names


def test_files_of_a_folder_above_are_read_where_the_page_was_started_there(
    bench: Bench, shop: Path
) -> None:
    (shop / "demo-pin" / "tools.toml").rename(shop / "tools.toml")
    job = shop / "demo-pin" / "job.toml"
    job.write_text(job.read_text().replace('"tools.toml"', '"../tools.toml"'))
    assert not bench.job("demo-pin").faults
    alone = Bench(Store(shop / "demo-pin"))
    assert "outside the folder" in str(alone.job("demo-pin").faults[0])


def test_few_jobs_are_held_at_a_time(bench: Bench, shop: Path) -> None:
    for number in range(MOST_OPEN + 2):
        shutil.copytree(shop / "parted-collar", shop / f"collar-{number}")
        (shop / f"collar-{number}" / "job.toml").write_text("title = 1\n")
        bench.job(f"collar-{number}")
    assert len(bench._open) == MOST_OPEN
    with pytest.raises(KeyError):
        bench.job("nothing")
