"""The job: everything the shop has, as the TOML file states it.

Lengths stand in the job's unit, as typed; `standclear.job.read.read_job` turns them into
millimetres once, so that every later stage sees millimetres only. X values and diameters are
diameters; `r` and `h` are radial. Defaults other than 0 are millimetres. The types say which
numbers are lengths (`standclear.job.units`). Later versions only add optional keys and tables.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, Tag

from standclear.job.units import (
    Flag,
    Increment,
    Length,
    Number,
    Point,
    Rate,
    Tolerance,
    Units,
    Whole,
)

INLINE_TAG = "<table>"
FILE_TAG = "<file>"


def _inline_or_file(value: Any) -> str:
    return FILE_TAG if isinstance(value, str) else INLINE_TAG


NAMED_OR_INLINE = Discriminator(_inline_or_file)
"""Lets a table stand inline or as a file name without either being judged as the other."""
FileName = Annotated[str, Field(min_length=1), Tag(FILE_TAG)]


@dataclass(frozen=True, slots=True)
class Form:
    """The form that a text must have, in words for whoever typed it."""

    words: str


OffsetWord = Annotated[
    str,
    Field(pattern=r"^(G5[4-9]|G54\.1 P[1-9]\d{0,2})$"),
    Form('a work offset, "G54" to "G59" or such as "G54.1 P3"'),
]
"""`G54` to `G59`, or a further one such as `G54.1 P3`."""


class Table(BaseModel):
    """Base of every table of the file: frozen, unknown keys are errors."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Blank(Table):
    """The piece of raw stock in the chuck."""

    shape: Literal["round", "tube", "hexagon", "square"] = "round"
    size: Length = Field(gt=0)
    """Diameter, or width across flats of a hexagon or square."""
    size_tolerance: Tolerance = (0.0, 0.0)
    length: Length = Field(gt=0)
    length_tolerance: Tolerance = (0.0, 0.0)
    bore: Length | None = Field(default=None, gt=0)
    """Bore of a tube, on diameter; smaller than the size."""
    bore_tolerance: Tolerance = (0.0, 0.0)
    material: str = ""
    run_out: Length | None = Field(default=None, ge=0)
    """Full indicator reading of the blank in the chuck."""
    bow: Length | None = Field(default=None, ge=0)
    """Deviation from straight over the stick-out."""
    skin: Length | None = Field(default=None, ge=0)
    """Depth of bad skin, radial and on the faces."""
    out_of_square: Length | None = Field(default=None, ge=0)
    """How far a sawn face leans over its diameter."""
    flats_stay: Flag = False
    """True when flats of a hexagon or square are meant to stay on the part."""


class WantedSize(Table):
    """One size the drawing asks for."""

    name: str = ""
    diameter: Length | None = Field(default=None, gt=0)
    at_z: Length | None = None
    """Where the diameter is measured, from the finished front face (0 there, negative inwards)."""
    inside: Flag = False
    length: Length | None = Field(default=None, gt=0)
    """Distance from the finished front face to a shoulder, or of the whole part."""
    tolerance: Tolerance = (-0.1, 0.1)


class Part(Table):
    """The finished part."""

    length: Length = Field(gt=0)
    outline: list[Point] | None = None
    """(z, diameter) of the finished outline from the front face (z = 0) to the back
    (z = -length), outside; bores are left out."""
    sizes: list[WantedSize] = []
    least_neck: Length = Field(default=0.0, ge=0)
    """Least diameter by which metal may hang; thinner counts as loose."""


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


class Machine(Table):
    """The lathe."""

    name: str = ""
    increment: Increment = Field(default=0.001, gt=0)
    rapid_path: Literal["straight", "bent", "unknown"] = "unknown"
    rapid_rates: RapidRates | None = None
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
    control: Control = Control()


class JawChuck(Table):
    """The chuck's face behind the jaws, z from the stop plane, + away from the spindle."""

    face: Length
    diameter: Length = Field(gt=0)


class JawStop(Table):
    """The stop inside the chuck that a blank is pushed against: its face is the stop plane."""

    diameter: Length = Field(gt=0)


class Jaws(Table):
    """Jaws as a profile from the stop plane, moving in and out with the gripped diameter."""

    name: str = ""
    profile: list[Point] = Field(min_length=3)
    """Closed outline (z, h): z from the stop plane, + away from the spindle; h radial outward from
    the gripping surface (h = 0)."""
    steps: list[Length] = []
    """z of the steps that a blank may be seated on, from the stop plane."""
    chuck: JawChuck | None = None
    stop: JawStop | None = None


class Offsets(Table):
    """Geometry offsets of a tool as the control holds them: x on diameter."""

    x: Length
    z: Length


class OutlineCorner(Table):
    """A rounded corner of a tool outline: the point's index and its radius."""

    point: Whole = Field(ge=0)
    radius: Length = Field(gt=0)


class ToolOutline(Table):
    """Any polygon, (z, r) from the controlled point, with its cutting edges marked."""

    points: list[Point] = Field(min_length=3)
    cutting: list[Annotated[Whole, Field(ge=0)]] = Field(min_length=1)
    """Edge i runs from point i to point i + 1, counted from 0."""
    corners: list[OutlineCorner] = []


class GroovingTool(Table):
    """A grooving or parting tool that plunges along X (outside) unless `face` or `inside`."""

    width: Length = Field(gt=0)
    reach: Length = Field(gt=0)
    """How deep the blade may go: beyond it the holder's full body begins."""
    blade: Length | None = Field(default=None, gt=0)
    """Thickness of the blade behind the edge; left out: the width."""
    edge_height: Length | None = Field(default=None, gt=0)
    """Length of the cutting sides behind the front edge; left out: the width."""
    corner_radius: Length = Field(default=0.0, ge=0)
    where: Literal["outside", "inside", "face"] = "outside"
    controlled: Literal["chuck-side", "tail-side"] = "chuck-side"
    """Which corner of the front edge the program moves."""
    body: Length = Field(default=20.0, gt=0)
    """Width of the holder's full body."""


class ThreadingTool(Table):
    """A threading tool with a pointed insert; the program moves its tip."""

    angle: Number = Field(default=60.0, gt=0, lt=180)
    """Degrees between the flanks."""
    width: Length = Field(gt=0)
    """Width of the insert where its flanks end, and of what carries it."""
    reach: Length = Field(gt=0)
    """From the tip to the holder's full body."""
    flat: Length = Field(default=0.0, ge=0)
    """Width of the flat at the tip."""
    nose_radius: Length = Field(default=0.0, ge=0)
    """Instead of a flat."""
    where: Literal["outside", "inside"] = "outside"
    body: Length = Field(default=20.0, gt=0)
    """Width of the holder's full body, diameter of a bar."""


class Drill(Table):
    """A drill on the centre line."""

    diameter: Length = Field(gt=0)
    point_angle: Number = Field(default=118.0, gt=0, le=180)
    length: Length = Field(gt=0)
    """From the point to the holder."""
    holder_diameter: Length | None = Field(default=None, gt=0)


class Tap(Table):
    """A tap on the centre line. The hole keeps the size that it was drilled to: what lies between
    the crests of the thread is not counted on to be open."""

    diameter: Length = Field(gt=0)
    """Over the crests of the tap."""
    hole: Length = Field(gt=0)
    """Diameter of the hole that it is made for, smaller than its own."""
    length: Length = Field(gt=0)
    """From its end to the holder."""
    holder_diameter: Length | None = Field(default=None, gt=0)


class Tool(Table):
    """A tool in the turret: `insert` with `holder`, or `outline`, `grooving`, `threading`,
    `drill` or `tap`."""

    station: Whole = Field(ge=0)
    offset: Whole | None = Field(default=None, ge=0)
    """Number of its offset; left out: the station's."""
    name: str = ""
    insert: str | None = None
    """ISO 1832 or inch designation such as CNMG120408."""
    holder: str | None = None
    """ISO 5608 or ISO 6261 designation such as PCLNL2525M12 or S20R-SCLCR09."""
    holder_outline: list[Point] | None = None
    """Measured outline of the holder, (z, r) from the controlled point: replaces the envelope."""
    outline: ToolOutline | None = None
    grooving: GroovingTool | None = None
    threading: ThreadingTool | None = None
    drill: Drill | None = None
    tap: Tap | None = None
    tip: Annotated[Whole, Field(le=9)] | None = Field(default=None, ge=0)
    """Direction of the imaginary tip, 0 to 9, that nose compensation goes by; left out: from the
    shape of the tool."""
    cuts_with: Literal["M03", "M04"] = "M03"
    """The spindle direction the tool cuts with."""
    greatest_depth: Length | None = Field(default=None, gt=0)
    """Greatest depth of cut, radial or axial."""
    geometry: Offsets | None = None
    wear: Length | None = Field(default=None, ge=0)
    """Bound of wear and touch-off error, plus or minus, each axis (X radial)."""


JawsInline = Annotated[Jaws, Tag(INLINE_TAG)]


class Mark(Table):
    """A place in the run of a program. Give exactly one."""

    label: Whole | None = Field(default=None, ge=0)
    reached: Literal["running", "search"] | None = None
    """How a start at a label is reached: by running the program up to it, or by a search for it,
    with no block before it run and every word in reset state."""
    stop: Whole | None = Field(default=None, ge=1)
    """The nth stop (M00, or M01 where it stops) that is executed."""
    offset: OffsetWord | None = None
    """The first use of this offset word, such as G55."""


class Seat(Table):
    """Where the blank sits in the chuck."""

    on: Literal["stop", "step", "stick-out"] = "stop"
    step: Whole = Field(default=0, ge=0)
    """Index into the jaws' steps."""
    stick_out: Length | None = Field(default=None, gt=0)
    """From the jaws' front to the outer face of the blank."""
    error: Length = Field(default=0.0, ge=0)
    """Plus or minus, of the stick-out."""


class Zero(Table):
    """How the part zero is set.

    First end: `stop` (blank on a stop, zero fixed from it), `touch` (each raw face touched), `rule`
    (set with a rule). Second end: `finished-on-stop`, `measured` (raw back touched, measured length
    minus finished length keyed in), `nominal` (raw back touched, nominal allowance keyed in).
    """

    way: Literal["stop", "touch", "rule", "finished-on-stop", "measured", "nominal"]
    from_stop: Length | None = None
    """Part zero from the seat, + away from the spindle (`stop`; `finished-on-stop`: left out, the
    finished length)."""
    face_allowance: Length | None = None
    """How far the raw face stands out in front of part zero (`touch`, `rule`, `nominal`)."""
    error: Length = Field(default=0.0, ge=0)
    """Plus or minus, of touching and measuring together."""
    touched: Literal["turning", "standing"] = "turning"
    """Whether the spindle turned when the face was touched; a rule is held to a standing face."""


class Margin(Table):
    """Air wanted beyond 'not touching'."""

    x: Length | None = Field(default=None, ge=0)
    """On diameter."""
    z: Length | None = Field(default=None, ge=0)
    jaws: Length | None = Field(default=None, ge=0)
    """Real distance to jaws, chuck and stop."""


class Allowed(Table):
    """A finding of severity `mend` that the job lets stand, with the reason."""

    code: str = Field(min_length=1)
    reason: str = Field(min_length=1)
    line: Whole | None = Field(default=None, ge=1)


class Setup(Table):
    """One clamping."""

    name: str = Field(min_length=1)
    program: str = Field(default="", min_length=1)
    """File name beside the job file. Left out where none is written yet: such a job can be planned
    and not proved."""
    start: Mark | None = None
    """Left out: the program's first block."""
    end: Mark | None = None
    """Left out: the program's end."""
    turned: Flag | None = None
    """The part was turned round before this set-up; left out: true for all but the first. A
    set-up that is not turned round either stands on a stop or repeats seat, zero and jaws of the
    one before it: the same clamping goes on."""
    offset: OffsetWord = "G54"
    offset_z: Length | None = None
    """Machine value of the offset's Z."""
    seat: Seat = Seat()
    zero: Zero
    jaws: Annotated[JawsInline | FileName, NAMED_OR_INLINE] | None = None
    """Jaws of this set-up alone, inline or a file; left out: the job's."""
    grip_diameter: Length | None = Field(default=None, gt=0)
    """Diameter gripped; left out: taken from the metal between the jaws."""
    margin: Margin = Margin()
    falls_at: list[Annotated[Whole, Field(ge=1)]] = []
    """Lines of the program after which loose metal falls or is caught."""


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


class Job(Table):
    """A whole job file."""

    title: str = ""
    units: Units
    blank: Blank
    part: Part
    machine: Annotated[Annotated[Machine, Tag(INLINE_TAG)] | FileName, NAMED_OR_INLINE] = Field(
        default_factory=Machine
    )
    """Inline, or the name of a file beside the job file. A proof needs it, a plan does not; the
    same goes for tools and set-ups."""
    tools: Annotated[
        Annotated[list[Tool], Field(min_length=1), Tag(INLINE_TAG)] | FileName, NAMED_OR_INLINE
    ] = Field(default_factory=list)
    """Inline, or the name of a file beside the job file."""
    jaws: Annotated[JawsInline | FileName, NAMED_OR_INLINE] | None = None
    """Of every set-up that gives none of its own; left out: no jaws are examined."""
    setup: Annotated[list[Setup], Field(min_length=1)] = Field(default_factory=list)
    subprograms: list[Annotated[str, Field(min_length=1)]] = []
    """Names of files beside the job file that hold programs which others call."""
    variables: dict[str, Number] = {}
    """Common variables as the control holds them when a program starts: number and value, in the
    unit that programs use them in."""
    m_words: list[MWord] = []
    contact_limit: Length | None = Field(default=None, gt=0)
    """Depth below which touching is not striking; left out: 0.005 mm."""
    allow: list[Allowed] = []
    guesses: list[Annotated[str, Field(min_length=1)]] = []
    """Names of keys of this file whose values were guessed from a program and are not confirmed
    yet, such as `blank.size`. While one stands here, the answer is unproven."""


class MachineFile(Machine):
    """A file that holds a machine."""

    units: Units | None = None
    """Unit of this file; left out: the job's."""


class ToolsFile(Table):
    """A file that holds tools."""

    units: Units | None = None
    """Unit of this file; left out: the job's."""
    tools: list[Tool] = Field(min_length=1)


class JawsFile(Jaws):
    """A file that holds jaws."""

    units: Units | None = None
    """Unit of this file; left out: the job's."""
