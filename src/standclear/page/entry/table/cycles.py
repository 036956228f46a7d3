"""How cycles run on this control."""

from standclear.page.entry.field import Choice, Field, Group, Kind
from standclear.page.entry.table.asking import NEVER_SET, ask

ROUGHING = Group(
    "machine.control",
    "Roughing, pattern and finishing cycles",
    (
        ask(
            "levels_from",
            "Where does a roughing cycle count its depths from?",
            (
                Choice("moved-start", "from the start point moved by the allowance"),
                Choice("start", "from the start point itself"),
            ),
        ),
        ask(
            "last_level",
            "What becomes of a last depth thinner than the others?",
            (
                Choice("left-to-profile", "left to the pass along the profile"),
                Choice("own-level", "cut by itself"),
                Choice("equalised", "shared out: all depths are made equal"),
            ),
        ),
        ask(
            "level_end",
            "How does a roughing pass leave the metal?",
            (
                Choice("45-degrees", "straight away at 45 degrees"),
                Choice("along-profile", "along the profile up to the pass before"),
            ),
        ),
        ask(
            "home_after_cycle",
            "How does it go back to the start point when it is done?",
            (
                Choice("direct", "in one straight line"),
                Choice("x-first", "X first, then Z"),
                Choice("z-first", "Z first, then X"),
            ),
        ),
        ask(
            "level_outside_profile",
            "What if a pass meets nothing of the profile, as on thicker bar?",
            (
                Choice("to-exit", "it cuts to the Z where the profile ends"),
                Choice("alarm", "the control stops with an alarm"),
            ),
        ),
        ask(
            "pocket_in_plain_roughing",
            "What if there is a pocket in a profile roughed in the plain way?",
            (
                Choice("left", "it is left to the pass along the profile"),
                Choice("alarm", "the control stops with an alarm"),
            ),
        ),
        ask(
            "pocket_order",
            "In which order are several pockets roughed?",
            (
                Choice("by-level", "all to one depth before the next"),
                Choice("by-pocket", "each to its bottom before the next"),
            ),
        ),
        ask(
            "pocket_levels_begin",
            "Where do the depths in front of such a profile begin?",
            (
                Choice("moved-start", "at the start point moved by the allowance"),
                Choice("entry-line", "on the line from there to where the profile begins"),
            ),
        ),
        ask(
            "pocket_infeed",
            "How is the tool fed down from one depth of a pocket to the next?",
            (
                Choice("straight", "straight down"),
                Choice("along-profile", "along the profile"),
            ),
        ),
        ask(
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
            NEVER_SET,
            rare=True,
        ),
        Field(
            "roughing_withdrawal",
            "Withdrawal after a pass that is set in the control",
            Kind.LENGTH,
            empty=NEVER_SET,
            rare=True,
        ),
    ),
    behind="pass and withdrawal set in the control",
)

DRILLING = Group(
    "machine.control",
    "Drilling, pecking and threading",
    (
        ask(
            "drilling_r",
            "What does R of a drilling cycle count from?",
            (
                Choice("incremental", "from where the tool stands"),
                Choice("absolute", "from part zero"),
            ),
        ),
        ask(
            "drilling_return",
            "Where does drilling return to when no word says so?",
            (Choice("initial", "to where it started"), Choice("r-level", "to R")),
        ),
        ask(
            "pecking_x",
            "Is P of a pecking cycle along X a radius or a diameter?",
            (Choice("radial", "a radius"), Choice("diameter", "a diameter")),
        ),
        Field(
            "pecking_return",
            "Withdrawal after a peck that is set in the control",
            Kind.LENGTH,
            empty=NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_finish_passes",
            "Finish passes of a thread that are set in the control",
            Kind.WHOLE,
            empty=NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_angle",
            "Infeed angle of a thread that is set in the control",
            Kind.NUMBER,
            unit="degrees",
            empty=NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_least_depth",
            "Least depth of a thread pass that is set in the control",
            Kind.LENGTH,
            "On radius.",
            NEVER_SET,
            rare=True,
        ),
        Field(
            "threading_finish_allowance",
            "Finish allowance of a thread that is set in the control",
            Kind.LENGTH,
            "On radius.",
            NEVER_SET,
            rare=True,
        ),
    ),
    behind="peck and thread values set in the control",
)
