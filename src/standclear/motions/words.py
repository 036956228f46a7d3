"""What each G word means, as data: one table of common words, one for each family of cycle words.

ISO 6983-1 and DIN 66025-2 give the common words; the three families are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


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
    COMPENSATION_OFF = "compensation off"
    COMPENSATION_ON = "compensation on"
    CLAMP_OR_SETTING = "spindle clamp or coordinate setting"
    MACHINE_PLACE = "machine coordinates"
    WORK_OFFSET = "work offset"
    SURFACE_SPEED = "constant surface speed"
    SPINDLE_SPEED = "spindle speed"
    FEED_PER_MINUTE = "feed per minute"
    FEED_PER_REVOLUTION = "feed per revolution"
    ABSOLUTE = "absolute"
    INCREMENTAL = "incremental"
    NOTHING = "nothing"
    FINISH = "G70"
    ROUGH_ALONG = "G71"
    ROUGH_ACROSS = "G72"
    PECK_ALONG = "G74"
    PECK_ACROSS = "G75"
    TURN_PASS = "G90"
    FACE_PASS = "G94"
    RETURNING_CYCLE = "a cycle that is not followed and ends where it began"
    LASTING_CYCLE = "a cycle that is not followed and repeats"
    THREAD = "a thread pass that is not followed"
    NOT_FOLLOWED = "not followed"


COMMON: dict[int, Act] = {
    0: Act.RAPID,
    1: Act.LINE,
    2: Act.ARC_CLOCKWISE,
    3: Act.ARC_COUNTER,
    4: Act.DWELL,
    18: Act.NOTHING,
    28: Act.HOME,
    40: Act.COMPENSATION_OFF,
    41: Act.COMPENSATION_ON,
    42: Act.COMPENSATION_ON,
    53: Act.MACHINE_PLACE,
    80: Act.NOTHING,
    96: Act.SURFACE_SPEED,
    97: Act.SPINDLE_SPEED,
} | dict.fromkeys(range(54, 60), Act.WORK_OFFSET)

FAMILIES: dict[str, dict[int, Act]] = {
    "cycles-g90": {
        20: Act.INCH,
        21: Act.MILLIMETRE,
        32: Act.THREAD,
        50: Act.CLAMP_OR_SETTING,
        70: Act.FINISH,
        71: Act.ROUGH_ALONG,
        72: Act.ROUGH_ACROSS,
        73: Act.RETURNING_CYCLE,
        74: Act.PECK_ALONG,
        75: Act.PECK_ACROSS,
        76: Act.RETURNING_CYCLE,
        90: Act.TURN_PASS,
        92: Act.LASTING_CYCLE,
        94: Act.FACE_PASS,
        98: Act.FEED_PER_MINUTE,
        99: Act.FEED_PER_REVOLUTION,
    },
    "cycles-g77": {
        20: Act.INCH,
        21: Act.MILLIMETRE,
        33: Act.THREAD,
        70: Act.FINISH,
        71: Act.ROUGH_ALONG,
        72: Act.ROUGH_ACROSS,
        73: Act.RETURNING_CYCLE,
        74: Act.PECK_ALONG,
        75: Act.PECK_ACROSS,
        76: Act.RETURNING_CYCLE,
        77: Act.TURN_PASS,
        78: Act.LASTING_CYCLE,
        79: Act.FACE_PASS,
        90: Act.ABSOLUTE,
        91: Act.INCREMENTAL,
        92: Act.CLAMP_OR_SETTING,
        94: Act.FEED_PER_MINUTE,
        95: Act.FEED_PER_REVOLUTION,
    },
    "cycles-g20": {
        20: Act.TURN_PASS,
        21: Act.LASTING_CYCLE,
        24: Act.FACE_PASS,
        33: Act.THREAD,
        70: Act.INCH,
        71: Act.MILLIMETRE,
        72: Act.FINISH,
        73: Act.ROUGH_ALONG,
        74: Act.ROUGH_ACROSS,
        75: Act.RETURNING_CYCLE,
        76: Act.PECK_ALONG,
        77: Act.PECK_ACROSS,
        78: Act.RETURNING_CYCLE,
        90: Act.ABSOLUTE,
        91: Act.INCREMENTAL,
        92: Act.CLAMP_OR_SETTING,
        94: Act.FEED_PER_MINUTE,
        95: Act.FEED_PER_REVOLUTION,
    },
}

ASSUMED_FAMILY = "cycles-g90"
"""Traced as a best effort where the job does not state the family; never proved so."""

MOTIONS = frozenset(
    {
        Act.RAPID,
        Act.LINE,
        Act.ARC_CLOCKWISE,
        Act.ARC_COUNTER,
        Act.TURN_PASS,
        Act.FACE_PASS,
        Act.LASTING_CYCLE,
        Act.THREAD,
    }
)
"""Words that last until another of them."""
FEEDS = frozenset({Act.LINE, Act.ARC_CLOCKWISE, Act.ARC_COUNTER})
ARCS = frozenset({Act.ARC_CLOCKWISE, Act.ARC_COUNTER})
ONE_SHOTS = frozenset(
    {
        Act.DWELL,
        Act.HOME,
        Act.MACHINE_PLACE,
        Act.FINISH,
        Act.ROUGH_ALONG,
        Act.ROUGH_ACROSS,
        Act.PECK_ALONG,
        Act.PECK_ACROSS,
        Act.RETURNING_CYCLE,
        Act.NOT_FOLLOWED,
    }
)
"""Words that act in their own block alone and say what its axis words are for."""
WITH_PROFILE = frozenset({Act.FINISH, Act.ROUGH_ALONG, Act.ROUGH_ACROSS})
UNFOLLOWED = frozenset(
    {Act.RETURNING_CYCLE, Act.LASTING_CYCLE, Act.THREAD, Act.NOT_FOLLOWED, Act.COMPENSATION_ON}
)


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a G word means here. `differs`: control families that the job leaves open disagree."""

    act: Act
    differs: bool


def meaning_of(number: int, family: str | None) -> Meaning:
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
CALLS_AND_RETURNS = frozenset({98, 99})
