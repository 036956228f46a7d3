"""The files of a kept proof, beside its answer: what was proved can be read again as it was.

    proofs/2031-05-06T07-08-09.json     the answer
    proofs/2031-05-06T07-08-09/         the job and every file it names, as they were
        asked.json                      what stood in for the job's own values, and where the job is

A job may name files in folders above its own: it lies as many folders deep as the highest of them
wants, so that every name still leads there.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from posixpath import normpath

from standclear.errors import Fault, FileError
from standclear.files import read_limited, write_new
from standclear.job.read import JobFiles, read_job
from standclear.plan.later.other_holding import Holding, OtherJaws, with_holding

ASKED = "asked.json"
IN_FOLDER = "at"
"""Name of the folders that a job lies in, so that names with `..` find what they name."""
JAWS = "jaws"


@dataclass(frozen=True)
class Asked:
    """What stood in for the job's own values, sizes in the job's unit."""

    bar: float | None = None
    length: float | None = None
    face: float | None = None
    holding: Holding = field(default_factory=Holding)


def keep_files(kept: Path, files: JobFiles, asked: Asked) -> Path:
    """Put the files of a proof beside its answer `kept`, in a folder of its name; none is written
    over. Names from the root of the file system are left out: they stay where they are.

    Raises FileError where one cannot be read or written, or is another one since it was proved.
    """
    folder = kept.with_suffix("")
    given = {other.file for other in asked.holding.jaws}
    names = [n for n in files.files if n not in given and not PurePosixPath(n).is_absolute()]
    at = folder.joinpath(*[IN_FOLDER] * max(map(_climbs, names), default=0))
    folder.mkdir(exist_ok=True)
    for name in names:
        data = read_limited(files.folder / name, large=True)
        if hashlib.sha256(data).hexdigest() != files.files[name]:
            found = "the file changed while it was proved"
            raise FileError(Fault(name, "", found, "prove and keep again"))
        target = Path(normpath(at / name))
        target.parent.mkdir(parents=True, exist_ok=True)
        write_new(target, data)
    jaws = {}
    for number, other in enumerate(asked.holding.jaws, 1):
        jaws[other.setup] = {"name": other.file, "kept": f"{JAWS}-{number}.toml"}
        write_new(folder / f"{JAWS}-{number}.toml", other.data)
    text = json.dumps(
        {
            "job": str((at / files.path.name).relative_to(folder)),
            "bar": asked.bar,
            "length": asked.length,
            "face": asked.face,
            "material": asked.holding.material,
            "grips": dict(asked.holding.grips),
            "jaws": jaws,
        },
        indent=1,
    )
    write_new(folder / ASKED, f"{text}\n".encode())
    return folder


def kept_job(kept: Path, hashes: Mapping[str, str]) -> JobFiles:
    """The job of a kept answer as it was; `hashes` are those of the answer.

    Raises FileError or JobError where its files were not kept, cannot be read, or are others.
    """
    folder = kept.with_suffix("")
    try:
        asked = json.loads(read_limited(folder / ASKED))
        files = read_job(
            folder / asked["job"],
            bar=asked["bar"],
            length=asked["length"],
            face=asked["face"],
            large=True,
        )
        jaws = tuple(
            OtherJaws(setup, each["name"], read_limited(folder / each["kept"]))
            for setup, each in asked["jaws"].items()
        )
        holding = Holding(jaws, tuple(asked["grips"].items()), asked["material"])
        found = with_holding(files, holding)
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        accepted = "keep another proof: standclear prove JOB --keep"
        raise FileError(Fault(str(folder / ASKED), "", "it is not as it was kept", accepted)) from (
            error
        )
    for name, digest in found.files.items():
        if hashes.get(name) != digest:
            accepted = "keep another proof: standclear prove JOB --keep"
            raise FileError(Fault(str(folder), "", f"{name} is not as it was proved", accepted))
    return found


def _climbs(name: str) -> int:
    """How many folders above the job's own the file lies."""
    return sum(part == ".." for part in PurePosixPath(normpath(name)).parts)
