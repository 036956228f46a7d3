"""What is typed into a field, as a value of the file, and back."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from standclear.page.entry.field import Field, Kind

LONGEST = 200
"""Characters of one entry; a longer one is a slip of the clipboard."""
MOST_DIGITS = 18
_FRACTION = re.compile(r"(?P<sign>[+-]?)(?:(?P<whole>\d+)[ -])?(?P<over>\d+)/(?P<under>\d+)")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")
_SEVERAL = "with spaces between them"


class NotRead(ValueError):
    """A text that is no value of its field; `accepted` says what is, as a request."""

    def __init__(self, accepted: str) -> None:
        super().__init__(accepted)
        self.accepted = accepted


def number_of(text: str) -> float:
    """`52`, `52.5`, `52,5` and, as bars in inches are named, `1 7/8`. Raises NotRead."""
    text = text.strip()
    fraction = _FRACTION.fullmatch(text)
    if fraction and int(fraction["under"][:MOST_DIGITS]):
        over, under = fraction["over"][:MOST_DIGITS], fraction["under"][:MOST_DIGITS]
        value = Fraction(int(over), int(under)) + int((fraction["whole"] or "0")[:MOST_DIGITS])
        return float(-value if fraction["sign"] == "-" else value)
    if not _NUMBER.fullmatch(text) or len(text) > MOST_DIGITS:
        raise NotRead("give a number such as 52.5")
    try:
        return float(Decimal(text.replace(",", "."))) + 0.0
    except InvalidOperation:
        raise NotRead("give a number such as 52.5") from None


def whole_of(text: str) -> int:
    """Raises NotRead."""
    if not re.fullmatch(r"[+-]?\d{1,9}", text.strip()):
        raise NotRead("give a whole number such as 3")
    return int(text)


def number_text(value: float) -> str:
    """A number as it is shown in a field: 48 for 48.0, never with an exponent."""
    text = f"{Decimal(repr(value)):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def value_of(field: Field, text: str) -> object:
    """The value that `text`, which is not empty, stands for. Raises NotRead."""
    if len(text) > LONGEST and field.kind is not Kind.TEXT:
        raise NotRead("give less than that")
    match field.kind:
        case Kind.LENGTH | Kind.NUMBER:
            return number_of(text)
        case Kind.WHOLE:
            return whole_of(text)
        case Kind.LENGTHS:
            return [_each(number_of, part, "numbers") for part in _parts(text)]
        case Kind.WHOLES:
            return [_each(whole_of, part, "whole numbers") for part in _parts(text)]
        case Kind.YES_NO:
            if text not in ("yes", "no"):
                raise NotRead("give yes or no")
            return text == "yes"
        case Kind.CHOICE:
            known = [choice.value for choice in field.choices]
            if text not in known:
                raise NotRead(f"give {', '.join(known[:-1])} or {known[-1]}")
            return text
    return text


def text_of(field: Field, value: object) -> str | None:
    """How a field shows a value of the file; None where the field cannot hold such a value."""
    match value:
        case bool():
            return ("yes" if value else "no") if field.kind is Kind.YES_NO else None
        case int() | float():
            return number_text(value) if field.kind in _NUMBERS else None
        case str():
            return value if field.kind in (Kind.TEXT, Kind.CHOICE) else None
        case list() if field.kind in (Kind.LENGTHS, Kind.WHOLES):
            plain = all(isinstance(v, int | float) and not isinstance(v, bool) for v in value)
            return " ".join(number_text(each) for each in value) if plain else None
    return None


_NUMBERS = (Kind.LENGTH, Kind.NUMBER, Kind.WHOLE)


def _parts(text: str) -> list[str]:
    return re.split(r"[;\s]+", text.strip())


def _each(read: object, part: str, what: str) -> object:
    assert callable(read)
    try:
        return read(part)
    except NotRead:
        raise NotRead(f"give {what}, {_SEVERAL}") from None
