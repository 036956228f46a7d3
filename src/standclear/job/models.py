"""The job: everything the shop has, as the TOML file states it.

Lengths stand in the job's unit, as typed; `standclear.job.read.read_job` turns them into
millimetres once, so that every later stage sees millimetres only. X values and diameters are
diameters; `r` and `h` are radial. Later versions only add optional keys and tables.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Tolerance = tuple[float, float]
"""(lower, upper) deviation from the size, such as (-0.16, 0.0)."""
Point = tuple[float, float]


class Table(BaseModel):
    """Base of every table of the file: frozen, unknown keys are errors."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Blank(Table):
    """The piece of raw stock in the chuck."""

    shape: Literal["round", "tube", "hexagon", "square"] = "round"
    size: float = Field(gt=0)
    """Diameter, or width across flats of a hexagon or square."""
    size_tolerance: Tolerance = (0.0, 0.0)
    length: float = Field(gt=0)
    length_tolerance: Tolerance = (0.0, 0.0)
    bore: float | None = None
    """Bore of a tube, on diameter."""
    bore_tolerance: Tolerance = (0.0, 0.0)
    material: str = ""
    run_out: float | None = Field(default=None, ge=0)
    """Full indicator reading of the blank in the chuck."""
    bow: float | None = Field(default=None, ge=0)
    """Deviation from straight over the stick-out."""
    skin: float | None = Field(default=None, ge=0)
    """Depth of bad skin, radial and on the faces."""
    out_of_square: float | None = Field(default=None, ge=0)
    """How far a sawn face leans over its diameter."""
    flats_stay: bool = False
    """True when flats of a hexagon or square are meant to stay on the part."""


class WantedSize(Table):
    """One size the drawing asks for."""

    name: str = ""
    diameter: float | None = Field(default=None, gt=0)
    at_z: float | None = None
    """Where the diameter is measured, from the finished front face (0 there, negative inwards)."""
    inside: bool = False
    length: float | None = Field(default=None, gt=0)
    """Distance from the finished front face to a shoulder, or of the whole part."""
    tolerance: Tolerance = (-0.1, 0.1)


class Part(Table):
    """The finished part."""

    length: float = Field(gt=0)
    outline: list[Point] | None = None
    """(z, diameter) of the finished outline from the front face (z = 0) to the back
    (z = -length), outside; bores are left out."""
    sizes: list[WantedSize] = []
    least_neck: float = Field(default=0.0, ge=0)
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
    roughing_depth: float | None = Field(default=None, gt=0)
    """Depth of a level where the program never sets it."""
    roughing_withdrawal: float | None = Field(default=None, ge=0)
    pecking_return: float | None = Field(default=None, ge=0)
    arc_disagreement: float = Field(default=0.01, ge=0)
    """How far the two radii of an arc may disagree."""
    optional_stop_counts: bool = True


class RapidRates(Table):
    """Greatest speed of each axis, in the job's unit per minute; X radial."""

    x: float = Field(gt=0)
    z: float = Field(gt=0)


class Machine(Table):
    """The lathe."""

    name: str = ""
    increment: float = Field(default=0.001, gt=0)
    rapid_path: Literal["straight", "bent", "unknown"] = "unknown"
    rapid_rates: RapidRates | None = None
    rapid_corner: float | None = Field(default=None, ge=0)
    """How far a corner between rapids is rounded; left out: exact stop, taken on trust."""
    home: Literal["beyond", "unknown"] = "unknown"
    """`beyond`: home lies beyond the work in +X and +Z."""
    safe_x: float | None = None
    """At or beyond this programmed X, a tool change is taken on trust."""
    safe_z: float | None = None
    spindle_limit: float | None = Field(default=None, gt=0)
    control: Control = Control()


class JawChuck(Table):
    """The chuck's face behind the jaws, z from the stop plane, + away from the spindle."""

    face: float
    diameter: float = Field(gt=0)


class JawStop(Table):
    """The stop inside the chuck that a blank is pushed against: its face is the stop plane."""

    diameter: float = Field(gt=0)


class Jaws(Table):
    """Jaws as a profile from the stop plane, moving in and out with the gripped diameter."""

    name: str = ""
    profile: list[Point] = Field(min_length=3)
    """Closed outline (z, h): z from the stop plane, + away from the spindle; h radial outward from
    the gripping surface (h = 0)."""
    steps: list[float] = []
    """z of the steps that a blank may be seated on, from the stop plane."""
    chuck: JawChuck | None = None
    stop: JawStop | None = None


class Offsets(Table):
    """Geometry offsets of a tool as the control holds them: x on diameter."""

    x: float
    z: float


class OutlineCorner(Table):
    """A rounded corner of a tool outline: the point's index and its radius."""

    point: int = Field(ge=0)
    radius: float = Field(gt=0)


class ToolOutline(Table):
    """Any polygon, (z, r) from the controlled point, with its cutting edges marked."""

    points: list[Point] = Field(min_length=3)
    cutting: list[int] = Field(min_length=1)
    """Edge i runs from point i to point i + 1, counted from 0."""
    corners: list[OutlineCorner] = []


class GroovingTool(Table):
    """A grooving or parting tool that plunges along X (outside) unless `face` or `inside`."""

    width: float = Field(gt=0)
    reach: float = Field(gt=0)
    """How deep the blade may go: beyond it the holder's full body begins."""
    blade: float | None = Field(default=None, gt=0)
    """Thickness of the blade behind the edge; left out: the width."""
    edge_height: float | None = Field(default=None, gt=0)
    """Length of the cutting sides behind the front edge; left out: the width."""
    corner_radius: float = Field(default=0.0, ge=0)
    where: Literal["outside", "inside", "face"] = "outside"
    controlled: Literal["chuck-side", "tail-side"] = "chuck-side"
    """Which corner of the front edge the program moves."""
    body: float = Field(default=20.0, gt=0)
    """Width of the holder's full body."""


class Drill(Table):
    """A drill on the centre line."""

    diameter: float = Field(gt=0)
    point_angle: float = Field(default=118.0, gt=0, le=180)
    length: float = Field(gt=0)
    """From the point to the holder."""
    holder_diameter: float | None = Field(default=None, gt=0)


class Tool(Table):
    """A tool in the turret. Give one of `holder` (with `insert`), `outline`, `grooving`, `drill`."""

    station: int = Field(ge=0)
    offset: int | None = Field(default=None, ge=0)
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
    drill: Drill | None = None
    cuts_with: Literal["M03", "M04"] = "M03"
    """The spindle direction the tool cuts with."""
    greatest_depth: float | None = Field(default=None, gt=0)
    """Greatest depth of cut, radial or axial."""
    geometry: Offsets | None = None
    wear: float | None = Field(default=None, ge=0)
    """Bound of wear and touch-off error, plus or minus, each axis (X radial)."""


class Mark(Table):
    """A place in the run of a program. Give exactly one."""

    label: int | None = Field(default=None, ge=0)
    stop: int | None = Field(default=None, ge=1)
    """The nth stop (M00, or M01 where it stops) that is executed."""
    offset: str | None = None
    """The first use of this offset word, such as G55."""


class Seat(Table):
    """Where the blank sits in the chuck."""

    on: Literal["stop", "step", "stick-out"] = "stop"
    step: int = Field(default=0, ge=0)
    """Index into the jaws' steps."""
    stick_out: float | None = Field(default=None, gt=0)
    """From the jaws' front to the outer face of the blank."""
    error: float = Field(default=0.0, ge=0)
    """Plus or minus, of the stick-out."""


class Zero(Table):
    """How the part zero is set.

    First end: `stop` (blank on a stop, zero fixed from it), `touch` (each raw face touched), `rule`
    (set with a rule). Second end: `finished-on-stop`, `measured` (raw back touched, measured length
    minus finished length keyed in), `nominal` (raw back touched, nominal allowance keyed in).
    """

    way: Literal["stop", "touch", "rule", "finished-on-stop", "measured", "nominal"]
    from_stop: float | None = None
    """Part zero from the seat, + away from the spindle (`stop`; `finished-on-stop`: left out, the
    finished length)."""
    face_allowance: float | None = None
    """How far the raw face stands out in front of part zero (`touch`, `rule`, `nominal`)."""
    error: float = Field(default=0.0, ge=0)
    """Plus or minus, of touching or measuring."""
    touched: Literal["turning", "standing"] = "turning"


class Margin(Table):
    """Air wanted beyond 'not touching'."""

    x: float | None = Field(default=None, ge=0)
    """On diameter."""
    z: float | None = Field(default=None, ge=0)
    jaws: float | None = Field(default=None, ge=0)
    """Real distance to jaws, chuck and stop."""
    return_gap: float | None = Field(default=None, ge=0)
    """Owed by rapids inside the raw outline; left out: the contact limit."""


class Allowed(Table):
    """A finding of severity `mend` that the job lets stand, with the reason."""

    code: str
    reason: str = Field(min_length=1)
    line: int | None = None


class Setup(Table):
    """One clamping."""

    name: str
    program: str
    """File name beside the job file."""
    start: Mark | None = None
    """Left out: the program's first block."""
    end: Mark | None = None
    """Left out: the program's end."""
    turned: bool | None = None
    """The part was turned round before this set-up; left out: true for all but the first."""
    offset: str = "G54"
    offset_z: float | None = None
    """Machine value of the offset's Z."""
    seat: Seat = Seat()
    zero: Zero
    jaws: Jaws | str | None = None
    """Jaws of this set-up alone, inline or a file; left out: the job's."""
    grip_diameter: float | None = Field(default=None, gt=0)
    """Diameter gripped; left out: taken from the metal between the jaws."""
    margin: Margin = Margin()
    falls_at: list[int] = []
    """Lines of the program after which loose metal falls or is caught."""


class Job(Table):
    """A whole job file."""

    title: str = ""
    units: Literal["mm", "inch"]
    blank: Blank
    part: Part
    machine: Machine | str
    """Inline, or the name of a file beside the job file."""
    tools: list[Tool] | str
    jaws: Jaws | str | None = None
    setup: Annotated[list[Setup], Field(min_length=1)]
    contact_limit: float | None = Field(default=None, gt=0)
    """Depth below which touching is not striking; left out: 0.005 mm."""
    allow: list[Allowed] = []
