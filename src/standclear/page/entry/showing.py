"""What the browser puts beside the fields: problems in words, and what is drawn."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from standclear.job.units import Units
from standclear.page.entry.checking import tool_in_mm
from standclear.page.entry.desk import Looked
from standclear.page.entry.entries import Problem
from standclear.page.entry.fault_places import MISSING
from standclear.page.entry.jaw_shape import profile_in
from standclear.page.entry.naming import label_of
from standclear.page.entry.part_shape import outline_drawn
from standclear.page.entry.pictures import (
    jaw_picture,
    pairs_in,
    part_picture,
    tool_picture,
)
from standclear.tools.errors import ToolError


def problem_data(problem: Problem) -> dict[str, Any]:
    """A problem for the browser: where, in words, and whether something is just not given yet."""
    missing = problem.found == MISSING
    return {
        "name": problem.name,
        "label": label_of(problem.name) or "The job",
        "missing": missing,
        "forget": problem.forget,
        "words": problem.accepted if missing else problem.words,
    }


def pictures_of(found: Looked) -> list[dict[str, str]]:
    """Every picture: the place of the form it belongs to, its SVG, and words beside it."""
    outline = pairs_in(outline_drawn(found.form))
    pictures = [{"name": "part", "svg": part_picture(outline, "picture-part"), "words": ""}]
    pictures += _jaws(found)
    units: Units = "inch" if found.form.get("units") == "inch" else "mm"
    tools = found.form.get("tools")
    for index, raw in enumerate(tools if isinstance(tools, list) else ()):
        pictures.append(_tool(raw, units, index))
    return pictures


def _tool(raw: object, units: Units, index: int) -> dict[str, str]:
    name = f"tools[{index}]"
    tool = tool_in_mm(raw, units)
    svg = words = ""
    if tool is not None:
        # What cannot be drawn stands beside its field as a problem.
        with suppress(ToolError):
            svg, words = tool_picture(tool, f"picture-tool-{index}")
    return {"name": name, "svg": svg, "words": words}


def _jaws(found: Looked) -> list[dict[str, str]]:
    holders: list[tuple[str, object]] = [("jaws", found.form.get("jaws"))]
    setups = found.form.get("setup")
    for index, setup in enumerate(setups if isinstance(setups, list) else ()):
        holders.append((f"setup[{index}].jaws", setup.get("jaws") if setup else None))
    pictures = []
    for number, (name, jaws) in enumerate(holders):
        profile = pairs_in(profile_in(jaws))
        svg = jaw_picture(profile, f"picture-jaws-{number}") if profile else ""
        pictures.append({"name": name, "svg": svg, "words": ""})
    return pictures
