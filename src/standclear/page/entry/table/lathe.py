"""The lathe: home, rapids, spindle."""

from standclear.page.entry.field import Choice, Field, Group, Kind, When

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
    behind="power, least increment, where tool changes are safe, G30, rapids",
)
