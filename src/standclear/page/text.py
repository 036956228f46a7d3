"""Program text between a file and the browser: whatever is not edited keeps its bytes."""

from __future__ import annotations

import re
from difflib import SequenceMatcher

_LINES = re.compile(r"[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+\Z")


def shown(data: bytes) -> str:
    """The bytes as text with plain line ends, as an edit field holds them."""
    return re.sub(r"\r\n|\r", "\n", _decoded(data)[0])


def merged(data: bytes, text: str) -> bytes:
    """`data` with the lines of `text`, which was edited from `shown(data)`.

    Lines that stay keep their line ends and their encoding; a line that is new gets the line end
    of the one before it.
    """
    before, encoding = _decoded(data)
    old = [match.group() for match in _LINES.finditer(before)]
    bare_old = [line.rstrip("\r\n") for line in old]
    plain = re.sub(r"\r\n|\r", "\n", text)
    new = plain.split("\n")
    ends = bool(new) and new[-1] == ""
    bare_new = new[:-1] if ends else new
    usual = next((line[len(line.rstrip("\r\n")) :] for line in old if line[-1:] in "\r\n"), "\n")
    written: list[str] = []
    matcher = SequenceMatcher(None, bare_old, bare_new, autojunk=False)
    for tag, i0, i1, j0, j1 in matcher.get_opcodes():
        if tag == "equal":
            written += old[i0:i1]
        else:
            end = _end_of(old[i0 - 1]) if i0 else ""
            written += [line + (end or usual) for line in bare_new[j0:j1]]
    if written and not ends:
        written[-1] = written[-1].rstrip("\r\n")
    elif written and not _end_of(written[-1]):
        written[-1] += usual
    for index, line in enumerate(written[:-1]):
        if not _end_of(line):
            written[index] = line + usual
    whole = "".join(written)
    try:
        return whole.encode(encoding)
    except UnicodeEncodeError:
        return whole.encode("utf-8")


def _end_of(line: str) -> str:
    return line[len(line.rstrip("\r\n")) :]


def _decoded(data: bytes) -> tuple[str, str]:
    try:
        return data.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return data.decode("latin-1"), "latin-1"
