"""Tools to stand in for the job's: named by their designations, or read from a tools file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from standclear.errors import Fault, JobError
from standclear.files import read_text_bytes
from standclear.job.checks import table_flaws
from standclear.job.models import Job, Tool, ToolsFile
from standclear.job.salvage import read_table
from standclear.job.toml_text import parse_toml
from standclear.job.units import Units, to_millimetres
from standclear.job.wording import key_path
from standclear.proof.held import tools_of

OPTION = "--tool"
_ACCEPTED = "give STATION=INSERT/HOLDER or STATION=INSERT, such as 2=DNMG150408/PDJNR2525M15"
_FORMS = ("insert", "holder", "holder_outline", "outline", "grooving", "threading", "drill", "tap")


def tool_from_words(words: str, job: Job) -> Tool:
    """The tool that `STATION=INSERT/HOLDER` puts into its station; without a holder the insert
    goes into the holder that the job has there. Millimetres.

    Raises JobError where the words have another form, or no tool of the job stands there.
    """
    station, _, named = words.partition("=")
    insert, _, holder = named.partition("/")
    if not station.strip().isdigit() or not insert.strip():
        raise JobError([Fault("command line", OPTION, repr(words), _ACCEPTED)])
    old = _at_station(job, int(station), repr(words))
    if holder.strip():
        bare: dict[str, object] = dict.fromkeys(_FORMS)
        changes = {**bare, "insert": insert.strip(), "holder": holder.strip()}
    elif old.insert is None:
        found = f"{words!r}, and T{old.station} of the job is no insert in a holder"
        raise JobError([Fault("command line", OPTION, found, "name the holder too")])
    else:
        changes = {"insert": insert.strip()}
    return old.model_copy(update={**changes, "name": "", "geometry": None})


def tools_from_file(path: Path, job: Job) -> tuple[Tool, ...]:
    """The tools of the file whose descriptions differ from those of the job, in millimetres.

    Raises JobError with every fault of the file, and where it changes nothing.
    """
    units: Units = "inch" if job.units == "inch" else "mm"
    raw = parse_toml(read_text_bytes(path), path.name)
    table, flaws = read_table(ToolsFile, raw)
    own: Units = raw["units"] if raw.get("units") in ("mm", "inch") else units
    flaws += table_flaws(table, own, partial=bool(flaws))
    if flaws:
        raise JobError(Fault(path.name, key_path(f.place, raw), f.found, f.accepted) for f in flaws)
    read: Sequence[Tool] = to_millimetres(table, own, units).tools
    changed = tuple(tool for tool in read if tool not in tools_of(job))
    for tool in changed:
        _at_station(job, tool.station, f"a tool in station {tool.station}")
    if not changed:
        accepted = "give a file in which a tool differs"
        raise JobError([Fault(path.name, "", "every tool is as the job has it", accepted)])
    return changed


def _at_station(job: Job, station: int, found: str) -> Tool:
    for tool in tools_of(job):
        if tool.station == station:
            return tool
    stations = ", ".join(str(tool.station) for tool in tools_of(job))
    accepted = f"the job has tools in stations {stations}"
    raise JobError([Fault("command line", OPTION, found, accepted)])
