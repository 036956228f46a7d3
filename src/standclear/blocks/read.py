"""Program text to blocks: reads any bytes, loses none of them.

Word addresses, labels, comments and block delete as in ISO 6983-1; spacing and case are free, as
on every control. A word that cannot be read stays where it is, marked with the reason.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from standclear.blocks.program import Block, Program, Word

_LINES = re.compile(rb"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_BLANKS = " \t\v\f\x00\x7f"
"""NUL and DEL are blank and rubbed-out tape: they mean nothing."""
_NO_BLANKS = dict.fromkeys(map(ord, _BLANKS))
_BLANK = re.compile(rf"[{_BLANKS}]+")
_COMMENT = re.compile(r"\(([^)]*)(\))?")
_NUMBER_RUN = re.compile(rf"[{_BLANKS}]*([-+.\d](?:[-+.\d{_BLANKS}]*[-+.\d])?)", re.ASCII)
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)", re.ASCII)
_EXPRESSION_START = re.compile(rf"[{_BLANKS}]*[-+]?[{_BLANKS}]*(?=[#\[])")
_VARIABLE = re.compile(rf"#+[{_BLANKS}]*\d*", re.ASCII)
_FLOW = re.compile(r"(?:#|(?:IF|WHILE|GOTO|THEN|ELSE|DO|END)(?=[\s\[#\d(]|$))", re.I | re.ASCII)
_PROGRAM_NAME = re.compile(r"[oO](?![\s\d.+-]*\d)([^(;]*)", re.ASCII)
_SLASH = re.compile(r"/(?:[ \t]*([1-9])(?!\d))?", re.ASCII)
_UTF8_MARK = "\xef\xbb\xbf"
_LONGEST_NUMBER = 18
"""Digits; more than any control holds, few enough for exact sums."""


def read_program(data: bytes, name: str) -> Program:
    """Blocks and words of a whole file; never fails, whatever the bytes are.

    One line is one block, save that text after `;` is a block of its own (`after_semicolon`).
    """
    blocks: list[Block] = []
    for number, match in enumerate(_LINES.finditer(data), start=1):
        blocks.extend(_blocks_of_line(match.group(), number, len(blocks)))
    return Program(name=name, blocks=tuple(blocks), sha256=hashlib.sha256(data).hexdigest())


def bytes_of(program: Program) -> bytes:
    """The file, byte for byte."""
    return b"".join(block.raw for block in program.own_blocks)


def _blocks_of_line(raw: bytes, line: int, first_index: int) -> Iterator[Block]:
    """The blocks of one line: one, or more where `;` is followed by text."""
    body = raw.decode("latin-1").rstrip("\r\n")
    cuts = _semicolons(body)
    edges = [0, *cuts, len(raw)]
    index = first_index
    for start, end in pairwise(edges):
        if start == end:
            continue
        after = start in cuts
        text = body[start + 1 : end] if after else body[start:end]
        column = start + 2 if after else start + 1
        block = replace(
            _read_block(text, line, column, index), raw=raw[start:end], after_semicolon=after
        )
        if after and any(word.broken for word in block.words):
            # As a block this would stop the control with an alarm; it can only be a comment.
            block = replace(
                block, words=(), label=None, delete_level=None, comments=(text,), statement=""
            )
        yield block
        index += 1


def _semicolons(body: str) -> list[int]:
    """Places of each `;` outside comments that has text after it."""
    places: list[int] = []
    if ";" not in body:
        return places
    at = 0
    while at < len(body):
        if body[at] == "(":
            match = _COMMENT.match(body, at)
            at = match.end() if match else at + 1
            continue
        if body[at] == ";":
            rest = body[at + 1 :].strip(_BLANKS + ";")
            if not rest:
                break
            places.append(at)
        at += 1
    return places


def _read_block(text: str, line: int, column: int, index: int) -> Block:
    """Reads one block's text; `column` is where its first character stands."""
    words: list[Word] = []
    comments: list[str] = []
    delete_level: int | None = None
    statement = ""
    at = 0
    # True while nothing but a label stands before: a slash, a statement or a name may follow.
    opening = True
    while at < len(text):
        here = column + at
        if not opening and text[at].isalpha():
            word = _read_word(text, at, line, here)
            words.append(word)
            at += len(word.text)
            continue
        opening = opening and all(word.letter == "N" for word in words)
        if line == 1 and here == 1 and text.startswith(_UTF8_MARK):
            at += len(_UTF8_MARK)
        elif match := _BLANK.match(text, at):
            at = match.end()
        elif text[at] == ";":
            at += 1
        elif match := _COMMENT.match(text, at):
            comments.append(match.group(1))
            if match.group(2) is None:
                words.append(_broken(match.group(), line, here, "this comment is not closed"))
            at = match.end()
        elif text[at] == "%" and not words:
            words.append(Word("%", "", None, False, line, here, "%"))
            comments.append(text[at + 1 :])
            at = len(text)
        elif text[at] == "/" and opening and delete_level is None:
            match = _SLASH.match(text, at)
            assert match is not None
            delete_level = int(match.group(1) or 1)
            at = match.end()
        elif opening and _FLOW.match(text, at):
            statement = _without_comments(text[at:], comments)
            at = len(text)
        elif not words and (match := _PROGRAM_NAME.match(text, at)):
            name = match.group(1).rstrip(_BLANKS)
            words.append(Word("O", name, None, False, line, here, text[at] + name))
            at = match.end()
        else:
            word = _read_word(text, at, line, here)
            words.append(word)
            at += len(word.text)
    return Block(
        index=index,
        line=line,
        raw=b"",
        words=tuple(words),
        label=_label_of(words),
        delete_level=delete_level,
        comments=tuple(comments),
        statement=statement,
    )


def _label_of(words: list[Word]) -> int | None:
    for word in words:
        if word.letter == "N" and word.number is not None:
            return int(word.number)
    return None


def _without_comments(text: str, comments: list[str]) -> str:
    """The text of a statement; its comments are added to `comments`."""
    comments.extend(match.group(1) for match in _COMMENT.finditer(text))
    return _COMMENT.sub("", text).strip(_BLANKS + ";")


def _broken(text: str, line: int, column: int, why: str) -> Word:
    return Word(text[:1].upper(), text[1:], None, False, line, column, text, broken=why)


def _read_word(text: str, at: int, line: int, column: int) -> Word:
    """The word at `at`; a lone sign that starts no word is a broken word of one character."""
    letter = text[at].upper() if text[at].isascii() else text[at]
    start = at + 1
    if letter == "," and start < len(text) and text[start].isascii() and text[start].isalpha():
        letter += text[start].upper()
        start += 1
    elif letter == ":":
        letter = "O"
    elif not ("A" <= letter <= "Z"):
        return _broken(text[at], line, column, "no word begins with this sign")

    if match := _EXPRESSION_START.match(text, start):
        end = _end_of_expression(text, match.end())
        whole = text[at : end if end is not None else len(text)]
        value = text[start : at + len(whole)].strip(_BLANKS)
        why = "" if end is not None else "a bracket is not closed"
        return Word(letter, value, None, False, line, column, whole, why)

    match = _NUMBER_RUN.match(text, start)
    if match is None:
        return replace(_broken(text[at:start], line, column, "no number follows"), letter=letter)
    whole = text[at : match.end()]
    value = match.group(1)
    packed = value.translate(_NO_BLANKS)
    why = ""
    if not _NUMBER.fullmatch(packed):
        why = f"{packed[:40]} is not a number"
    elif len(packed) > _LONGEST_NUMBER:
        why = f"a number of more than {_LONGEST_NUMBER} digits"
    elif letter == "N" and not packed.isdigit():
        why = "a label is a whole number"
    number = None if why else Decimal(packed)
    return Word(letter, value, number, "." in packed, line, column, whole, why)


def _end_of_expression(text: str, at: int) -> int | None:
    """Where the `#variable` or `[expression]` at `at` ends; None where a bracket stays open."""
    if text[at] == "#":
        match = _VARIABLE.match(text, at)
        assert match is not None
        if match.end() < len(text) and text[match.end()] == "[" and not match.group()[-1].isdigit():
            return _end_of_expression(text, match.end())
        return match.end()
    depth = 0
    for place in range(at, len(text)):
        depth += {"[": 1, "]": -1}.get(text[place], 0)
        if depth == 0:
            return place + 1
    return None
