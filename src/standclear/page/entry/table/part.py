"""The finished part, as the drawing has it."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section, When

ROWS, POINTS, LENGTH = "rows", "points", "length"
"""How the part is given; see `standclear.page.entry.part_rows`."""

_CORNER = "1 is a chamfer of 1 by 45 degrees, 1x30 one of 1 long by 30 degrees, R0.5 a radius."

PART = Section(
    "part",
    "Part",
    "The finished part from its front face to its back, as the drawing has it: the front is the "
    "end that the first set-up turns. With its outline the proof can tell good metal from spare.",
    (
        Group(
            "part",
            "Finished part",
            (
                Field(
                    "given",
                    "How do you want to give the part?",
                    Kind.CHOICE,
                    choices=(
                        Choice(ROWS, "as steps with corners"),
                        Choice(POINTS, "as points, or from a DXF file"),
                        Choice(LENGTH, "its length alone: a cut into good metal is not seen"),
                    ),
                    needed=True,
                    own=True,
                ),
                Field(
                    "length",
                    "Finished length",
                    Kind.LENGTH,
                    "Over all, from face to face.",
                    needed=True,
                    shown=When("given", (LENGTH, POINTS)),
                ),
                Field(
                    "least_neck",
                    "Least neck that still holds",
                    Kind.LENGTH,
                    "Diameter; metal that hangs by less counts as loose.",
                    "any neck holds",
                    rare=True,
                ),
            ),
            (
                Group(
                    "rows",
                    "Steps, from the front face to the back",
                    (
                        Field("diameter", "Diameter", Kind.LENGTH, needed=True),
                        Field(
                            "to", "Taper to", Kind.LENGTH, "Diameter at its far end.", "straight"
                        ),
                        Field("length", "Length", Kind.LENGTH, needed=True),
                        Field("front", "Front corner", Kind.TEXT, _CORNER, "sharp"),
                        Field("back", "Back corner", Kind.TEXT, _CORNER, "sharp"),
                    ),
                    many=True,
                    row="step",
                    help=f"Corners: {_CORNER} Bores are left out.",
                    shown=When("given", (ROWS,)),
                    in_line=True,
                    own=True,
                ),
                Group(
                    "outline",
                    "Points, from the front face to the back",
                    (
                        Field("[0]", "Z", Kind.LENGTH, "0 at the front face.", needed=True),
                        Field("[1]", "Diameter", Kind.LENGTH, needed=True),
                    ),
                    many=True,
                    row="point",
                    help="Z is 0 at the front face and falls towards the back. Bores are left out.",
                    shown=When("given", (POINTS,)),
                    in_line=True,
                ),
                Group(
                    "sizes",
                    "Sizes and bores to compare",
                    (
                        Field("name", "Name", Kind.TEXT, empty="without a name"),
                        Field("diameter", "Diameter", Kind.LENGTH),
                        Field(
                            "at_z",
                            "at Z",
                            Kind.LENGTH,
                            "Where it is measured: 0 at the front face, then -.",
                        ),
                        Field("inside", "a bore?", Kind.YES_NO, empty="no"),
                        Field("length", "or length", Kind.LENGTH, "From the front face."),
                    ),
                    (
                        Group(
                            "tolerance",
                            "Tolerance",
                            (
                                Field("[0]", "Lower", Kind.LENGTH, empty="-0.1 mm"),
                                Field("[1]", "Upper", Kind.LENGTH, empty="+0.1 mm"),
                            ),
                        ),
                    ),
                    many=True,
                    row="size",
                    help="Each is compared with what comes out. Without any, the sizes of the "
                    "outline are compared, each within 0.1 mm either way.",
                    in_line=True,
                ),
            ),
        ),
    ),
)
