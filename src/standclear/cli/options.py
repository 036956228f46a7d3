"""Arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standclear.files import JOB_FILE

Jobs = Annotated[list[Path], typer.Argument(help=f"Job file, or a folder that holds {JOB_FILE}.")]
OneJob = Annotated[Path, typer.Argument(help=f"Job file, or a folder that holds {JOB_FILE}.")]
Bar = Annotated[
    float | None,
    typer.Option(help="Bar size on the bench, in the job's unit, in place of the job's."),
]
Length = Annotated[
    float | None,
    typer.Option(help="Blank length on the bench, in the job's unit, in place of the job's."),
]
Face = Annotated[
    float | None,
    typer.Option(help="How far the raw face stands out in front of part zero, first end."),
]
Large = Annotated[bool, typer.Option("--large", help="Read program files over 20 MB too.")]
AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON, lengths in mm.")]
