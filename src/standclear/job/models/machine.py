"""The lathe and its control."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standclear.job.models.base import Table
from standclear.job.units import Flag, Increment, Length, Number, Rate, Whole


class Control(Table):
    """How this control behaves where controls differ. A value left out is open: every value that
    it may take is proved."""

    cycle_words: Literal["cycles-g90", "cycles-g77", "cycles-g20"] | None = None
    x_words: Literal["diameter", "radius"] = "diameter"
    number_without_point: Literal["increment", "unit"] | None = None
    cycle_number_without_point: Literal["increment", "unit"] | None = None
    """P, Q and D of cycles."""
    arc_centre: Literal["incremental", "absolute"] | None = None
    levels_from: Literal["moved-start", "start"] | None = None
    """Roughing levels are counted from S moved by the allowance, or from S."""
    last_level: Literal["left-to-profile", "own-level", "equalised"] | None = None
    level_end: Literal["45-degrees", "along-profile"] | None = None
    home_after_cycle: Literal["direct", "x-first", "z-first"] | None = None
    level_outside_profile: Literal["to-exit", "alarm"] | None = None
    pocket_in_plain_roughing: Literal["left", "alarm"] | None = None
    tool_with_motion: Literal["before", "after"] | None = None
    offset_with_motion: Literal["jump", "with-motion"] | None = None
    block_delete: Literal["on", "off"] | None = None
    optional_stop: Literal["on", "off"] | None = None
    comparison_tie: Literal["equal", "unequal"] | None = None
    """How two computed values compare that only rounding tells apart."""
    compensation_in_cycles: Literal["ignored", "applied", "if-active"] | None = None
    """Compensation words in the profile of G71, G72 and G73."""
    compensation_entry: Literal["perpendicular", "at-end"] | None = None
    """Compensation is reached (and left) square to the start of the next move, or where the entry
    move ends."""
    compensation_corner: Literal["arc", "square"] | None = None
    """How the path goes round an outside corner."""
    controlled_point: Literal["tip", "nose-centre"] = "tip"
    """The point of a turning tool that the program moves."""
    pocket_order: Literal["by-level", "by-pocket"] | None = None
    """Pockets of G71 and G72: all on one level before the next, or each to its bottom."""
    pocket_levels_begin: Literal["moved-start", "entry-line"] | None = None
    """Levels in front of such a profile begin at S moved by the allowance, or on the line from
    there to the profile's entry."""
    pocket_infeed: Literal["straight", "along-profile"] | None = None
    """How the tool is fed down from one level of a pocket to the next."""
    pecking_x: Literal["radial", "diameter"] | None = None
    """What P of a pecking cycle counts."""
    pattern_one_pass: Literal["shifted", "unshifted"] | None = None
    """Where the only pass of a G73 lies that asks for one."""
    drilling_r: Literal["incremental", "absolute"] | None = None
    drilling_return: Literal["initial", "r-level"] | None = None
    """Where drilling returns to when no word says so."""
    threading_finish_passes: Whole | None = Field(default=None, ge=1)
    """This and the next three: what a threading cycle goes by where the program never sets it."""
    threading_angle: Number | None = Field(default=None, ge=0, le=120)
    """Degrees between the flanks that the infeed goes by."""
    threading_least_depth: Length | None = Field(default=None, ge=0)
    """Radial."""
    threading_finish_allowance: Length | None = Field(default=None, ge=0)
    """Radial."""
    roughing_depth: Length | None = Field(default=None, gt=0)
    """Depth of a level where the program never sets it."""
    roughing_withdrawal: Length | None = Field(default=None, ge=0)
    pecking_return: Length | None = Field(default=None, ge=0)
    arc_disagreement: Length = Field(default=0.01, ge=0)
    """How far the two radii of an arc may disagree."""
    optional_stop_counts: Flag = True


class RapidRates(Table):
    """Greatest speed of each axis, in the job's unit per minute; X radial."""

    x: Rate = Field(gt=0)
    z: Rate = Field(gt=0)


class RapidAcceleration(Table):
    """Even acceleration of each axis in rapid, m/s2; X radial."""

    x: Number = Field(gt=0)
    z: Number = Field(gt=0)


class Machine(Table):
    """The lathe."""

    name: str = ""
    increment: Increment = Field(default=0.001, gt=0)
    rapid_path: Literal["straight", "bent", "unknown"] = "unknown"
    rapid_rates: RapidRates | None = None
    rapid_acceleration: RapidAcceleration | None = None
    """Left out: times of rapids are those without speeding up and slowing down."""
    rapid_corner: Length | None = Field(default=None, ge=0)
    """How far a corner between rapids is rounded; left out: exact stop, taken on trust."""
    home: Literal["beyond", "unknown"] = "unknown"
    """`beyond`: home lies beyond the work in +X and +Z."""
    second_home: Literal["beyond", "unknown"] = "unknown"
    """The reference place that G30 goes to."""
    safe_x: Length | None = None
    """At or beyond this programmed X, a tool change is taken on trust."""
    safe_z: Length | None = None
    spindle_limit: Number | None = Field(default=None, gt=0)
    """Greatest spindle speed, rpm."""
    spindle_power: Number | None = Field(default=None, gt=0)
    """What the spindle gives without a time limit, kW."""
    control: Control = Control()


class MWord(Table):
    """What an M word of this machine does. Every M word that is not stated moves nothing, which is
    taken on trust."""

    number: Whole = Field(ge=0)
    does: Literal[
        "nothing", "parts-catcher", "opens-chuck", "pulls-bar", "tailstock", "steady", "other"
    ]
    """`nothing`, and `parts-catcher` with its way taken on trust, leave metal and obstacles as they
    are. The rest do not: the set-up has to end before the word, or what follows is unproven."""
    name: str = ""
