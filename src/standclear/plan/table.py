"""Small tables that a shop writes down: CSV with a heading line, lengths in the job's unit."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from standclear.errors import Fault, JobError
from standclear.files import read_text_bytes
from standclear.job.units import Units, millimetres


@dataclass(frozen=True)
class Row:
    """One line of a table: texts by column name, and the line it stands on, counted from 1."""

    file: str
    line: int
    cells: dict[str, str]

    def length(self, column: str, units: Units, default: float | None = None) -> float:
        """The length in `column`, given in `units`, in mm; `default` where the cell is empty.

        Raises JobError where it is no number, below 0, or empty without a default.
        """
        text = self.cells.get(column, "")
        if not text and default is not None:
            return default
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not (math.isfinite(value) and value >= 0):
            found = f'"{text}"' if text else "empty"
            raise self.fault(column, found, f"give a length in {units}, 0 or more")
        return millimetres(value, units)

    def fault(self, column: str, found: str, accepted: str) -> JobError:
        """The error that names this line and `column`."""
        return JobError([Fault(self.file, f"line {self.line}, {column}", found, accepted)])


def read_table(path: Path, needed: Sequence[str], others: Sequence[str] = ()) -> tuple[Row, ...]:
    """The rows of a CSV file; see `rows_of`. Raises FileError too where it cannot be read."""
    return rows_of(read_text_bytes(path), path.name, needed, others)


def rows_of(
    data: bytes, name: str, needed: Sequence[str], others: Sequence[str] = ()
) -> tuple[Row, ...]:
    """The rows of a table whose heading names every column of `needed` and none beyond `others`.

    Commas or semicolons between cells; blank lines and lines that begin with # are left out.
    `name` is the file's, for errors. Raises JobError where heading or a line does not fit.
    """
    text = data.decode("utf-8-sig", errors="replace")
    numbered = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    accepted = f"give a heading line such as {','.join([*needed, *others])}"
    if not numbered:
        raise JobError([Fault(name, "", "the table is empty", accepted)])
    mark = ";" if ";" in numbered[0][1] else ","
    names = [cell.strip().lower() for cell in _cells(numbered[0][1], mark)]
    missing = [each for each in needed if each not in names]
    strange = [each for each in names if each not in {*needed, *others}]
    if missing or strange or len(set(names)) < len(names):
        found = f'"{numbered[0][1].strip()}"'
        raise JobError([Fault(name, f"line {numbered[0][0]}", found, accepted)])
    rows = []
    for number, line in numbered[1:]:
        cells = [cell.strip() for cell in _cells(line, mark)]
        if len(cells) > len(names):
            found = f"{len(cells)} cells"
            raise JobError(
                [Fault(name, f"line {number}", found, f"give {len(names)}, as the heading")]
            )
        cells += [""] * (len(names) - len(cells))
        rows.append(Row(name, number, dict(zip(names, cells, strict=True))))
    if not rows:
        raise JobError([Fault(name, "", "the table has no line below its heading", accepted)])
    return tuple(rows)


def _cells(line: str, mark: str) -> list[str]:
    return next(csv.reader(io.StringIO(line), delimiter=mark), [])
