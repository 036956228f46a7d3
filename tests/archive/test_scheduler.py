"""Many jobs on the workers of a Dask scheduler; here a small cluster in this process."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from standclear.archive.find import jobs_in
from standclear.archive.run import rows_from_workers
from standclear.archive.wanted import Wanted
from standclear.cli import app
from standclear.errors import FileError

distributed = pytest.importorskip("distributed")
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_answers_are_those_of_this_machine(tmp_path: Path) -> None:
    for name in ("demo-pin", "bent-rapid"):
        shutil.copytree(EXAMPLES / name, tmp_path / name)
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "job.toml").write_text("")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None
    ) as cluster:
        words = ["prove", str(tmp_path), "--lines", "--scheduler", cluster.scheduler_address]
        result = CliRunner().invoke(app, words)
        found = {Path(r.job).parent.name: r.verdict
                 for r in rows_from_workers(
                     jobs_in([tmp_path]), Wanted(bar=52.0, length=86.5),
                     cluster.scheduler_address)}  # fmt: skip
    told = [json.loads(line) for line in result.stdout.splitlines()]
    assert {Path(row["job"]).parent.name: row["verdict"] for row in told} == {
        "demo-pin": "clear",
        "bent-rapid": "contact",
        "broken": "",
    }
    assert result.exit_code == 2
    assert found["demo-pin"] == "contact"


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "nowhere at all"])
def test_a_scheduler_that_does_not_answer(address: str) -> None:
    with pytest.raises(FileError, match="no scheduler answers there"):
        list(rows_from_workers([EXAMPLES / "demo-pin"], Wanted(), address))
