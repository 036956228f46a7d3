"""Why a word is not followed, for the finding that names it. Meanings are common practice across
makes of lathe, no source."""

from __future__ import annotations

from decimal import Decimal

_LIVE_TOOL = "a tool that turns by itself cuts shapes that are not turned"
_THIRD_AXIS = "it moves an axis besides X and Z, and a section knows two"
_MIRROR = "it changes the sign of an axis for what follows"
_PROBE = "where it ends is found at the machine"

_G_WORDS: dict[Decimal, str] = {
    **dict.fromkeys(map(Decimal, ("7.1", "107")), _THIRD_AXIS),
    **dict.fromkeys(map(Decimal, ("12.1", "13.1", "112", "113")), _LIVE_TOOL),
    **dict.fromkeys(map(Decimal, ("17", "19")), "it turns to another plane than X and Z"),
    **dict.fromkeys(map(Decimal, ("31", "36", "37", "38")), _PROBE),
    **dict.fromkeys(map(Decimal, ("51.1", "50.1", "68", "69")), _MIRROR),
    **dict.fromkeys(map(Decimal, ("81", "82", "86", "87", "88", "89")), _LIVE_TOOL),
    **dict.fromkeys(map(Decimal, ("22", "23")), "it is an alarm limit of the machine's own"),
}
_LETTERS = dict.fromkeys("ABCHYV", _THIRD_AXIS)


def reason_for(letter: str, number: Decimal | None) -> str:
    """The reason in words, empty where nothing is known of the word."""
    if letter == "G":
        return _G_WORDS.get(number, "") if number is not None else ""
    return _LETTERS.get(letter, "")
