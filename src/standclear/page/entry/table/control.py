"""The lathe, and how its control behaves, as questions that a setter can answer at the machine."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section
from standclear.page.entry.table.asking import ask
from standclear.page.entry.table.cycles import DRILLING, ROUGHING
from standclear.page.entry.table.lathe import LATHE

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
        ask("number_without_point", "What does X50 without a point count?", _POINT),
        ask(
            "cycle_number_without_point",
            "What do P, Q and D of a cycle count without a point?",
            _POINT,
        ),
        ask(
            "arc_centre",
            "From where do I and K count?",
            (Choice("incremental", "from where the arc starts"), Choice("absolute", "from zero")),
        ),
        ask(
            "block_delete",
            "Is the switch for block delete (/) on?",
            (Choice("on", "on: such blocks are left out"), Choice("off", "off: they run")),
        ),
        ask(
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
        ask(
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
    help="What is left open is proved with every answer. Where more than eight readings of a "
    "program come of it, the answer is unproven and names the question.",
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
        ask(
            "compensation_in_cycles",
            "What becomes of it inside the profile of a roughing cycle?",
            (
                Choice("ignored", "it is ignored"),
                Choice("applied", "it is applied"),
                Choice("if-active", "it is applied only if it was on at the call"),
            ),
        ),
        ask(
            "compensation_entry",
            "Where is it reached when it is turned on?",
            (
                Choice("perpendicular", "square to the start of the next move"),
                Choice("at-end", "where the move that turns it on ends"),
            ),
        ),
        ask(
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
        ask(
            "tool_with_motion",
            "A T word in a block with a motion: when does the turret turn?",
            (Choice("before", "before the motion"), Choice("after", "after the motion")),
        ),
        ask(
            "offset_with_motion",
            "And how is the offset taken up?",
            (
                Choice("jump", "at once, by a move of its own"),
                Choice("with-motion", "together with the motion"),
            ),
        ),
    ),
)

MACHINE = Section(
    "machine",
    "Lathe and control",
    "How the lathe moves and how its control reads a program. Answer what you know; what stays "
    "open is proved with every answer.",
    (LATHE, TEXT, ROUGHING, COMPENSATION, TOOL_CHANGE, DRILLING),
)
