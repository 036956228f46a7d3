"""What a new job begins with: its name, two ends, and no value that anybody would have to doubt."""

from __future__ import annotations

from standclear.job.writing import new_toml

_HEADING = ("Lengths are in the unit named here; X values and diameters are diameters.",)


def start_text(title: str) -> str:
    """The job file of a new job."""
    ends = [{"name": "front end"}, {"name": "back end"}]
    return new_toml({"title": title, "machine": {}, "setup": ends}, _HEADING)
