"""Sheets that several tests read: gathered once."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.plan.tiny_job import write_tiny

import standclear
from standclear.sheet.content import Sheet
from standclear.sheet.gather import sheet_of

EXAMPLES = Path(__file__).parents[2] / "examples"
TOOL = "5" * 64
"""Stands for the hash of the tool's source, which somebody may be editing while tests run."""
AT = datetime(2031, 5, 6, 7, 8, 9, tzinfo=UTC)


def sheet_for(folder: Path, *, quick: bool = False, **given: float) -> Sheet:
    """The sheet of a job, with sizes given in place of its own; `quick` leaves out what takes many
    proofs: other bars, and what the verdict leans on."""
    files = standclear.read_job(folder, **given)
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    as_filed = standclear.read_job(folder).job
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("standclear.sheet.gather.tool_hash", lambda: TOOL)
        if quick:
            patch.setattr("standclear.sheet.gather.stock_windows", lambda *_: ())
            patch.setattr("standclear.sheet.gather.leaning", lambda *_: ())
        return sheet_of(held, proof, as_filed, AT, given=given, job_from_sheet="job.toml")


@pytest.fixture(scope="session")
def pin() -> Sheet:
    """The demo pin as it was written: clear."""
    return sheet_for(EXAMPLES / "demo-pin")


@pytest.fixture(scope="session")
def thick() -> Sheet:
    """A job that strikes."""
    return sheet_for(EXAMPLES / "thicker-bar", quick=True)


@pytest.fixture(scope="session")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    """One face on bar 40: quickly gathered."""
    return sheet_for(write_tiny(tmp_path_factory.mktemp("sheet") / "job"))
