"""The reported edits put into a file by place alone: lines and columns, nothing of the program's
meaning. What this gives and what the amended file holds must be the same bytes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

_LINES = re.compile(rb"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")


def applied(
    data: bytes, edits: Iterable[Mapping[str, Any]], moved: Mapping[str, Any] | None = None
) -> bytes:
    """`data` with the edits, and the lines moved, that `standclear amend --json` reports of this
    file.

    Raises ValueError where an edit's old word does not stand at its place.
    """
    lines = _LINES.findall(data)
    front: dict[int, bytes] = {}
    words = []
    for edit in edits:
        if edit["old"]:
            words.append(edit)
        else:
            before = lines[edit["line"] - 2]
            end = before[len(before.rstrip(b"\r\n")) :]
            texts = [text.encode("latin-1") + end for text in edit["new"].split("\n")]
            front[edit["line"]] = b"".join(texts)
    for edit in sorted(words, key=lambda e: (e["line"], e["column"]), reverse=True):
        line, at = lines[edit["line"] - 1], edit["column"] - 1
        old = edit["old"].encode("latin-1")
        if line[at : at + len(old)] != old:
            raise ValueError(f"{edit['old']} does not stand at line {edit['line']}")
        new = edit["new"].encode("latin-1")
        lines[edit["line"] - 1] = line[:at] + new + line[at + len(old) :]
    whole = [front.get(number, b"") + line for number, line in enumerate(lines, start=1)]
    if moved is not None:
        taken = whole[moved["first"] - 1 : moved["last"]]
        to = moved["to"] - 1
        if to < moved["first"]:
            whole = whole[:to] + taken + whole[to : moved["first"] - 1] + whole[moved["last"] :]
        else:
            whole = whole[: moved["first"] - 1] + whole[moved["last"] : to] + taken + whole[to:]
    return b"".join(whole)
