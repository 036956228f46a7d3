"""What each G word means, as data: one table of common words, one for each family of cycle words.

ISO 6983-1 and DIN 66025-2 give the common words; the three families are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from standclear.motions.nose.pieces import LEFT, ON, RIGHT, Side


class Act(StrEnum):
    """A meaning of a G word, whatever number a control family gives it."""

    RAPID = "rapid"
    LINE = "line"
    ARC_CLOCKWISE = "arc clockwise"
    ARC_COUNTER = "arc counter-clockwise"
    DWELL = "dwell"
    INCH = "inch"
    MILLIMETRE = "millimetre"
    HOME = "home by way of a point"
    SECOND_HOME = "second reference place by way of a point"
    COMPENSATION_OFF = "compensation off"
    COMPENSATE_LEFT = "compensation left of travel"
    COMPENSATE_RIGHT = "compensation right of travel"
    CLAMP_OR_SETTING = "spindle clamp or coordinate setting"
    LOCAL_SHIFT = "local shift of the work offset"
    MACHINE_PLACE = "machine coordinates"
    WORK_OFFSET = "work offset"
    FURTHER_OFFSET = "further work offset"
    DATA_SETTING = "offset and tool data set by the program"
    SURFACE_SPEED = "constant surface speed"
    SPINDLE_SPEED = "spindle speed"
    FEED_PER_MINUTE = "feed per minute"
    FEED_PER_REVOLUTION = "feed per revolution"
    ABSOLUTE = "absolute"
    INCREMENTAL = "incremental"
    TO_INITIAL_LEVEL = "drilling returns to the initial level"
    TO_R_LEVEL = "drilling returns to the R level"
    NOTHING = "nothing"
    FINISH = "G70"
    ROUGH_ALONG = "G71"
    ROUGH_ACROSS = "G72"
    PATTERN = "G73"
    PECK_ALONG = "G74"
    PECK_ACROSS = "G75"
    THREADING = "G76"
    TURN_PASS = "G90"
    THREAD_PASS = "G92"
    FACE_PASS = "G94"
    THREAD = "thread"
    THREAD_OF_CHANGING_LEAD = "thread of changing lead"
    CANCEL_DRILLING = "G80"
    DRILL = "G83"
    TAP = "G84"
    BORE = "G85"
    CALL = "G65"
    CALL_AFTER_EACH_MOTION = "G66"
    NO_MORE_CALLS = "G67"
    NOT_FOLLOWED = "not followed"


COMMON: dict[int | Decimal, Act] = {
    0: Act.RAPID,
    1: Act.LINE,
    2: Act.ARC_CLOCKWISE,
    3: Act.ARC_COUNTER,
    4: Act.DWELL,
    9: Act.NOTHING,
    10: Act.DATA_SETTING,
    18: Act.NOTHING,
    28: Act.HOME,
    30: Act.SECOND_HOME,
    34: Act.THREAD_OF_CHANGING_LEAD,
    40: Act.COMPENSATION_OFF,
    41: Act.COMPENSATE_LEFT,
    42: Act.COMPENSATE_RIGHT,
    52: Act.LOCAL_SHIFT,
    53: Act.MACHINE_PLACE,
    Decimal("54.1"): Act.FURTHER_OFFSET,
    61: Act.NOTHING,
    64: Act.NOTHING,
    65: Act.CALL,
    66: Act.CALL_AFTER_EACH_MOTION,
    67: Act.NO_MORE_CALLS,
    80: Act.CANCEL_DRILLING,
    83: Act.DRILL,
    84: Act.TAP,
    85: Act.BORE,
    96: Act.SURFACE_SPEED,
    97: Act.SPINDLE_SPEED,
    **dict.fromkeys(range(54, 60), Act.WORK_OFFSET),
}
"""G09, G61 and G64 choose how corners between feeds are taken; they move nothing by themselves."""

_ABSOLUTE_WORDS: dict[int | Decimal, Act] = {
    90: Act.ABSOLUTE,
    91: Act.INCREMENTAL,
    92: Act.CLAMP_OR_SETTING,
    94: Act.FEED_PER_MINUTE,
    95: Act.FEED_PER_REVOLUTION,
    98: Act.TO_INITIAL_LEVEL,
    99: Act.TO_R_LEVEL,
    33: Act.THREAD,
}
_CYCLES: dict[int | Decimal, Act] = {
    70: Act.FINISH,
    71: Act.ROUGH_ALONG,
    72: Act.ROUGH_ACROSS,
    73: Act.PATTERN,
    74: Act.PECK_ALONG,
    75: Act.PECK_ACROSS,
    76: Act.THREADING,
}

FAMILIES: dict[str, dict[int | Decimal, Act]] = {
    "cycles-g90": {
        **_CYCLES,
        20: Act.INCH,
        21: Act.MILLIMETRE,
        32: Act.THREAD,
        50: Act.CLAMP_OR_SETTING,
        90: Act.TURN_PASS,
        92: Act.THREAD_PASS,
        94: Act.FACE_PASS,
        98: Act.FEED_PER_MINUTE,
        99: Act.FEED_PER_REVOLUTION,
    },
    "cycles-g77": {
        **_CYCLES,
        **_ABSOLUTE_WORDS,
        20: Act.INCH,
        21: Act.MILLIMETRE,
        77: Act.TURN_PASS,
        78: Act.THREAD_PASS,
        79: Act.FACE_PASS,
    },
    "cycles-g20": {
        **{number + 2: act for number, act in _CYCLES.items()},
        **_ABSOLUTE_WORDS,
        20: Act.TURN_PASS,
        21: Act.THREAD_PASS,
        24: Act.FACE_PASS,
        70: Act.INCH,
        71: Act.MILLIMETRE,
    },
}

ASSUMED_FAMILY = "cycles-g90"
"""Traced as a best effort where the job does not state the family; never proved so."""

COMPENSATION: dict[Act, Side] = {
    Act.COMPENSATION_OFF: ON,
    Act.COMPENSATE_LEFT: LEFT,
    Act.COMPENSATE_RIGHT: RIGHT,
}
"""On which side of the contour the words leave the nose."""
FEEDS = frozenset({Act.LINE, Act.ARC_CLOCKWISE, Act.ARC_COUNTER})
ARCS = frozenset({Act.ARC_CLOCKWISE, Act.ARC_COUNTER})
SINGLE_PASSES = frozenset({Act.TURN_PASS, Act.FACE_PASS, Act.THREAD_PASS})
DRILLING = frozenset({Act.DRILL, Act.TAP, Act.BORE})
THREADS = frozenset({Act.THREAD, Act.THREAD_OF_CHANGING_LEAD})
MOTIONS = FEEDS | SINGLE_PASSES | DRILLING | THREADS | {Act.RAPID}
"""Words that last until another of them."""
ROUGHING = frozenset({Act.ROUGH_ALONG, Act.ROUGH_ACROSS})
PECKING = frozenset({Act.PECK_ALONG, Act.PECK_ACROSS})
WITH_PROFILE = ROUGHING | {Act.FINISH, Act.PATTERN}
CALLS = frozenset({Act.CALL, Act.CALL_AFTER_EACH_MOTION})
ONE_SHOTS = (
    WITH_PROFILE
    | PECKING
    | CALLS
    | {
        Act.THREADING,
        Act.DWELL,
        Act.HOME,
        Act.SECOND_HOME,
        Act.MACHINE_PLACE,
        Act.LOCAL_SHIFT,
        Act.DATA_SETTING,
        Act.NOT_FOLLOWED,
    }
)
"""Words that act in their own block alone and say what its axis words are for."""

CUTTING = MOTIONS - {Act.RAPID} | WITH_PROFILE | PECKING | {Act.THREADING}
LEADS = THREADS | {Act.THREADING, Act.THREAD_PASS, Act.TAP}
"""Words whose F is the lead of a thread."""
STANDING_STILL = frozenset({Act.DWELL, Act.LOCAL_SHIFT, Act.DATA_SETTING})
"""Words whose X, Z, U and W move nothing."""

LETTERS: dict[Act, frozenset[str]] = {
    Act.RAPID: frozenset("XZUW"),
    Act.LINE: frozenset("XZUWCRIK") | {",A", ",C", ",R"},
    Act.ARC_CLOCKWISE: frozenset("XZUWIKR"),
    Act.ARC_COUNTER: frozenset("XZUWIKR"),
    Act.DWELL: frozenset("XUP"),
    Act.HOME: frozenset("XZUW"),
    Act.MACHINE_PLACE: frozenset("XZUW"),
    Act.SECOND_HOME: frozenset("XZUWP"),
    Act.LOCAL_SHIFT: frozenset("XZUW"),
    Act.DATA_SETTING: frozenset("LPXZUWRQ"),
    Act.FINISH: frozenset("PQ"),
    Act.ROUGH_ALONG: frozenset("PQUWRD"),
    Act.ROUGH_ACROSS: frozenset("PQUWRD"),
    Act.PATTERN: frozenset("PQUWRIKD"),
    Act.PECK_ALONG: frozenset("XUZWPQRIKD"),
    Act.PECK_ACROSS: frozenset("XUZWPQRIKD"),
    Act.TURN_PASS: frozenset("XZUWRIL"),
    Act.FACE_PASS: frozenset("XZUWRKL"),
    Act.THREAD: frozenset("XZUWQ"),
    Act.THREAD_OF_CHANGING_LEAD: frozenset("XZUWKQ"),
    Act.THREAD_PASS: frozenset("XZUWRQ"),
    Act.THREADING: frozenset("XZUWPQRIKDA"),
    Act.DRILL: frozenset("XZUWRQPKL"),
    Act.TAP: frozenset("XZUWRPKL"),
    Act.BORE: frozenset("XZUWRPKL"),
}
"""The letters that an act has a use for, besides those that every block may carry (N, F, S, T, M).
Any other letter in its block is reported. An act without an entry is not followed."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a G word means here. `differs`: control families that the job leaves open disagree."""

    act: Act
    differs: bool


def meaning_of(number: Decimal, family: str | None) -> Meaning:
    """What `G<number>` means under a family of cycle words, None where the job states none."""
    if number in COMMON:
        return Meaning(COMMON[number], False)
    if family is not None:
        return Meaning(FAMILIES[family].get(number, Act.NOT_FOLLOWED), False)
    acts = {table.get(number) for table in FAMILIES.values()}
    act = FAMILIES[ASSUMED_FAMILY].get(number, Act.NOT_FOLLOWED)
    return Meaning(act, len(acts) > 1)


SPINDLE_FORWARD = 3
SPINDLE_REVERSE = 4
COOLANT_ON = frozenset({7, 8})
SPINDLE_OFF = frozenset({5, 19})
"""M19 stops the spindle at an angle."""
COOLANT_OFF = 9
STOP = 0
OPTIONAL_STOP = 1
PROGRAM_END = frozenset({2, 30})
CALL = 98
RETURN = 99
CALLS_AND_RETURNS = frozenset({CALL, RETURN})
