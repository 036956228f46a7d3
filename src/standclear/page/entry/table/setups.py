"""Set-ups: one for each clamping, in the order of the work."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section, When
from standclear.page.entry.table.jaws import jaw_groups


def _mark(key: str, title: str, first: str) -> Group:
    """A place in the run of a program; `first` is the answer that needs none."""
    at = (
        Choice("", first),
        Choice("stop", "at a stop (M00)"),
        Choice("offset", "where a work offset is first used"),
        Choice("label", "at a label (N)"),
    )
    fields = [
        Field("at", title, Kind.CHOICE, empty=first, choices=at[1:], own=True),
        Field("stop", "Which stop?", Kind.WHOLE, "1 is the first.", shown=When("at", ("stop",))),
        Field("offset", "Which offset?", Kind.TEXT, "Such as G55.", shown=When("at", ("offset",))),
        Field("label", "Which label?", Kind.WHOLE, "N100 is 100.", shown=When("at", ("label",))),
        Field(
            "reached",
            "How is the label reached?",
            Kind.CHOICE,
            empty="both ways are proved",
            choices=(
                Choice("running", "the program runs up to it"),
                Choice("search", "the operator searches for it"),
            ),
            shown=When("at", ("label",)),
        ),
    ]
    return Group(key, title, tuple(fields))


_OFFSET_HELP = "The word for part zero: G54 to G59, or such as G54.1 P3."

SETUPS = Section(
    "setups",
    "Set-ups",
    "One for each clamping: which end, which program, where the blank sits and how its zero is "
    "set.",
    (
        Group(
            "setup",
            "Set-ups, in the order of the work",
            (
                Field("name", "Name", Kind.TEXT, "Such as 'front end'.", needed=True),
                Field(
                    "program",
                    "Program",
                    Kind.TEXT,
                    "Name of the file.",
                    "the job can be planned, not proved",
                ),
                Field("offset", "Work offset", Kind.TEXT, _OFFSET_HELP, "G54"),
                Field(
                    "turned",
                    "Was the part turned round before it?",
                    Kind.YES_NO,
                    empty="no for the first set-up, yes for the others",
                    rare=True,
                ),
                Field(
                    "grip_diameter",
                    "Diameter gripped",
                    Kind.LENGTH,
                    empty="taken from the metal between the jaws",
                ),
                Field(
                    "on_flats",
                    "Do the jaws close on its flats?",
                    Kind.YES_NO,
                    "Of a hexagon or square bar.",
                    "no: they may be on flats or corners",
                    rare=True,
                ),
                Field(
                    "offset_z",
                    "Machine value of the offset's Z",
                    Kind.LENGTH,
                    "As the offset page shows it.",
                    "not known",
                    rare=True,
                ),
                Field(
                    "falls_at",
                    "Lines after which loose metal falls",
                    Kind.WHOLES,
                    "Line numbers of the program file, as after parting off.",
                    "none",
                    rare=True,
                ),
            ),
            (
                _mark("start", "Where does it start in the program?", "at its first block"),
                _mark("end", "Where does it end in the program?", "at its last block"),
                Group(
                    "zero",
                    "Part zero",
                    (
                        Field(
                            "way",
                            "How is part zero set?",
                            Kind.CHOICE,
                            choices=(
                                Choice("touch", "raw face touched with each blank"),
                                Choice("stop", "fixed from the stop that the blank sits on"),
                                Choice("rule", "with a rule, or to a mark"),
                                Choice(
                                    "finished-on-stop", "turned round, finished face on the stop"
                                ),
                                Choice(
                                    "measured",
                                    "turned round, raw back touched, length measured and keyed in",
                                ),
                                Choice(
                                    "nominal",
                                    "turned round, raw back touched, a fixed allowance keyed in",
                                ),
                            ),
                            needed=True,
                        ),
                        Field(
                            "face_allowance",
                            "Raw face stands out in front of zero by",
                            Kind.LENGTH,
                            "How much comes off the face.",
                            shown=When("way", ("touch", "rule", "nominal")),
                        ),
                        Field(
                            "from_stop",
                            "Part zero lies in front of the stop by",
                            Kind.LENGTH,
                            "Measured from the face that the blank sits on.",
                            shown=When("way", ("stop", "finished-on-stop")),
                            empty="the finished length, where the finished face sits on the stop",
                        ),
                        Field(
                            "error",
                            "How far zero may be off",
                            Kind.LENGTH,
                            "Plus or minus, of touching and measuring together.",
                            "0, listed under 'not examined'",
                        ),
                        Field(
                            "touched",
                            "Does the spindle turn when the face is touched?",
                            Kind.CHOICE,
                            empty="it turns",
                            choices=(
                                Choice("turning", "it turns"),
                                Choice("standing", "it stands"),
                            ),
                            shown=When("way", ("touch", "measured", "nominal")),
                            rare=True,
                        ),
                    ),
                ),
                Group(
                    "seat",
                    "Seat in the chuck",
                    (
                        Field(
                            "on",
                            "What does the blank sit on?",
                            Kind.CHOICE,
                            empty="the stop in the chuck",
                            choices=(
                                Choice("stop", "the stop in the chuck"),
                                Choice("step", "a step of the jaws"),
                                Choice("stick-out", "nothing: set to stand out by a length"),
                            ),
                        ),
                        Field(
                            "step",
                            "Which step of the jaws?",
                            Kind.WHOLE,
                            "0 is the first of those named with the jaws.",
                            "0, the first",
                            shown=When("on", ("step",)),
                        ),
                        Field(
                            "stick_out",
                            "It stands out of the jaws by",
                            Kind.LENGTH,
                            "From the jaws' front to the outer face.",
                            shown=When("on", ("stick-out",)),
                        ),
                        Field(
                            "error",
                            "How far that may be off",
                            Kind.LENGTH,
                            "Plus or minus.",
                            "0, listed under 'not examined'",
                            shown=When("on", ("stick-out",)),
                        ),
                    ),
                ),
                jaw_groups(
                    "Jaws of this set-up",
                    "those of the section above",
                ),
                Group(
                    "margin",
                    "Air wanted beyond 'not touching'",
                    (
                        Field("x", "In X, on diameter", Kind.LENGTH, empty="2.5 mm, 0.100 in"),
                        Field("z", "In Z", Kind.LENGTH, empty="2.5 mm, 0.100 in"),
                        Field("jaws", "To jaws, chuck and stop", Kind.LENGTH, empty="1 mm"),
                    ),
                    rare=True,
                ),
            ),
            many=True,
            row="set-up",
            behind="turned round or not, on flats, machine value of Z, loose metal, air wanted",
        ),
    ),
)
