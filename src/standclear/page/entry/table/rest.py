"""Title and unit, what few jobs need, and what the shop counts with."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section

JOB = Section(
    "job",
    "Job",
    "A name to find it by, and the unit of every length below.",
    (
        Group(
            "",
            "Job",
            (
                Field("title", "Name of the job", Kind.TEXT, "Part and size, say.", "no name"),
                Field(
                    "units",
                    "Unit of all lengths",
                    Kind.CHOICE,
                    choices=(Choice("mm", "millimetres"), Choice("inch", "inches")),
                    needed=True,
                ),
            ),
        ),
    ),
)

REST = Section(
    "rest",
    "What few jobs need",
    "Subprograms, variables, M words of this lathe, and findings that may stand.",
    (
        Group(
            "subprograms",
            "Files with subprograms",
            (Field("", "Name of the file", Kind.TEXT, needed=True),),
            many=True,
            row="file",
            help="Programs that the programs of the set-ups call.",
            in_line=True,
        ),
        Group(
            "variables",
            "Common variables, as the control holds them",
            (
                Field("number", "#", Kind.WHOLE, "100 to 199, 500 to 999.", needed=True, own=True),
                Field("value", "Value", Kind.NUMBER, needed=True, own=True),
            ),
            many=True,
            row="variable",
            in_line=True,
        ),
        Group(
            "m_words",
            "What M words of this lathe do",
            (
                Field("number", "M", Kind.WHOLE, needed=True),
                Field(
                    "does",
                    "What it does",
                    Kind.CHOICE,
                    choices=(
                        Choice("nothing", "moves nothing near the work"),
                        Choice("parts-catcher", "moves the parts catcher"),
                        Choice("opens-chuck", "opens the chuck"),
                        Choice("pulls-bar", "pulls the bar"),
                        Choice("tailstock", "moves the tailstock"),
                        Choice("steady", "moves a steady"),
                        Choice("other", "something else that moves"),
                    ),
                    needed=True,
                ),
                Field("name", "Name", Kind.TEXT, empty="without a name"),
            ),
            many=True,
            row="M word",
            help="An M word that is not named here is trusted to move nothing.",
            in_line=True,
        ),
        Group(
            "allow",
            "Findings that may stand",
            (
                Field("code", "Finding", Kind.TEXT, "Its code, such as band-left.", needed=True),
                Field("reason", "Reason", Kind.TEXT, "It is printed on the sheet.", needed=True),
                Field("line", "Line", Kind.WHOLE, "Of the program.", "wherever it is found"),
            ),
            many=True,
            row="finding",
            in_line=True,
        ),
        Group(
            "",
            "Judging",
            (
                Field(
                    "contact_limit",
                    "Touching is no strike up to a depth of",
                    Kind.LENGTH,
                    empty="0.005 mm",
                    rare=True,
                ),
            ),
        ),
        Group(
            "guesses",
            "Guesses that nobody has confirmed",
            (Field("", "Name in the job file", Kind.TEXT),),
            many=True,
            row="guess",
            own=True,
        ),
    ),
    folded=True,
)

SHOP = Section(
    "shop",
    "Time and cost",
    "What the shop counts with. No proof needs it.",
    (
        Group(
            "shop",
            "Times by hand",
            (
                Field(
                    "tool_change",
                    "From one tool to the next",
                    Kind.NUMBER,
                    unit="seconds",
                    empty="not counted",
                ),
                Field(
                    "tool_change_counts",
                    "That time counts",
                    Kind.CHOICE,
                    "From chip to chip, the ways home and back are in it and not counted again.",
                    choices=(
                        Choice("turret", "turning the turret alone"),
                        Choice("chip-to-chip", "from the last chip to the next tool's first"),
                    ),
                    empty="turning the turret alone",
                ),
                Field(
                    "spindle_run_up",
                    "Spindle from rest to its greatest speed",
                    Kind.NUMBER,
                    unit="seconds",
                    empty="not counted",
                ),
                Field(
                    "turn_round",
                    "Turning the part round",
                    Kind.NUMBER,
                    unit="seconds",
                    empty="not counted",
                ),
                Field(
                    "load",
                    "Part out, next blank in",
                    Kind.NUMBER,
                    unit="seconds",
                    empty="not counted",
                ),
                Field(
                    "preparation",
                    "Setting up, once for a batch",
                    Kind.NUMBER,
                    unit="minutes",
                    empty="not counted",
                ),
                Field("batch", "Parts of a batch", Kind.WHOLE, empty="not known"),
                Field("money", "Name of the money", Kind.TEXT, empty="without a name"),
                Field(
                    "machine_rate",
                    "Machine with whoever runs it",
                    Kind.NUMBER,
                    unit="money an hour",
                    empty="not counted",
                ),
            ),
            (
                Group(
                    "home",
                    "Where the tips stand at home, about, as the display reads",
                    (
                        Field("x", "X, on diameter", Kind.LENGTH),
                        Field("z", "Z", Kind.LENGTH),
                    ),
                    help="For the time of rapids to and from home alone.",
                    rare=True,
                ),
                Group(
                    "bar",
                    "The bars that blanks are sawn from",
                    (
                        Field("length", "Length of a bar", Kind.LENGTH),
                        Field("kerf", "Width of the saw cut", Kind.LENGTH, empty="0"),
                        Field("trim", "Cut off its front end first", Kind.LENGTH, empty="0"),
                        Field("remnant", "End that cannot be used", Kind.LENGTH, empty="0"),
                        Field("price_per_metre", "Price of a metre", Kind.NUMBER, unit="money"),
                        Field(
                            "price_per_kilogram",
                            "or price of a kilogram",
                            Kind.NUMBER,
                            unit="money",
                        ),
                    ),
                    rare=True,
                ),
                Group(
                    "edges",
                    "What cutting edges cost",
                    (
                        Field("station", "Station", Kind.WHOLE, needed=True),
                        Field("price", "Price of one edge", Kind.NUMBER, needed=True),
                    ),
                    (
                        Group(
                            "minutes",
                            "Minutes in metal before it is turned",
                            (
                                Field("[0]", "Least minutes", Kind.NUMBER, needed=True),
                                Field("[1]", "Most minutes", Kind.NUMBER, needed=True),
                            ),
                        ),
                    ),
                    many=True,
                    row="edge",
                    in_line=True,
                ),
                Group(
                    "values",
                    "Speeds and feeds that this shop starts with",
                    (
                        Field("material", "Words of the material's name", Kind.TEXT, needed=True),
                        Field("station", "Station", Kind.WHOLE, empty="all of them"),
                    ),
                    (
                        Group(
                            "speed",
                            "Cutting speed, m/min",
                            (
                                Field("[0]", "Least speed", Kind.NUMBER, needed=True),
                                Field("[1]", "Most speed", Kind.NUMBER, needed=True),
                            ),
                        ),
                        Group(
                            "feed",
                            "Feed a turn",
                            (
                                Field("[0]", "Least feed", Kind.LENGTH, needed=True),
                                Field("[1]", "Most feed", Kind.LENGTH, needed=True),
                            ),
                        ),
                    ),
                    many=True,
                    row="value",
                    in_line=True,
                ),
            ),
        ),
    ),
    folded=True,
)
