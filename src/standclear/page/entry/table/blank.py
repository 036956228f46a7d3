"""The piece of stock as it comes from the saw."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section, When

_NOT_EXAMINED = "0, listed under 'not examined'"

BLANK = Section(
    "blank",
    "Blank",
    "The piece of stock that lies on the bench, as the saw left it.",
    (
        Group(
            "blank",
            "Stock",
            (
                Field(
                    "shape",
                    "Shape of the bar",
                    Kind.CHOICE,
                    empty="round",
                    choices=(
                        Choice("round", "round bar"),
                        Choice("tube", "tube"),
                        Choice("hexagon", "hexagon bar"),
                        Choice("square", "square bar"),
                    ),
                ),
                Field(
                    "size",
                    "Diameter of the bar",
                    Kind.LENGTH,
                    "Measured on the bar in hand; of a hexagon or square, the width across flats.",
                    needed=True,
                ),
                Field(
                    "length",
                    "Length of the blank",
                    Kind.LENGTH,
                    "From sawn face to sawn face.",
                    needed=True,
                ),
                Field(
                    "bore",
                    "Bore of the tube",
                    Kind.LENGTH,
                    "On diameter.",
                    shown=When("shape", ("tube",)),
                ),
                Field(
                    "flats_stay",
                    "Do flats of the bar stay on the part?",
                    Kind.YES_NO,
                    "If they do, flats that are left count as finished.",
                    empty="no",
                    shown=When("shape", ("hexagon", "square")),
                ),
                Field("material", "Material", Kind.TEXT, empty="not named"),
            ),
            (
                Group(
                    "size_tolerance",
                    "How far the bar may differ from its size",
                    (
                        Field(
                            "[0]",
                            "Smallest, as a deviation",
                            Kind.LENGTH,
                            "Such as -0.16.",
                            "0",
                            fill=0.0,
                        ),
                        Field(
                            "[1]",
                            "Largest, as a deviation",
                            Kind.LENGTH,
                            "Such as 0.",
                            "0",
                            fill=0.0,
                        ),
                    ),
                    help=f"Both left empty: {_NOT_EXAMINED}.",
                ),
                Group(
                    "length_tolerance",
                    "How far the saw may be off in length",
                    (
                        Field(
                            "[0]",
                            "Shortest, as a deviation",
                            Kind.LENGTH,
                            "Such as -0.2.",
                            "0",
                            fill=0.0,
                        ),
                        Field(
                            "[1]",
                            "Longest, as a deviation",
                            Kind.LENGTH,
                            "Such as 0.2.",
                            "0",
                            fill=0.0,
                        ),
                    ),
                    help=f"Both left empty: {_NOT_EXAMINED}.",
                ),
                Group(
                    "bore_tolerance",
                    "How far the bore of the tube may differ",
                    (
                        Field("[0]", "Smallest, as a deviation", Kind.LENGTH, empty="0", fill=0.0),
                        Field("[1]", "Largest, as a deviation", Kind.LENGTH, empty="0", fill=0.0),
                    ),
                    help=f"Both left empty: {_NOT_EXAMINED}.",
                    shown=When("shape", ("tube",)),
                ),
            ),
        ),
        Group(
            "blank",
            "How true it runs",
            (
                Field(
                    "run_out",
                    "Run-out in the chuck",
                    Kind.LENGTH,
                    "Full reading of the dial over one turn.",
                    _NOT_EXAMINED,
                ),
                Field(
                    "out_of_square",
                    "Lean of the sawn faces",
                    Kind.LENGTH,
                    "How far a sawn face leans over its diameter.",
                    _NOT_EXAMINED,
                ),
                Field(
                    "bow",
                    "Bow of the bar",
                    Kind.LENGTH,
                    "How far it is from straight over what stands out.",
                    _NOT_EXAMINED,
                ),
                Field(
                    "skin",
                    "Depth of bad skin",
                    Kind.LENGTH,
                    "Scale or decarburised skin, on radius and on the faces.",
                    _NOT_EXAMINED,
                ),
            ),
        ),
    ),
)
