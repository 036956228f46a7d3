"""A certificate as the text of a file."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import astuple
from typing import Any

from standclear.audit.exact import Point
from standclear.audit.read import VERSION, Certificate, Row, Source, Stage, Tool, content_hash


def certificate_text(certificate: Certificate) -> str:
    """JSON, one motion and one outline a line."""
    document: dict[str, Any] = {
        "certificate": VERSION,
        "job": {"title": certificate.title, "files": certificate.files},
        "contact_limit": certificate.contact_limit,
        "tools": [_tool(tool) for tool in certificate.tools],
        "stages": [_stage(stage) for stage in certificate.stages],
    }
    return _laid_out({**document, "sha256": content_hash(document)}) + "\n"


def _tool(tool: Tool) -> dict[str, Any]:
    return {
        "name": tool.name,
        "outline": _flat(tool.outline),
        "body": _rings(tool.body),
        "edges": _flat(tool.edges),
        "cuts": list(tool.cuts),
        "insert": _flat(tool.insert),
        "spindle": tool.spindle,
        "on_axis": tool.on_axis,
        "opens": tool.opens,
        "wear": tool.wear,
    }


def _stage(stage: Stage) -> dict[str, Any]:
    return {
        "set_up": stage.setup,
        "blank": stage.blank and list(stage.blank),
        "source": stage.source and _source(stage.source),
        "obstacles": [[name, _flat(ring)] for name, ring in stage.obstacles],
        "motions": [_row(row) for row in stage.motions],
        "corner": stage.corner,
        "earlier": {str(number): list(those) for number, those in stage.earlier.items()},
        "stays": _rings(stage.stays),
        "falls": _rings(stage.falls),
        "taken_by": list(stage.taken_by),
    }


def _source(source: Source) -> dict[str, Any]:
    return {
        "stage": source.stage,
        "falls": source.falls,
        "sign": source.sign,
        "least": source.least,
        "most": source.most,
        "face": source.face,
    }


def _row(row: Row) -> list[Any]:
    kind, path, start, end, *rest = astuple(row)
    return [kind, path, *start, *end, *rest]


def _rings(rings: Iterable[Iterable[Point]]) -> list[list[int]]:
    return [_flat(ring) for ring in rings]


def _flat(points: Iterable[Point]) -> list[int]:
    return [value for point in points for value in point]


def _laid_out(value: Any, depth: int = 0) -> str:
    """JSON with tables and lists of lists opened out, rows of numbers on one line."""
    pad = " " * (depth + 1)
    if isinstance(value, dict) and value:
        inside = [f"{pad}{json.dumps(k)}: {_laid_out(v, depth + 1)}" for k, v in value.items()]
        return "{\n" + ",\n".join(inside) + "\n" + pad[1:] + "}"
    if isinstance(value, list) and any(isinstance(each, list | dict) for each in value):
        inside = [pad + _laid_out(each, depth + 1) for each in value]
        return "[\n" + ",\n".join(inside) + "\n" + pad[1:] + "]"
    return json.dumps(value, separators=(",", ":"))
