"""The lathe, and how its control behaves, as questions that a setter can answer at the machine."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section, When

OPEN = "I do not know: every answer is proved"
"""What counts where a question about the control is left open."""

_NEVER_SET = "not known; unproven where a program leaves it out"


def _ask(key: str, question: str, choices: tuple[Choice, ...], help: str = "") -> Field:
    return Field(key, question, Kind.CHOICE, help, OPEN, choices=choices)


_POINT = (
    Choice("increment", "least increments", "X50 is 0.050 mm."),
    Choice("unit", "whole units", "X50 is 50 mm."),
)

TEXT = Group(
    "machine.control",
    "How the control reads words",
    (
        Field(
            "cycle_words",
            "Which words call one turning pass by itself?",
            Kind.CHOICE,
            "Look for them in a program that has run on this lathe. G90, G77 and G20 mean other "
            "things in the other families.",
            "I do not know: unproven where a program calls a cycle",
            choices=(
                Choice("cycles-g90", "G90, G92, G94", "Cycles are G70 to G76, inch is G20."),
                Choice("cycles-g77", "G77, G78, G79", "Cycles are G70 to G76, G90 is absolute."),
                Choice("cycles-g20", "G20, G21, G24", "Cycles are G72 to G78, inch is G70."),
            ),
        ),
        Field(
            "x_words",
            "Are X words diameters or radii?",
            Kind.CHOICE,
            empty="diameters",
            choices=(Choice("diameter", "diameters"), Choice("radius", "radii")),
        ),
        _ask("number_without_point", "What does X50 without a point count?", _POINT),
        _ask("cycle_number_without_point", "And P, Q and D of a cycle?", _POINT),
        _ask(
            "arc_centre",
            "From where do I and K count?",
            (Choice("incremental", "from where the arc starts"), Choice("absolute", "from zero")),
        ),
        _ask(
            "block_delete",
            "Is the switch for block delete (/) on?",
            (Choice("on", "on: such blocks are left out"), Choice("off", "off: they run")),
        ),
        _ask(
            "optional_stop",
            "Is the switch for the optional stop (M01) on?",
            (Choice("on", "on: it stops"), Choice("off", "off: it runs on")),
        ),
        Field(
            "optional_stop_counts",
            "Does an M01 count where stops are counted for a set-up?",
            Kind.YES_NO,
            empty="yes, where it stops",
            rare=True,
        ),
        _ask(
            "comparison_tie",
            "How do two computed values compare that only rounding tells apart?",
            (Choice("equal", "as equal"), Choice("unequal", "as different")),
            "Matters in programs with IF and WHILE.",
        ),
        Field(
            "arc_disagreement",
            "How far may the two radii of an arc disagree?",
            Kind.LENGTH,
            empty="0.01 mm",
            rare=True,
        ),
    ),
    help="Left open, each question costs nothing but time: every answer is proved.",
)

ROUGHING = Group(
    "machine.control",
    "Roughing, pattern and finishing cycles",
    (
        _ask(
            "levels_from",
            "Where does a roughing cycle count its depths from?",
            (
                Choice("moved-start", "from the start point moved by the finishing allowance"),
                Choice("start", "from the start point itself"),
            ),
        ),
        _ask(
            "last_level",
            "What becomes of a last depth thinner than the others?",
            (
                Choice("left-to-profile", "left to the pass along the profile"),
                Choice("own-level", "cut by itself"),
                Choice("equalised", "shared out: all depths are made equal"),
            ),
        ),
        _ask(
            "level_end",
            "How does a roughing pass leave the metal?",
            (
                Choice("45-degrees", "straight away at 45 degrees"),
                Choice("along-profile", "along the profile up to the pass before"),
            ),
        ),
        _ask(
            "home_after_cycle",
            "How does it go back to the start point when it is done?",
            (
                Choice("direct", "in one straight line"),
                Choice("x-first", "X first, then Z"),
                Choice("z-first", "Z first, then X"),
            ),
        ),
        _ask(
            "level_outside_profile",
            "What if a pass meets nothing of the profile, as on thicker bar?",
            (
                Choice("to-exit", "it cuts to the Z where the profile ends"),
                Choice("alarm", "the control stops with an alarm"),
            ),
        ),
        _ask(
            "pocket_in_plain_roughing",
            "What if there is a pocket in a profile roughed in the plain way?",
            (
                Choice("left", "it is left to the pass along the profile"),
                Choice("alarm", "the control stops with an alarm"),
            ),
        ),
        _ask(
            "pocket_order",
            "In which order are several pockets roughed?",
            (
                Choice("by-level", "all to one depth before the next"),
                Choice("by-pocket", "each to its bottom before the next"),
            ),
        ),
        _ask(
            "pocket_levels_begin",
            "Where do the depths in front of such a profile begin?",
            (
                Choice("moved-start", "at the start point moved by the allowance"),
                Choice("entry-line", "on the line from there to where the profile begins"),
            ),
        ),
        _ask(
            "pocket_infeed",
            "How is the tool fed down from one depth of a pocket to the next?",
            (
                Choice("straight", "straight down"),
                Choice("along-profile", "along the profile"),
            ),
        ),
        _ask(
            "pattern_one_pass",
            "Where does a pattern cycle (G73) with a single pass cut?",
            (
                Choice("shifted", "displaced by its whole relief"),
                Choice("unshifted", "on the profile"),
            ),
        ),
        Field(
            "roughing_depth",
            "Depth of a pass that is set in the control",
            Kind.LENGTH,
            "On radius.",
            _NEVER_SET,
            rare=True,
        ),
        Field(
            "roughing_withdrawal",
            "Withdrawal after a pass that is set in the control",
            Kind.LENGTH,
            empty=_NEVER_SET,
            rare=True,
        ),
    ),
)

COMPENSATION = Group(
    "machine.control",
    "Nose compensation (G41, G42)",
    (
        Field(
            "controlled_point",
            "Which point of a turning tool does the program move?",
            Kind.CHOICE,
            empty="the imaginary tip",
            choices=(
                Choice("tip", "the imaginary tip"),
                Choice("nose-centre", "the centre of the nose"),
            ),
        ),
        _ask(
            "compensation_in_cycles",
            "What becomes of it inside the profile of a roughing cycle?",
            (
                Choice("ignored", "it is ignored"),
                Choice("applied", "it is applied"),
                Choice("if-active", "it is applied only if it was on at the call"),
            ),
        ),
        _ask(
            "compensation_entry",
            "Where is it reached when it is turned on?",
            (
                Choice("perpendicular", "square to the start of the next move"),
                Choice("at-end", "where the move that turns it on ends"),
            ),
        ),
        _ask(
            "compensation_corner",
            "How does the path go round an outside corner?",
            (Choice("arc", "in an arc"), Choice("square", "along a square corner")),
        ),
    ),
)

TOOL_CHANGE = Group(
    "machine.control",
    "Tool words",
    (
        _ask(
            "tool_with_motion",
            "A T word in a block with a motion: when does the turret turn?",
            (Choice("before", "before the motion"), Choice("after", "after the motion")),
        ),
        _ask(
            "offset_with_motion",
            "And how is the offset taken up?",
            (
                Choice("jump", "at once, by a move of its own"),
                Choice("with-motion", "together with the motion"),
            ),
        ),
    ),
)

DRILLING = Group(
    "machine.control",
    "Drilling, pecking and threading",
    (
        _ask(
            "drilling_r",
            "What does R of a drilling cycle count from?",
            (
                Choice("incremental", "from where the tool stands"),
                Choice("absolute", "from part zero"),
            ),
        ),
        _ask(
            "drilling_return",
            "Where does drilling return to when no word says so?",
            (Choice("initial", "to where it started"), Choice("r-level", "to R")),
        ),
        _ask(
            "pecking_x",
            "Is P of a pecking cycle along X a radius or a diameter?",
            (Choice("radial", "a radius"), Choice("diameter", "a diameter")),
        ),
        Field(
            "pecking_return",
            "Withdrawal after a peck that is set in the control",
            Kind.LENGTH,
            empty=_NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_finish_passes",
            "Finish passes of a thread that are set in the control",
            Kind.WHOLE,
            empty=_NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_angle",
            "Infeed angle of a thread that is set in the control",
            Kind.NUMBER,
            unit="degrees",
            empty=_NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_least_depth",
            "Least depth of a thread pass that is set in the control",
            Kind.LENGTH,
            "On radius.",
            _NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_finish_allowance",
            "Finish allowance of a thread that is set in the control",
            Kind.LENGTH,
            "On radius.",
            _NEVER_SET,
            rare=True,
        ),
    ),
)

LATHE = Group(
    "machine",
    "The lathe",
    (
        Field("name", "Name of the lathe", Kind.TEXT, empty="without a name"),
        Field(
            "home",
            "Where does the turret go when it is sent home?",
            Kind.CHOICE,
            empty="not known: unproven where a program goes home",
            choices=(
                Choice("beyond", "beyond the work, in X and in Z"),
                Choice("unknown", "I do not know"),
            ),
        ),
        Field(
            "rapid_path",
            "How do both axes move in a rapid?",
            Kind.CHOICE,
            "Watch a rapid in both axes at once, with nothing near.",
            "not known: all of the rectangle between the two points must be clear",
            choices=(
                Choice("straight", "together, in a straight line"),
                Choice("bent", "each at its own speed, so the way has a bend"),
                Choice("unknown", "I do not know"),
            ),
        ),
        Field(
            "spindle_limit",
            "Greatest spindle speed",
            Kind.NUMBER,
            empty="speeds are judged by what is usual",
            unit="rev/min",
        ),
        Field(
            "spindle_power",
            "Power of the spindle, without a time limit",
            Kind.NUMBER,
            empty="the load is not judged",
            unit="kW",
            rare=True,
        ),
        Field(
            "increment",
            "Least increment of the control",
            Kind.LENGTH,
            "The last figure of its display.",
            "0.001 mm, 0.0001 in",
            rare=True,
        ),
        Field(
            "safe_x",
            "Tool changes are safe from this X on",
            Kind.LENGTH,
            "A programmed X, taken on trust.",
            "only at home",
            rare=True,
        ),
        Field(
            "safe_z",
            "Tool changes are safe from this Z on",
            Kind.LENGTH,
            "A programmed Z, taken on trust.",
            "only at home",
            rare=True,
        ),
        Field(
            "second_home",
            "Where does G30 go?",
            Kind.CHOICE,
            empty="not known: unproven where a program goes there",
            choices=(
                Choice("beyond", "beyond the work, in X and in Z"),
                Choice("unknown", "I do not know"),
            ),
            rare=True,
        ),
        Field(
            "rapid_corner",
            "How far is a corner between two rapids rounded?",
            Kind.LENGTH,
            empty="not at all, which is taken on trust",
            rare=True,
        ),
    ),
    (
        Group(
            "rapid_rates",
            "Rapid speed of each axis",
            (
                Field("x", "X, on radius, a minute", Kind.LENGTH),
                Field("z", "Z, a minute", Kind.LENGTH),
            ),
            help="A bent rapid needs them, and so does the time of a part.",
            shown=When("rapid_path", ("bent", "straight")),
        ),
        Group(
            "rapid_acceleration",
            "Acceleration of each axis in rapid",
            (
                Field("x", "X, on radius", Kind.NUMBER, unit="m/s2"),
                Field("z", "Z", Kind.NUMBER, unit="m/s2"),
            ),
            help="For the time of a part alone.",
            rare=True,
        ),
    ),
)

MACHINE = Section(
    "machine",
    "Lathe and control",
    "How the lathe moves and how its control reads a program. Answer what you know; what stays "
    "open is proved both ways.",
    (LATHE, TEXT, ROUGHING, COMPENSATION, TOOL_CHANGE, DRILLING),
)
