"""The bench of today in place of the job's: other jaws, another gripped diameter, another material.

The job file stays as it is.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from standclear.errors import Fault, JobError
from standclear.files import read_text_bytes
from standclear.job.checks import table_flaws
from standclear.job.models import Jaws, JawsFile, Job
from standclear.job.read import JobFiles
from standclear.job.salvage import read_table
from standclear.job.setup_checks import setup_flaws
from standclear.job.toml_text import parse_toml
from standclear.job.units import Units, to_millimetres
from standclear.job.wording import key_path


@dataclass(frozen=True)
class OtherJaws:
    """Jaws of one set-up from a file that the job does not name."""

    setup: str
    file: str
    data: bytes


@dataclass(frozen=True)
class Holding:
    """What is on the bench beside the blank's sizes; empty where it is as the job file says."""

    jaws: tuple[OtherJaws, ...] = ()
    grips: tuple[tuple[str, float], ...] = ()
    """Set-up and gripped diameter, in the job's unit."""
    material: str | None = None

    def __bool__(self) -> bool:
        return bool(self.jaws or self.grips or self.material is not None)


def holding_from_words(
    jaws: Sequence[str], grips: Sequence[str], material: str | None, job: Job
) -> Holding:
    """What `SETUP=FILE` and `SETUP=DIAMETER` say; the set-up may be left out where the job has one.

    Raises JobError where a set-up is not known or a diameter is no number, FileError where a file
    cannot be read.
    """
    files = [(_named(words, "--jaws", "FILE", job)) for words in jaws]
    return Holding(
        tuple(OtherJaws(name, file, read_text_bytes(Path(file))) for name, file in files),
        tuple(_grip(words, job) for words in grips),
        material,
    )


def with_holding(files: JobFiles, holding: Holding) -> JobFiles:
    """`files` with what is on the bench; other jaws count among the files read.

    Raises JobError with every fault of the jaws, and where they do not fit the set-up.
    """
    units: Units = "inch" if files.job.units == "inch" else "mm"
    setups = {setup.name: setup for setup in files.job.setup}
    hashes = dict(files.files)
    for other in holding.jaws:
        read = _jaws(other, units)
        setups[other.setup] = setups[other.setup].model_copy(update={"jaws": read})
        hashes[other.file] = hashlib.sha256(other.data).hexdigest()
    scale = 25.4 if units == "inch" else 1.0
    for name, diameter in holding.grips:
        setups[name] = setups[name].model_copy(update={"grip_diameter": diameter * scale})
    blank = files.job.blank
    if holding.material is not None:
        blank = blank.model_copy(update={"material": holding.material})
    job = files.job.model_copy(update={"setup": list(setups.values()), "blank": blank})
    flaws = list(setup_flaws(job, partial=False))
    if flaws:
        raise JobError(
            Fault("command line", key_path(f.place, None), f.found, f.accepted) for f in flaws
        )
    return replace(files, job=job, files=hashes)


def _jaws(other: OtherJaws, units: Units) -> Jaws:
    """In millimetres, without the file's own unit."""
    raw = parse_toml(other.data, other.file)
    table, flaws = read_table(JawsFile, raw)
    own: Units = raw["units"] if raw.get("units") in ("mm", "inch") else units
    flaws += table_flaws(table, own, partial=bool(flaws))
    if flaws:
        raise JobError(
            Fault(other.file, key_path(f.place, raw), f.found, f.accepted) for f in flaws
        )
    sound = to_millimetres(table, own, units)
    return Jaws(**{name: getattr(sound, name) for name in Jaws.model_fields})


def _grip(words: str, job: Job) -> tuple[str, float]:
    name, diameter = _named(words, "--grip", "DIAMETER", job)
    try:
        value = float(diameter)
    except ValueError:
        value = 0.0
    if not 0 < value < float("inf"):
        accepted = "give a diameter greater than 0, in the job's unit"
        raise JobError([Fault("command line", "--grip", repr(words), accepted)])
    return name, value


def _named(words: str, option: str, what: str, job: Job) -> tuple[str, str]:
    """The set-up and what stands behind its name."""
    names = [setup.name for setup in job.setup]
    name, sign, rest = words.partition("=")
    if not sign and len(names) == 1:
        name, rest = names[0], words
    if name.strip() not in names or not rest.strip():
        accepted = f"give SETUP={what}, with one of the set-ups {', '.join(names)}"
        raise JobError([Fault("command line", option, repr(words), accepted)])
    return name.strip(), rest.strip()
