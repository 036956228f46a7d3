"""Keeping a proof with its files, and saying what changed since the last one kept."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from standclear.plan.later.kept_files import Asked
    from standclear.proof.held import Held
    from standclear.proof.result import JobProof

Sizes = tuple[float | None, float | None, float | None]
"""Bar, length and face as given beside the job, in its unit."""


def asked_job(
    path: Path,
    sizes: Sizes,
    jaws: Sequence[str],
    grips: Sequence[str],
    material: str | None,
    large: bool,
) -> tuple[Held, JobProof, Asked]:
    """A job held and judged with what is on the bench in place of its own values.

    Raises StandclearError where it cannot be read or held, or changed meanwhile.
    """
    import standclear
    from standclear.job.unchanged import check_unchanged
    from standclear.plan.later.kept_files import Asked
    from standclear.plan.later.other_holding import holding_from_words, with_holding

    bar, length, face = sizes
    files = standclear.read_job(path, bar=bar, length=length, face=face, large=large)
    holding = holding_from_words(jaws, grips, material, files.job)
    held = standclear.hold(with_holding(files, holding) if holding else files)
    proof = standclear.judge(held, held.files.job)
    check_unchanged(files)
    return held, proof, Asked(bar, length, face, holding)


def told_since(held: Held, proof: JobProof, *, as_json: bool) -> str:
    """What changed since the last kept proof; as JSON `since` with the answer in `answer`."""
    import json

    from standclear.plan.later.since import TOOL, last_kept, since, tool_hash
    from standclear.report.json_answer import answer
    from standclear.report.lines import plain
    from standclear.report.plan.plain_json import plain as as_table
    from standclear.report.plan.since import since_lines

    now = answer(proof).model_dump(mode="json")
    beside = {**now, "files": {**now["files"], TOOL: tool_hash()}}
    found = since(last_kept(held.files.folder), beside, held)
    if as_json:
        return json.dumps({"since": as_table(found), "answer": now}, indent=1) + "\n"
    return "\n" + plain(since_lines(found, proof.units))


def json_of(proof: JobProof, proved_at: str | None = None) -> str:
    """The answer as JSON text."""
    from standclear.report.json_answer import answer, to_json

    return to_json(answer(proof, proved_at))


def keep_proof(held: Held, proof: JobProof, asked: Asked) -> None:
    """Put a dated answer, and every file read for it, into `proofs/` beside the job."""
    from standclear.report import keep

    typer.echo(f"kept as {keep.keep_proof(held.files, proof, asked)}", err=True)
