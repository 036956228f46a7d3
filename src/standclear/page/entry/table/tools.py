"""The tools in the turret."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section, When

KINDS = ("insert", "grooving", "threading", "drill", "tap", "outline")
"""What a tool is described by: the keys of the file, `insert` together with `holder`."""

_Z_R = "from the point that the program moves, Z to the right, R away from the axis"

_INSERT = When("kind", ("insert",))

_BODY = Field(
    "body", "Width of the full body", Kind.LENGTH, "Of the holder behind it.", "20 mm", rare=True
)

_HOLDER = Field(
    "holder_diameter",
    "Diameter of its holder",
    Kind.LENGTH,
    empty="taken as three times its diameter, 60 mm at least, to be verified",
)

GROOVING = Group(
    "grooving",
    "Grooving or parting tool",
    (
        Field("width", "Width of the edge", Kind.LENGTH, needed=True),
        Field(
            "reach",
            "How deep it may go",
            Kind.LENGTH,
            "Beyond it the full body of the holder begins.",
            needed=True,
        ),
        Field("blade", "Thickness of the blade", Kind.LENGTH, empty="as wide as the edge"),
        Field("corner_radius", "Corner radius", Kind.LENGTH, empty="0, sharp"),
        Field(
            "where",
            "Where it cuts",
            Kind.CHOICE,
            empty="outside",
            choices=(
                Choice("outside", "outside, along X"),
                Choice("inside", "in a bore"),
                Choice("face", "in the face, along Z"),
            ),
        ),
        Field(
            "controlled",
            "Which corner does the program move?",
            Kind.CHOICE,
            empty="the corner towards the chuck",
            choices=(
                Choice("chuck-side", "the corner towards the chuck"),
                Choice("tail-side", "the corner away from the chuck"),
            ),
        ),
        Field(
            "edge_height",
            "Length of the cutting sides",
            Kind.LENGTH,
            empty="as long as the edge is wide",
            rare=True,
        ),
        _BODY,
    ),
    shown=When("kind", ("grooving",)),
)

THREADING = Group(
    "threading",
    "Threading tool",
    (
        Field("width", "Width where the flanks end", Kind.LENGTH, needed=True),
        Field("reach", "From the tip to the full body", Kind.LENGTH, needed=True),
        Field("angle", "Angle between the flanks", Kind.NUMBER, empty="60 degrees", unit="degrees"),
        Field("flat", "Flat at the tip", Kind.LENGTH, empty="0"),
        Field("nose_radius", "or nose radius", Kind.LENGTH, empty="0"),
        Field(
            "where",
            "Where it cuts",
            Kind.CHOICE,
            empty="outside",
            choices=(Choice("outside", "outside"), Choice("inside", "in a bore")),
        ),
        _BODY,
    ),
    shown=When("kind", ("threading",)),
)

DRILL = Group(
    "drill",
    "Drill on the centre line",
    (
        Field("diameter", "Diameter", Kind.LENGTH, needed=True),
        Field("length", "From the point to the holder", Kind.LENGTH, needed=True),
        Field("point_angle", "Point angle", Kind.NUMBER, empty="118 degrees", unit="degrees"),
        _HOLDER,
    ),
    shown=When("kind", ("drill",)),
)

TAP = Group(
    "tap",
    "Tap on the centre line",
    (
        Field("diameter", "Diameter over its crests", Kind.LENGTH, needed=True),
        Field("hole", "Diameter of the hole before tapping", Kind.LENGTH, needed=True),
        Field("length", "From its end to the holder", Kind.LENGTH, needed=True),
        _HOLDER,
    ),
    shown=When("kind", ("tap",)),
)

OUTLINE = Group(
    "outline",
    "Tool as measured",
    (
        Field(
            "cutting",
            "Which edges cut?",
            Kind.WHOLES,
            "Edge 0 runs from the first point to the second, with spaces between: 0 8.",
            needed=True,
        ),
    ),
    (
        Group(
            "points",
            "Points round the tool",
            (
                Field("[0]", "Z", Kind.LENGTH, needed=True),
                Field("[1]", "R", Kind.LENGTH, needed=True),
            ),
            many=True,
            row="point",
            help=f"Counted {_Z_R}.",
            in_line=True,
        ),
        Group(
            "corners",
            "Rounded corners",
            (
                Field("point", "Point number", Kind.WHOLE, "The first is 0.", needed=True),
                Field("radius", "Radius", Kind.LENGTH, needed=True),
            ),
            many=True,
            row="corner",
            in_line=True,
        ),
    ),
    shown=When("kind", ("outline",)),
)

TOOLS = Section(
    "tools",
    "Tools",
    "The tools that the program calls, by their designations or sizes. What is decoded is drawn "
    "beside it as you type.",
    (
        Group(
            "tools",
            "Tools in the turret",
            (
                Field(
                    "station",
                    "Station in the turret",
                    Kind.WHOLE,
                    "The number that T calls it by: 3 where the program says T0303.",
                    needed=True,
                ),
                Field(
                    "kind",
                    "What kind of tool?",
                    Kind.CHOICE,
                    choices=(
                        Choice("insert", "turning or boring, by designation"),
                        Choice("grooving", "grooving or parting"),
                        Choice("threading", "threading"),
                        Choice("drill", "drill"),
                        Choice("tap", "tap"),
                        Choice("outline", "any tool, as measured"),
                    ),
                    needed=True,
                    own=True,
                ),
                Field(
                    "insert",
                    "Insert",
                    Kind.TEXT,
                    "Designation to ISO 1832 or in inches: CNMG120408, CNMG432.",
                    shown=_INSERT,
                ),
                Field(
                    "holder",
                    "Holder",
                    Kind.TEXT,
                    "Designation to ISO 5608 or ISO 6261: PCLNR2525M12, A25R-PCLNR12.",
                    shown=_INSERT,
                ),
                Field("name", "Name", Kind.TEXT, empty="without a name"),
                Field(
                    "cuts_with",
                    "Which way must the spindle turn for it?",
                    Kind.CHOICE,
                    empty="M03",
                    choices=(Choice("M03", "M03"), Choice("M04", "M04")),
                    rare=True,
                ),
                Field(
                    "overhang",
                    "How far a boring bar stands out",
                    Kind.LENGTH,
                    "Out of what holds it; its bending is estimated with it.",
                    "its bending is not estimated",
                    rare=True,
                ),
                Field(
                    "greatest_depth",
                    "Greatest depth of cut",
                    Kind.LENGTH,
                    "On radius, or along Z when facing.",
                    "depths are not judged",
                    rare=True,
                ),
                Field(
                    "wear",
                    "Wear and touch-off error",
                    Kind.LENGTH,
                    "Plus or minus, in each axis; X on radius.",
                    "0, listed under 'not examined'",
                    rare=True,
                ),
                Field("offset", "Offset number", Kind.WHOLE, empty="the station's", rare=True),
                Field(
                    "tip",
                    "Direction of the imaginary tip",
                    Kind.WHOLE,
                    "0 to 9, as keyed into the offset page.",
                    "from the shape of the tool",
                    rare=True,
                ),
            ),
            (
                GROOVING,
                THREADING,
                DRILL,
                TAP,
                OUTLINE,
                Group(
                    "geometry",
                    "Geometry offsets, as the control holds them",
                    (
                        Field("x", "X, on diameter", Kind.LENGTH),
                        Field("z", "Z", Kind.LENGTH),
                    ),
                    help="With them the place of each new tool at a tool change is known.",
                    rare=True,
                ),
                Group(
                    "holder_outline",
                    "Holder as measured",
                    (
                        Field("[0]", "Z", Kind.LENGTH, needed=True),
                        Field("[1]", "R", Kind.LENGTH, needed=True),
                    ),
                    many=True,
                    row="point",
                    help=f"Points round the holder, counted {_Z_R}. They stand in for the "
                    "envelope that the designation gives.",
                    rare=True,
                    in_line=True,
                ),
            ),
            many=True,
            row="tool",
            behind="turning direction, overhang, greatest depth, wear, offset number, tip, "
            "geometry offsets, holder as measured",
        ),
    ),
)
