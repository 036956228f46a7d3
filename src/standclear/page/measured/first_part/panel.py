"""The panel of the first part."""

from __future__ import annotations

from typing import Any

from standclear.page.bench import OpenJob
from standclear.page.lines import line_data
from standclear.page.measured.tables import table_in
from standclear.page.panels import on_bench
from standclear.page.working import Sent, sent
from standclear.page.working import asked as asked_of
from standclear.plan.first_part.correct import correct
from standclear.plan.first_part.measurements import NEEDED, OTHERS, gauges_of
from standclear.plan.table import rows_of
from standclear.report.plan.first_part import correction_lines
from standclear.report.sizes import fixed


def sizes(job: OpenJob, _: dict[str, float]) -> dict[str, Any]:
    """The sizes that can be measured, with what the drawing wants."""
    proof = job.ready[2]
    return {
        "units": proof.units,
        "sizes": [
            {
                "name": size.name,
                "wanted": "" if size.wanted is None else fixed(size.wanted, proof.units),
                "tolerance": ""
                if size.tolerance is None
                else " to ".join(f"{fixed(t, proof.units)}" for t in size.tolerance),
            }
            for size in proof.sizes
            if size.wanted is not None
        ],
    }


def corrected(asked: Sent) -> dict[str, Any]:
    """What to key in for the sizes in `table` (columns name, measured, uncertainty)."""
    table = table_in(asked)
    files, held, proof = asked.job.ready
    gauges = gauges_of(rows_of(table, "the sizes", NEEDED, OTHERS), files.job, proof)
    found = correct(held, files.job, proof, gauges)
    return {"settled": found.settled, "lines": line_data(correction_lines(found, proof.units))}


PANEL = on_bench(
    __file__,
    "First part measured",
    asked_of("sizes.json", sizes),
    sent("first-part", corrected),
)
