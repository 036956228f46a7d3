"""The job put onto the amended programs: its file names them in place of its own."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from typing import Any

from standclear.job.models import Job
from standclear.job.writing import edited_toml
from standclear.page.answers import Refused
from standclear.page.working import Sent
from standclear.page.writing import put_zeros

OF_THE_JOB = ("bar", "length")
"""Handles that go on being dragged: the file is given programs and zeros, not the blank."""


def switched(asked: Sent, then: Job) -> dict[str, Any]:
    """Put `use`, names of new programs by those they take the place of, into the job file, and the
    zeros of `then`; what the file held is kept. Says which handles are to stand elsewhere still.

    Raises Refused where the job was changed meanwhile, or `use` names what is not there.
    """
    job, store = asked.job, asked.store
    files = job.ready[0]
    if asked.body.get("revision") != job.revision:
        raise Refused(409, "The job was changed elsewhere meanwhile: look at it first.")
    use = asked.body.get("use")
    if not isinstance(use, dict) or not use.keys() <= files.programs.keys():
        raise Refused(400, "`use` names no programs of this job.")
    for name in use.values():
        if not isinstance(name, str) or not store.inside(job.place.folder, name).is_file():
            raise Refused(422, f"There is no file {name} beside the job.")
    name = job.place.path.name
    data, _ = store.read(job.place.path)
    text = data.decode("utf-8-sig")
    tables: dict[str, Any] = copy.deepcopy(tomllib.loads(text))
    _put_programs(tables, use)
    put_zeros(tables, files.job, then)
    store.save(job.place.path, edited_toml(text, tables).encode("utf-8"), files.files[name])
    zeros_moved = any(
        old.zero != new.zero for old, new in zip(files.job.setup, then.setup, strict=True)
    )
    values = asked.values
    if zeros_moved:
        values = {k: v for k, v in values.items() if k in OF_THE_JOB or k.startswith("jaw.")}
    return {"file": name, "values": values}


def _put_programs(tables: dict[str, Any], use: Mapping[str, str]) -> None:
    for setup in tables["setup"]:
        setup["program"] = use.get(setup["program"], setup["program"])
    if "subprograms" in tables:
        tables["subprograms"] = [use.get(each, each) for each in tables["subprograms"]]
