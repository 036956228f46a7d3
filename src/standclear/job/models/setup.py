"""One clamping: where its program begins and ends, its seat and its zero."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from standclear.job.models.base import NAMED_OR_INLINE, FileName, OffsetWord, Table
from standclear.job.models.jaws import JawsInline
from standclear.job.units import Flag, Length, Whole


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
    on_flats: Flag = False
    """True when the jaws close on the flats of a hexagon or square, whatever its size; else they
    may be on its flats or its corners."""
    margin: Margin = Margin()
    falls_at: list[Annotated[Whole, Field(ge=1)]] = []
    """Lines of the program after which loose metal falls or is caught."""
