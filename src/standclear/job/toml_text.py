"""TOML text to plain tables, with the line of what cannot be read."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from standclear.errors import Fault, FileError

_WHERE = re.compile(r"^(?P<reason>.*) \(at line (?P<line>\d+), column (?P<column>\d+)\)$", re.S)


def parse_toml(data: bytes, file: str) -> dict[str, Any]:
    """The tables of a TOML file; `file` is its name for the message.

    Raises FileError with the line where the text is not TOML or not UTF-8.
    """
    try:
        text = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"line {line} holds a byte that is not UTF-8"
        raise FileError(Fault(file, "", found, "save the file as UTF-8")) from error
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise FileError(_fault(str(error), text, file)) from error
    except RecursionError as error:
        found = "lists or tables stand inside each other too deeply"
        raise FileError(Fault(file, "", found, "write the keys of a job, one a line")) from error
    except ValueError as error:
        # The only other refusal of the parser: a number, date or time that Python cannot hold.
        found = f"a value cannot be read ({error})"
        raise FileError(Fault(file, "", found, "give numbers of a usual length")) from error


def _fault(reason: str, text: str, file: str) -> Fault:
    accepted = 'write key = value, one a line, with text in quotes: title = "pin"'
    lines = text.splitlines()
    where = _WHERE.match(reason)
    number = int(where["line"]) if where else max(len(lines), 1)
    words = where["reason"] if where else reason.removesuffix(" (at end of document)")
    words = words[:1].lower() + words[1:]
    line = lines[number - 1].strip() if number <= len(lines) else ""
    quoted = f" ({line[:60]!r})" if line else ""
    column = f", column {where['column']}" if where else ""
    return Fault(file, "", f"line {number}{column}{quoted} is not TOML, {words}", accepted)
