"""Jaws, chuck and stop; of the job, and the same again for a set-up with jaws of its own."""

from standclear.page.entry.field import Choice, Field, Group, Kind, Section, When

ROWS, POINTS = "steps", "points"
"""How jaws are given; see `standclear.page.entry.jaw_rows`."""

_SHAPES = (
    Choice(ROWS, "as steps: length, height"),
    Choice(POINTS, "as points: Z and height"),
)


def jaw_groups(first: str, empty: str) -> Group:
    """The fields of jaws; `first` is how the question is put."""
    drawn = When("given", (ROWS, POINTS))
    return Group(
        "jaws",
        "Jaws",
        behind="steps to seat a blank on, face of the chuck, gripping force, stop",
        fields=(
            Field(
                "given",
                first,
                Kind.CHOICE,
                empty=empty,
                choices=_SHAPES,
                own=True,
            ),
            Field("name", "Name of the jaws", Kind.TEXT, empty="without a name", shown=drawn),
            Field(
                "steps",
                "Steps to seat a blank on",
                Kind.LENGTHS,
                "Z of each from the stop's face, with spaces between: 4 16.",
                "none",
                shown=drawn,
                rare=True,
            ),
        ),
        groups=(
            Group(
                "rows",
                "Steps of a jaw, from its front to the stop's face",
                (
                    Field("length", "Length", Kind.LENGTH, "Along the axis.", needed=True),
                    Field(
                        "height",
                        "Height",
                        Kind.LENGTH,
                        "From the gripping surface outwards.",
                        needed=True,
                    ),
                    Field(
                        "relief",
                        "Bored clear by",
                        Kind.LENGTH,
                        "Deeper than the gripping surface, on radius; empty where this step grips.",
                        "0: it grips",
                    ),
                ),
                many=True,
                row="step",
                help="Height counts from the gripping surface outwards. 'Bored clear by' is how "
                "much deeper than that surface a step is bored, so that it does not touch the "
                "part; empty where the step grips. Both are on radius. The last step ends at the "
                "stop's face.",
                shown=When("given", (ROWS,)),
                in_line=True,
                own=True,
            ),
            Group(
                "profile",
                "Points of a jaw, round its outline",
                (
                    Field(
                        "[0]", "Z", Kind.LENGTH, "From the stop's face, + outwards.", needed=True
                    ),
                    Field("[1]", "Height", Kind.LENGTH, "From the gripping surface.", needed=True),
                ),
                many=True,
                row="point",
                help="Z counts from the stop's face, + away from the spindle; the height from the "
                "gripping surface outwards, on radius.",
                shown=When("given", (POINTS,)),
                in_line=True,
            ),
            Group(
                "chuck",
                "Face of the chuck behind the jaws",
                (
                    Field("face", "Z of the face", Kind.LENGTH, "From the stop's face."),
                    Field("diameter", "Diameter of the chuck", Kind.LENGTH),
                ),
                help="Left empty: the chuck's face is not examined.",
                shown=drawn,
                rare=True,
            ),
            Group(
                "clamping",
                "How hard the chuck holds",
                (
                    Field("force", "Gripping force, standing", Kind.NUMBER, unit="N"),
                    Field(
                        "jaw_mass",
                        "Mass of one jaw",
                        Kind.NUMBER,
                        "Of a top jaw with the base jaw that moves with it.",
                        unit="kg",
                    ),
                    Field("jaw_centre", "Radius of the centre of that mass", Kind.LENGTH),
                    Field("jaws", "Number of jaws", Kind.WHOLE, empty="3"),
                    Field(
                        "top_speed",
                        "Greatest speed on the chuck's plate",
                        Kind.NUMBER,
                        unit="rev/min",
                    ),
                ),
                help="From the chuck's plate and a force meter. Left empty: the load on the grip "
                "is not estimated.",
                shown=drawn,
                rare=True,
            ),
            Group(
                "stop",
                "Stop inside the chuck",
                (Field("diameter", "Diameter of the stop", Kind.LENGTH),),
                help="Left empty: the stop is not examined.",
                shown=drawn,
                rare=True,
            ),
        ),
    )


JAWS = Section(
    "jaws",
    "Jaws",
    "Jaws that hold the blank in every set-up, unless a set-up has jaws of its own.",
    (
        jaw_groups(
            "How do you want to give the jaws?",
            "none: nothing near jaws is examined",
        ),
    ),
)
