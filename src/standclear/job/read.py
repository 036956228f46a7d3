"""From a job folder to a job in millimetres, or to every fault at once."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar

from standclear.errors import Fault, FileError, JobError
from standclear.files import JOB_FILE, read_text_bytes
from standclear.findings.finding import Finding
from standclear.job.checks import table_flaws
from standclear.job.models import (
    Jaws,
    JawsFile,
    Job,
    Machine,
    MachineFile,
    Setup,
    Shop,
    ShopFile,
    Table,
    ToolsFile,
)
from standclear.job.questions import questions_of
from standclear.job.salvage import read_table
from standclear.job.setup_checks import setup_flaws
from standclear.job.toml_text import parse_toml
from standclear.job.units import Units, to_millimetres
from standclear.job.wording import Flaw, Place, key_path, member, missing, shown

SharedFile = MachineFile | ToolsFile | JawsFile | ShopFile
AnyTable = TypeVar("AnyTable", bound=Table)


@dataclass(frozen=True)
class JobFiles:
    """A job with everything it names, as read."""

    job: Job
    """All lengths in millimetres, objects in place of file names, `setup.jaws` filled in from the
    job's jaws; `job.units` still is the unit of the file."""
    folder: Path
    """Where the job file stands; names of other files count from here."""
    programs: dict[str, bytes]
    """File name as the set-ups or `subprograms` give it -> bytes as read."""
    files: dict[str, str]
    """Name of every file read -> SHA-256 of its bytes, in hexadecimal."""
    questions: tuple[Finding, ...]
    """Values that are possible and odd."""
    path: Path
    """The job file."""


@dataclass
class _Shelf:
    """The files of one job: each is read once, and its faults are kept once."""

    folder: Path
    job_name: str
    large: bool
    data: dict[str, bytes | None] = field(default_factory=dict)
    shared: dict[tuple[str, type[Table]], Any] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def bytes_of(self, name: str, key: str) -> bytes | None:
        """The named file; None, and a fault at `key` of the job file, where it cannot be read."""
        if name not in self.data:
            self.data[name] = None
            try:
                self.data[name] = read_text_bytes(self.folder / name, large=self.large)
            except FileError as error:
                found = f"{shown(name)}, and {error.fault.found}"
                accepted = f"{error.fault.accepted}; it is looked for beside the job file"
                self.faults.append(Fault(self.job_name, key, found, accepted))
        return self.data[name]

    def add(self, file: str, root: object, flaws: Iterable[Flaw]) -> None:
        """Keep flaws of the table `root` as faults of `file`."""
        for flaw in flaws:
            self.faults.append(Fault(file, key_path(flaw.place, root), flaw.found, flaw.accepted))


def read_job(
    path: str | Path,
    *,
    bar: float | None = None,
    length: float | None = None,
    face: float | None = None,
    large: bool = False,
    to_plan: bool = False,
) -> JobFiles:
    """The job in `path`, a job file or a folder with `job.toml` in it; nothing is written.

    `bar`, `length` and `face` are in the job's unit and stand in for `blank.size`,
    `blank.length` and the face allowance of the first set-up, which are no guesses then. Where
    that set-up stands on a stop, the allowance is the blank's length minus `from_stop`, so `face`
    puts `from_stop` at length - face. `large` lifts the limit of 20 MB a file; that
    of two million lines stays. `to_plan` takes a job without machine, tools, set-ups or programs
    too: it can be planned, and `hold` refuses it.

    Raises JobError with every fault of the job, its shared files and its programs' files.
    """
    path = Path(path)
    shelf, raw = _opened(path, large)
    replaced = _replace(raw, bar, length, face)
    job, flaws = read_table(Job, raw)
    if not to_plan:
        flaws += _needed_to_prove(raw, {flaw.place for flaw in flaws})
    units: Units = "inch" if raw.get("units") == "inch" else "mm"
    flaws += table_flaws(job, units, partial=bool(flaws))
    partial = bool(flaws)
    assembled = _with_shared(job, shelf, units)
    flaws += setup_flaws(assembled, partial=partial or bool(shelf.faults))
    own = [
        Flaw(flaw.place, flaw.found + replaced.get(flaw.place, ""), flaw.accepted) for flaw in flaws
    ]
    shared_faults, shelf.faults = shelf.faults, []
    shelf.add(shelf.job_name, raw, own)
    shelf.faults += shared_faults
    programs = _programs(job, shelf)
    if shelf.faults:
        raise JobError(shelf.faults)
    job = _in_millimetres(job, shelf, units)
    # Who gives a value beside the job has looked: it is no guess of the file's any more.
    given = {key_path(place, None) for place in replaced}
    guesses = [name for name in job.guesses if name not in given]
    job = job.model_copy(update={"guesses": guesses})
    read = {name: data for name, data in shelf.data.items() if data is not None}
    return JobFiles(
        job=job,
        folder=shelf.folder,
        programs=programs,
        files={name: hashlib.sha256(data).hexdigest() for name, data in read.items()},
        questions=questions_of(job),
        path=shelf.folder / shelf.job_name,
    )


def _needed_to_prove(raw: dict[str, Any], at_fault: set[Place]) -> list[Flaw]:
    """What a plan may go without and a proof may not, where nothing worse is said of it."""
    setups = raw.get("setup")
    places: list[Place] = [(key,) for key in ("machine", "tools", "setup") if key not in raw]
    places += [
        ("setup", index, "program")
        for index, setup in enumerate(setups if isinstance(setups, list) else ())
        if isinstance(setup, dict) and "program" not in setup
    ]
    return [missing(Job, place) for place in places if place not in at_fault]


def _opened(path: Path, large: bool) -> tuple[_Shelf, dict[str, Any]]:
    """The job file read as raw tables. Raises JobError where that already fails."""
    try:
        file = path
        if path.is_dir():
            file = path / JOB_FILE
            if not file.exists():
                found = f"a directory without {JOB_FILE}"
                accepted = f"give a job file, or a folder that holds {JOB_FILE}"
                raise FileError(Fault(str(path), "", found, accepted))
        data = read_text_bytes(file, large=large)
        raw = parse_toml(data, file.name)
    except FileError as error:
        raise JobError([error.fault]) from error
    return _Shelf(file.parent, file.name, large, {file.name: data}), raw


def _replace(
    raw: dict[str, Any], bar: float | None, length: float | None, face: float | None
) -> dict[Place, str]:
    """Put the values given beside the job into its raw tables; returns a note for each place."""
    notes: dict[Place, str] = {}

    def put(table: object, place: Place, value: float, name: str) -> None:
        if isinstance(table, dict):
            table[place[-1]] = value
            notes[place] = f" ({name} given in place of the file's value)"

    blank = raw.get("blank")
    if bar is not None:
        put(blank, ("blank", "size"), bar, "bar")
    if length is not None:
        put(blank, ("blank", "length"), length, "length")
    if face is not None:
        zero = member(member(member(raw, "setup"), 0), "zero")
        if member(zero, "way") == "stop":
            whole = member(blank, "length")
            if isinstance(whole, int | float) and not isinstance(whole, bool):
                from_stop = float(Decimal(repr(whole)) - Decimal(repr(face)))
                put(zero, ("setup", 0, "zero", "from_stop"), from_stop, "face")
        else:
            put(zero, ("setup", 0, "zero", "face_allowance"), face, "face")
    return notes


def _with_shared(job: Job, shelf: _Shelf, units: Units) -> Job:
    """A copy of `job`, which may be salvaged, with shared files in place of those names that
    could be read; their faults go to the shelf."""
    found: dict[str, Any] = {}
    machine, tools, jaws, shop = (member(job, key) for key in ("machine", "tools", "jaws", "shop"))
    if isinstance(machine, str):
        found["machine"] = _shared(machine, MachineFile, shelf, units, "machine")
    if isinstance(tools, str):
        _shared(tools, ToolsFile, shelf, units, "tools")
    if isinstance(jaws, str):
        found["jaws"] = _shared(jaws, JawsFile, shelf, units, "jaws")
    if isinstance(shop, str):
        _shared(shop, ShopFile, shelf, units, "shop")
    setups = member(job, "setup")
    if isinstance(setups, list):
        found["setup"] = [
            _with_own_jaws(setup, index, shelf, units) for index, setup in enumerate(setups)
        ]
    return job.model_copy(update={key: value for key, value in found.items() if value is not None})


def _with_own_jaws(setup: Setup, index: int, shelf: _Shelf, units: Units) -> Setup:
    name = member(setup, "jaws")
    if not isinstance(name, str):
        return setup
    jaws = _shared(name, JawsFile, shelf, units, f"setup[{index}].jaws")
    return setup if jaws is None else setup.model_copy(update={"jaws": jaws})


def _shared(
    name: str, model: type[AnyTable], shelf: _Shelf, units: Units, key: str
) -> AnyTable | None:
    """The shared file `name` as a `model`, in the file's own unit; None where it cannot be read.

    A file with faults comes back salvaged; its faults, and those of the file, go to the shelf.
    """
    if (name, model) not in shelf.shared:
        shelf.shared[name, model] = None
        data = shelf.bytes_of(name, key)
        if data is not None:
            try:
                raw = parse_toml(data, name)
            except FileError as error:
                shelf.faults.append(error.fault)
            else:
                table, flaws = read_table(model, raw)
                own: Units = raw["units"] if raw.get("units") in ("mm", "inch") else units
                flaws += table_flaws(table, own, partial=bool(flaws))
                shelf.add(name, raw, flaws)
                shelf.shared[name, model] = table
    found: AnyTable | None = shelf.shared[name, model]
    return found


def _programs(job: Job, shelf: _Shelf) -> dict[str, bytes]:
    programs: dict[str, bytes] = {}
    setups, others = member(job, "setup"), member(job, "subprograms")
    named = [
        (member(setup, "program"), f"setup[{index}].program")
        for index, setup in enumerate(setups if isinstance(setups, list) else ())
    ]
    named += [
        (name, f"subprograms[{index}]")
        for index, name in enumerate(others if isinstance(others, list) else ())
    ]
    for name, key in named:
        if isinstance(name, str) and name:
            data = shelf.bytes_of(name, key)
            if data is not None:
                programs[name] = data
    return programs


def _in_millimetres(job: Job, shelf: _Shelf, units: Units) -> Job:
    """A sound job with objects in place of names and every length in millimetres."""
    resolved: dict[str, Any] = {}
    if isinstance(job.machine, str):
        resolved["machine"] = _plain(shelf.shared[job.machine, MachineFile], Machine, units)
    if isinstance(job.shop, str):
        resolved["shop"] = _plain(shelf.shared[job.shop, ShopFile], Shop, units)
    if isinstance(job.tools, str):
        shared = shelf.shared[job.tools, ToolsFile]
        resolved["tools"] = to_millimetres(shared, shared.units or units, units).tools
    own = to_millimetres(job, units, units)

    def jaws_in_mm(jaws: Jaws | str | None) -> Jaws | None:
        return _plain(shelf.shared[jaws, JawsFile], Jaws, units) if isinstance(jaws, str) else jaws

    resolved["jaws"] = jaws_in_mm(own.jaws)
    resolved["setup"] = [
        setup.model_copy(update={"jaws": jaws_in_mm(setup.jaws) or resolved["jaws"]})
        for setup in own.setup
    ]
    return own.model_copy(update=resolved)


def _plain(shared: Any, model: type[AnyTable], units: Units) -> AnyTable:
    """What a shared file holds, in millimetres, without the file's own unit."""
    table = to_millimetres(shared, shared.units or units, units)
    values = {name: getattr(table, name) for name in model.model_fields}
    return model.model_construct(table.model_fields_set - {"units"}, **values)
