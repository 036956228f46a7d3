"""The panel of a box of blanks."""

from __future__ import annotations

from typing import Any

from standclear.page.lines import line_data
from standclear.page.measured.tables import table_in
from standclear.page.panels import on_bench
from standclear.page.working import Sent, sent
from standclear.plan.at_machine.box import NEEDED, OTHERS, blanks_of, sort_box
from standclear.plan.table import rows_of
from standclear.report.plan.box import box_lines


def sorted_box(asked: Sent) -> dict[str, Any]:
    """The blanks in `table` (columns name, diameter, length, uncertainty) in the fewest shifts."""
    table = table_in(asked)
    files, held, _ = asked.job.ready
    blanks = blanks_of(rows_of(table, "the box", NEEDED, OTHERS), files.job)
    found = sort_box(held, files.job, blanks)
    lines = box_lines(found, files.job.part.length, files.job.units)
    return {"settled": not found.scrap, "lines": line_data(lines)}


PANEL = on_bench(__file__, "A box of blanks", sent("box", sorted_box))
