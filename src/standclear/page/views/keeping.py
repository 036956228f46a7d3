"""Keeping: what is on the bench into the job file, and a dated proof beside it."""

from __future__ import annotations

from typing import Any

from standclear.page.answers import Refused
from standclear.page.working import Sent, moved, sent
from standclear.page.writing import with_values
from standclear.plan.later.kept_files import Asked
from standclear.report.keep import keep_proof

OF_THE_BLANK = frozenset({"bar", "length", "face"})
"""What a kept proof can say beside its files."""


def take(asked: Sent) -> dict[str, Any]:
    """The job file with what is dragged in it; `revision` is the one that was looked at."""
    job, store = asked.job, asked.store
    files, _, _ = job.ready
    if asked.body.get("revision") != job.revision:
        raise Refused(409, "The job was changed elsewhere meanwhile: look at it first.")
    name = job.place.path.name
    data, _ = store.read(job.place.path)
    text = with_values(data.decode("utf-8-sig"), files.job, asked.values)
    revision = store.save(job.place.path, text.encode("utf-8"), files.files[name])
    return {"file": name, "revision": revision}


def keep(asked: Sent) -> dict[str, Any]:
    """The answer for what is on the bench, dated, with every file that it was made from."""
    job, values = asked.job, asked.values
    files = job.ready[0]
    if not values.keys() <= OF_THE_BLANK:
        raise Refused(
            422, "A kept proof knows bar, length and face allowance. Write the rest into the job."
        )
    _, shown = moved(job, values)
    on_bench = Asked(values.get("bar"), values.get("length"), values.get("face"))
    kept = keep_proof(files, shown, on_bench)
    return {"kept": f"proofs/{kept.name}", "verdict": str(shown.verdict)}


ROUTES = [sent("take", take), sent("keep", keep, 201)]
