"""What a new job begins with: its name and nothing that anybody would have to doubt."""

from __future__ import annotations

from standclear.job.writing import new_toml

_HEADING = ("Lengths are in the unit named here; X values and diameters are diameters.",)


def start_text(title: str) -> str:
    """The job file of a new job."""
    return new_toml({"title": title, "machine": {}}, _HEADING)
