"""For each finding code a small job that draws it and a near miss that does not.

One base job, known clear, is edited: the text of its program by replacing words that stand in it
once, its data by setting values at a path. The numbers are explained beside each case; the base:

- bar 40 x 63, part 60 long, 1.5 on each face; tools stand off at X43. Z4.5 (3.0 on diameter and
  4.5 - 1.5 = 3.0 in Z, 2.5 wanted);
- front jaws 20 deep, so their front is at 63 - 1.5 - 20 = 41.5, Z-41.5; deepest pass Z-37.;
- back jaws grip 38 from 22 to 32 from the stop, front at 60 - 32 = 28, Z-28; deepest pass Z-25.;
- front turned to Z-37., seen from the back -60 + 37 = -23, and the back end turns to Z-25.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

PROGRAM = """%
O0001 (BOTH ENDS)
G21
G40 G99
G28 U0. W0.
T0101
G54
G50 S2500
G96 S180 M03
G00 X43. Z4.5 M07
G94 X-1.6 Z0. F0.2
G00 X43. Z4.5
G71 U1.4 R0.5
G71 P100 Q140 U0.4 W0.1 F0.25
N100 G00 X30.
N110 G01 Z-20. F0.12
N120 X38.
N130 Z-37.
N140 X43.
G70 P100 Q140
G28 U0. W0.
M05
M00 (TURN ROUND)
T0101 (AGAIN)
G55
G50 S2400
G96 S170 M03
G00 X43. Z4.5 M08
G94 X-1.6 Z0. F0.18
G00 X43. Z4.5 (TO TURN)
G90 X38. Z-25. F0.24
G28 U0. W0. (DONE)
M05 M09
M30
%
"""

CONTROL = {
    "cycle_words": "cycles-g90",
    "number_without_point": "increment",
    "cycle_number_without_point": "increment",
    "arc_centre": "incremental",
    "levels_from": "moved-start",
    "last_level": "left-to-profile",
    "level_end": "45-degrees",
    "home_after_cycle": "direct",
    "level_outside_profile": "to-exit",
    "pocket_in_plain_roughing": "alarm",
    "tool_with_motion": "before",
    "offset_with_motion": "jump",
    "block_delete": "off",
    "optional_stop": "off",
}

JOB: dict[str, Any] = {
    "units": "mm",
    "blank": {"size": 40.0, "length": 63.0},
    "part": {
        "length": 60.0,
        "outline": [[0.0, 30.0], [-20.0, 30.0], [-20.0, 38.0], [-60.0, 38.0]],
        "sizes": [{"diameter": 30.0, "at_z": -10.0}, {"length": 60.0}],
    },
    "machine": {
        "rapid_path": "straight",
        "home": "beyond",
        "spindle_limit": 3500,
        "control": CONTROL,
    },
    "tools": [
        {
            # 80 degrees, edges at 5 and 85 degrees, nose 0.8: its sharp corner lies
            # 0.100 x 0.8 = 0.080 outside the imaginary tip.
            "station": 1,
            "outline": {
                "points": [
                    [-0.080, -0.080],
                    [12.0, 0.977],
                    [24.0, 3.5],
                    [32.0, 9.0],
                    [32.0, 150.0],
                    [7.0, 150.0],
                    [7.0, 34.0],
                    [1.6, 14.0],
                    [0.977, 12.0],
                ],
                "cutting": [0, 8],
                "corners": [{"point": 0, "radius": 0.8}],
            },
        },
        {"station": 2, "grooving": {"width": 3.0, "reach": 25.0}},
        {"station": 3, "drill": {"diameter": 12.0, "length": 70.0, "holder_diameter": 30.0}},
    ],
    "setup": [
        {
            "name": "front",
            "program": "case.nc",
            "end": {"stop": 1},
            "offset": "G54",
            "zero": {"way": "touch", "face_allowance": 1.5},
            "jaws": {
                "profile": [[0.0, 0.0], [20.0, 0.0], [20.0, 30.0], [0.0, 30.0]],
            },
        },
        {
            "name": "back",
            "program": "case.nc",
            "start": {"stop": 1},
            "offset": "G55",
            "grip_diameter": 38.0,
            "zero": {"way": "finished-on-stop"},
            "jaws": {
                "profile": [
                    [22.0, 0.0],
                    [32.0, 0.0],
                    [32.0, 30.0],
                    [0.0, 30.0],
                    [0.0, 10.0],
                    [22.0, 10.0],
                ],
            },
        },
    ],
}

Words = tuple[str, str]
"""(words that stand in the program once, what stands there instead)."""
Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Edit:
    """What one case changes: words of the program, values of the job (None: key left out)."""

    words: tuple[Words, ...] = ()
    values: Mapping[Path, Any] = field(default_factory=dict)
    program: str = PROGRAM

    def text(self) -> str:
        """The program, edited. Raises ValueError where the words do not stand in it once."""
        text = self.program
        for old, new in self.words:
            if text.count(old) != 1:
                raise ValueError(f"{old!r} stands {text.count(old)} times in the program")
            text = text.replace(old, new)
        return text

    def job(self) -> dict[str, Any]:
        """The job's data, edited."""
        job = deepcopy(JOB)
        for (*way, last), value in self.values.items():
            table: Any = job
            for key in way:
                table = table[key]
            if value is None:
                table.pop(last)
            else:
                table[last] = value
        return job


@dataclass(frozen=True)
class Case:
    """A code, the edit that draws it and the near miss that does not."""

    code: str
    draws: Edit
    misses: Edit


def words(*pairs: Words, values: Mapping[Path, Any] | None = None) -> Edit:
    """An edit of the program, with values of the job where given."""
    return Edit(pairs, values or {})


def values(*pairs: tuple[Path, Any]) -> Edit:
    """An edit of the job alone."""
    return Edit((), dict(pairs))


def before_turning(text: str, *pairs: Words, values: Mapping[Path, Any] | None = None) -> Edit:
    """Blocks added at the end of the front, where the tool stands at home."""
    return words(("M05\nM00", f"{text}M05\nM00"), *pairs, values=values)


def groove(to_x: str) -> str:
    """Blocks that plunge the grooving tool at Z-24, 3 wide, into the 38 turned before."""
    return (
        f"T0202\nG97 S600 M03\nG00 X43. Z-24.\nG01 X{to_x} F0.08\nG00 X43.\nG28 U0. W0. (GROOVED)\n"
    )


FILLET = "N120 G02 X38. Z-24. I4. K{k}\nN125 G01 Z-30."
"""From X30 Z-20 to X38 Z-24: a quarter round of 4 about r 19, Z-20, so I4. K0. from its start."""

OPEN_TEXT: tuple[Words, ...] = (
    ("S180 M03\nG00 X43. Z4.5", "S180 M03\nG00 X43 Z4.5"),
    ("G50 S2500", "/ G50 S2500"),
    ("N120 X38.", FILLET.format(k="0.")),
    (
        "T0101\nG54",
        "T0303\nG97 S600 M03\nG00 X0. Z5.\nG74 R1.\nG74 Z-10. Q5000 F0.1\nG28 U0. W0. (DRILLED)\n"
        "T0101\nG54",
    ),
)
CTL: Path = ("machine", "control")
OPEN_ROWS: dict[Path, Any] = {
    (*CTL, "number_without_point"): None,
    (*CTL, "cycle_number_without_point"): None,
    (*CTL, "arc_centre"): None,
}
SHORT_BLADE: dict[Path, Any] = {
    ("tools", 1, "grooving", "reach"): 6.0,
    ("tools", 1, "grooving", "body"): 12.0,
}
REACH_FROM: Path = ("setup", 1, "jaws", "profile", 1, 0)
REACH_TO: Path = ("setup", 1, "jaws", "profile", 2, 0)
"""The two corners of the back jaws that are furthest from the stop."""
GEOMETRY: Path = ("tools", 2, "geometry")
APPEARING = (
    "G70 P100 Q140\nG28 U0. W0.\n",
    "G70 P100 Q140\nT0303\nG00 Z60.\nG28 U0. W0.\n",
)

BOTH_MEASURED: dict[Path, Any] = {
    ("tools", 0, "geometry"): {"x": 0.0, "z": 0.0},
    ("tools", 1, "geometry"): {"x": 0.0, "z": 0.0},
}
AT_G55: dict[Path, Any] = {
    ("setup", 0, "end"): {"offset": "G55"},
    ("setup", 1, "start"): {"offset": "G55"},
}

EYE_CASES = (
    Case(
        "coolant-off",
        words(("X43. Z4.5 M07", "X43. Z4.5")),
        words(("X43. Z4.5 M07", "X43. Z4.5\nM08")),
    ),
    # 0.2 mm is meant, 200 mm a revolution written.
    Case("feed-odd", words(("Z0. F0.2\n", "Z0. F200.\n")), words(("Z0. F0.2\n", "Z0. F1.9\n"))),
    Case(
        "feed-left",
        before_turning(groove("37.").replace(" F0.08", "")),
        before_turning(groove("37.")),
    ),
    Case("speed-odd", words(("G96 S170", "G96 S1700")), words(("G96 S170", "G96 S1400"))),
    # Tool 2 is called 3 from the bar; at Z60. it stands 58.5 in front of it.
    Case(
        "change-near-work",
        words(
            ("G70 P100 Q140\nG28 U0. W0.\n", "G70 P100 Q140\nT0202\nG28 U0. W0.\n"),
            values=BOTH_MEASURED,
        ),
        words(
            ("G70 P100 Q140\nG28 U0. W0.\n", "G70 P100 Q140\nG00 Z60.\nT0202\nG28 U0. W0.\n"),
            values=BOTH_MEASURED,
        ),
    ),
    Case(
        "feed-left-on",
        words(("G90 X38. Z-25. F0.24", "G01 Z4. F0.2\nX90. Z60.")),
        words(("G90 X38. Z-25. F0.24", "G01 Z4. F0.2\nG00 X90. Z60.")),
    ),
    Case(
        "approach-in-both-axes",
        values((("machine", "rapid_path"), "unknown")),
        words(
            ("M03\nG00 X43. Z4.5 M07", "M03\nG00 Z4.5 M07\nX43."),
            ("M03\nG00 X43. Z4.5 M08", "M03\nG00 Z4.5 M08\nX43."),
            values={("machine", "rapid_path"): "unknown"},
        ),
    ),
    Case(
        "turning-stop-missing",
        words(("M05\nM00 (TURN ROUND)\n", "M05\n"), values=AT_G55),
        Edit((), AT_G55),
    ),
)


def contour(
    *blocks: str, entry: str = "G00 X50. Z14.\nG42 G01 Z10. F0.2", tip: int | None = None
) -> Edit:
    """Tool 1, its nose 0.8, along a contour in the air in front of the bar."""
    text = "\n".join(("G00 X60. Z20.", entry, *blocks, "X60.", "G40 G00 Z30.", "G28 U0. W0.", ""))
    return before_turning(text, values=None if tip is None else {("tools", 0, "tip"): tip})


NOSE_CASES = (
    # A step of 0.4 on radius, and one of 0.9.
    Case(
        "contour-tighter-than-nose", contour("Z8.", "X50.8", "Z5."), contour("Z8.", "X51.8", "Z5.")
    ),
    Case(
        "entry-shorter-than-nose",
        contour("Z5.", entry="G00 X50. Z10.5\nG42 G01 Z10. F0.2"),
        contour("Z5.", entry="G00 X50. Z10.9\nG42 G01 Z10. F0.2"),
    ),
    Case("lookahead-lost", contour("Z5.", "M08", "G99"), contour("Z5.", "M08")),
    # Up from 30 to 38 on a slope of 4 in 4, and on a shoulder.
    Case("nose-leaves-metal", words(("N120 X38.", "N120 X38. Z-24.")), Edit()),
    # Two chamfers on a line 5 long: 3 and 2.5 do not fit, 2.5 and 2.5 do.
    Case(
        "corner-too-large",
        contour("G40 Z5. ,C3.", "X60. ,C2.5", "Z0."),
        contour("G40 Z5. ,C2.5", "X60. ,C2.5", "Z0."),
    ),
    # The corner at the lower end of edges along z and along r: direction 3.
    Case("tip-unlike-shape", contour("Z5.", tip=2), contour("Z5.", tip=3)),
)

TEXT_CASES = (
    Case(
        "word-not-understood",
        words(("N130 Z-37.", "N130 Z--37.")),
        words(("N130 Z-37.", "n130z-37.")),
    ),
    Case(
        "text-after-semicolon",
        words(("G00 X43. Z4.5 (TO TURN)", "G00 X43. Z4.5 ; X43.")),
        words(("G00 X43. Z4.5 (TO TURN)", "G00 X43. Z4.5 ; turning")),
    ),
    # X43 is 0.043 or 43; Z0 is nought either way.
    Case(
        "number-without-point",
        words(("G00 X43. Z4.5 M08", "G00 X43 Z4.5 M08")),
        words(("Z0. F0.18", "Z0 F0.18")),
    ),
    Case(
        "program-empty",
        Edit(program="%\nO0001\nG21\nM00\nM30\n%\n"),
        Edit(
            program="%\nO0001\nG21\nG28 U0. W0.\nT0101\nG54\nG00 X43. Z4.5\nM00\nT0101\nG55\n"
            "G00 X43. Z4.5\nM30\n%\n"
        ),
    ),
    Case(
        "label-missing",
        words(("G70 P100 Q140", "G70 P100 Q145")),
        words(("G70 P100 Q140", "G70 P0100 Q0140")),
    ),
    Case(
        "label-doubled",
        words(("G90 X38. Z-25.", "N140 G90 X38. Z-25.")),
        words(("G90 X38. Z-25.", "N150 G90 X38. Z-25.")),
    ),
    Case(
        "profile-missing",
        words(("G71 P100 Q140 U0.4", "G71 P100 U0.4")),
        words(("G71 P100 Q140 U0.4", "G71 Q140 P100 U0.4")),
    ),
    Case(
        "profile-crossed",
        words(("G70 P100 Q140", "G70 P140 Q100")),
        words(("G70 P100 Q140", "G70 P110 Q140")),
    ),
    # The cycle is called from X43.: an entry at X43. leaves nothing to divide into levels.
    Case(
        "profile-stands-still",
        words(("N100 G00 X30.", "N100 G00 X43.")),
        words(("N100 G00 X30.", "N100 G00 X38.")),
    ),
    Case(
        "profile-not-monotone",
        words(("N130 Z-37.", "N125 X36. Z-30.\nN130 X38. Z-37.")),
        words(("N130 Z-37.", "N125 X38. Z-30.\nN130 X38. Z-37.")),
    ),
    # Station 5 is empty; 0102 calls station 1, which is there, with another offset.
    Case(
        "tool-missing",
        words(("T0101 (AGAIN)", "T0505")),
        words(("T0101 (AGAIN)", "T0102")),
    ),
    Case(
        "offset-not-stations",
        words(("T0101 (AGAIN)", "T0102")),
        words(
            ("T0101\nG54", "T0102\nG54"),
            ("T0101 (AGAIN)", "T0102"),
            values={("tools", 0, "offset"): 2},
        ),
    ),
    # Cancelled before the first motion, or at home after the last one and called again.
    Case(
        "offset-cancelled",
        words(("G55\n", "T0100\nG55\n")),
        words(("M05\nM00", "T0100\nM05\nM00")),
    ),
    # G31 ends where a probe touches; G04 X1. is a dwell that only looks like a move.
    Case(
        "cannot-follow",
        words(("G90 X38. Z-25. F0.24", "G31 X38. Z-25. F1.5")),
        words(("G90 X38. Z-25. F0.24", "G04 X1.\nG90 X38. Z-25. F0.24")),
    ),
    Case("endless-loop", words(("M30", "GOTO 100")), words(("M30", "N200 M30"))),
    # The bar is 40: the alarm asks for more than it is, or for just that.
    Case(
        "alarm-raised",
        words(("G40 G99\n", "G40 G99\n#1=40.\nIF [#1 LT 40.5] THEN #3000=1 (BAR TOO THIN)\n")),
        words(("G40 G99\n", "G40 G99\n#1=40.\nIF [#1 LT 40.] THEN #3000=1 (BAR TOO THIN)\n")),
    ),
    Case("wrong-work-offset", words(("G55\n", "")), words(("G55\n", "G56\nG55\n"))),
    # K-0.5: 4.031 from centre to start, 3.5 to the end. K-0.005: 4.000 and 3.995, and 0.01 is let.
    Case(
        "arc-radii-disagree",
        words(("N120 X38.", FILLET.format(k="-0.5"))),
        words(("N120 X38.", FILLET.format(k="-0.005"))),
    ),
    Case(
        "arc-without-centre",
        words(("N120 X38.", "N120 G02 X38. Z-24.\nN125 G01 Z-30.")),
        words(("N120 X38.", "N120 G02 X38. Z-24. R4.\nN125 G01 Z-30.")),
    ),
    Case(
        "allowance-wrong-side", words(("U0.4 W0.1", "U-0.4 W0.1")), words(("U0.4 W0.1", "U0. W0.1"))
    ),
    # A neck from Z-8 to Z-20, 2 mm deep.
    Case(
        "allowance-in-pocket",
        words(("Z-20. F0.12", "Z-8. F0.12\nN112 X26. Z-10.\nN114 Z-18.\nN116 X30. Z-20.")),
        words(
            ("Z-20. F0.12", "Z-8. F0.12\nN112 X26. Z-10.\nN114 Z-18.\nN116 X30. Z-20."),
            ("U0.4 W0.1", "U0.4 W0."),
        ),
    ),
    Case("unit-not-stated", words(("G21\n", "")), words(("G21\nG40 G99", "G40 G99\nG21"))),
    Case(
        "position-unknown",
        values((("machine", "home"), "unknown")),
        values((("machine", "home"), "beyond")),
    ),
    # The turret turns at X60. Z20., which is safe where the machine file says so, and not before.
    Case(
        "tool-change-place-unknown",
        words(("M05\nM00", "G00 X60. Z20.\nT0202\nG28 U0. W0. (HOME)\nM05\nM00")),
        words(
            ("M05\nM00", "G00 X60. Z20.\nT0202\nG28 U0. W0. (HOME)\nM05\nM00"),
            values={("machine", "safe_x"): 60.0},
        ),
    ),
    # A clamp stays in force: without the second one, the first still holds.
    Case(
        "speed-without-clamp",
        words(("G50 S2500\n", ""), ("G50 S2400\n", "")),
        words(("G50 S2400\n", "")),
    ),
    # An optional stop is only a stop where the switch is on.
    Case(
        "mark-missing",
        words(("M00 (TURN", "M01 (TURN")),
        words(("M00 (TURN", "M01 (TURN"), values={(*CTL, "optional_stop"): "on"}),
    ),
    Case(
        "cycle-depth-unknown",
        words(("G71 U1.4 R0.5\n", "")),
        words(
            ("G71 U1.4 R0.5\n", ""),
            values={(*CTL, "roughing_depth"): 1.4, (*CTL, "roughing_withdrawal"): 0.5},
        ),
    ),
    # Four open rows of two values make sixteen readings, three make eight, and eight are proved.
    Case(
        "too-many-readings",
        Edit(OPEN_TEXT, {**OPEN_ROWS, (*CTL, "block_delete"): None}),
        Edit(OPEN_TEXT, OPEN_ROWS),
    ),
    # The profile ends at X39, 2 inside the point of call: levels above it meet nothing.
    Case(
        "level-outside-profile",
        words(("N140 X43.", "N140 X39."), values={(*CTL, "level_outside_profile"): "alarm"}),
        values(((*CTL, "level_outside_profile"), "alarm")),
    ),
)

PROOF_CASES = (
    # X43. is 21.5 on radius: a bar of 44 is 22, one of 40.4 is 20.2 and leaves 2.6 on diameter.
    Case(
        "rapid-into-metal",
        values((("blank", "size"), 44.0)),
        values((("blank", "size"), 40.4)),
    ),
    # Below 38: X24. is 7 deep and X27. is 5.5, the blade reaches 6. A body 12 wide, taken on both
    # sides, reaches to Z-24 - 12 + 3 = -33 at most, where 38 is turned.
    Case(
        "holder-into-metal",
        before_turning(groove("24."), values=SHORT_BLADE),
        before_turning(groove("27."), values=SHORT_BLADE),
    ),
    Case(
        "feed-with-spindle-stopped",
        words(("G96 S170 M03", "G96 S170")),
        words(("G96 S170 M03", "G96 S170\nM03")),
    ),
    Case(
        "feed-with-spindle-wrong-way",
        words(("S170 M03", "S170 M04")),
        words(
            ("S180 M03", "S180 M04"),
            ("S170 M03", "S170 M04"),
            values={("tools", 0, "cuts_with"): "M04"},
        ),
    ),
    # Changed at X43. Z4.5. Place = machine place - offset, so the drill appears at r
    # 21.5 + (-200 + 157)/2 = 0 and at Z 4.5 - 150 + 120 = -25.5, or 4.5 - 150 + 151 = 5.5.
    Case(
        "tool-appears-in-metal",
        words(
            APPEARING,
            values={
                ("tools", 0, "geometry"): {"x": -200.0, "z": -150.0},
                GEOMETRY: {"x": -157.0, "z": -120.0},
            },
        ),
        words(
            APPEARING,
            values={
                ("tools", 0, "geometry"): {"x": -200.0, "z": -150.0},
                GEOMETRY: {"x": -157.0, "z": -151.0},
            },
        ),
    ),
    # The front of the jaws is at Z-41.5.
    Case("jaws-struck", words(("N130 Z-37.", "N130 Z-42.")), words(("N130 Z-37.", "N130 Z-40.4"))),
    Case("jaws-near", words(("N130 Z-37.", "N130 Z-41.")), words(("N130 Z-37.", "N130 Z-40.4"))),
    # The front is touched, so 68 leaves 68 - 1.5 - 60 = 6.5 at the back, and Z4.5 is inside. With
    # 63 the point is below the diameter and in front of the face: not inside.
    Case(
        "start-inside-metal",
        values((("blank", "size"), 44.0), (("blank", "length"), 68.0)),
        values((("blank", "size"), 44.0)),
    ),
    # 43 - 41 = 2.0 on diameter and, with 64.2, 4.5 - 2.7 = 1.8 in Z; with 63, 3.0 in Z is enough.
    Case(
        "start-too-near",
        values((("blank", "size"), 41.0), (("blank", "length"), 64.2)),
        values((("blank", "size"), 41.0)),
    ),
    # Beside the bar of 40: X42. leaves 2.0 on diameter, X42.6 leaves 2.6.
    Case(
        "approach-too-near",
        words(("G71 U1.4", "G00 X42. Z-30.\nG00 X43. Z4.5 (BACK)\nG71 U1.4")),
        words(("G71 U1.4", "G00 X42.6 Z-30.\nG00 X43. Z4.5 (BACK)\nG71 U1.4")),
    ),
    # X2. leaves a raw disc of 2 in the middle; facing to Z0.5 takes all of the raw face at Z1.5.
    Case(
        "face-left-raw",
        words(("G94 X-1.6 Z0. F0.2", "G94 X2. Z0. F0.2")),
        words(("G94 X-1.6 Z0. F0.2", "G94 X-1.6 Z0.5 F0.2")),
    ),
    # 20 - 1.2 = 18.8 on radius is below the 19 that is turned, 20 - 0.8 = 19.2 is not.
    Case("diameter-left-raw", values((("blank", "skin"), 1.2)), values((("blank", "skin"), 0.8))),
    # The front is turned to -23 as seen from the back: -21 leaves 2, -23.5 laps 0.5 over.
    Case(
        "band-left",
        words(("G90 X38. Z-25.", "G90 X38. Z-21.")),
        words(("G90 X38. Z-25.", "G90 X38. Z-23.5")),
    ),
    # The outline is 38 there.
    Case(
        "good-metal-cut",
        words(("G90 X38. Z-25.", "G90 X36. Z-25.")),
        words(("G90 X38. Z-25.", "G90 X38. Z-26.")),
    ),
    Case("loose-metal", before_turning(groove("-0.5")), before_turning(groove("2."))),
    # The faces stand out 1.5, the deepest level is 1.4.
    Case(
        "cut-too-deep",
        values((("tools", 0, "greatest_depth"), 1.2)),
        values((("tools", 0, "greatest_depth"), 1.6)),
    ),
    # Wanted 30 +/- 0.1.
    Case(
        "size-wrong",
        words(("N100 G00 X30.", "N100 G00 X30.5")),
        words(("N100 G00 X30.", "N100 G00 X30.05")),
    ),
    # 38 is between the jaws; half a millimetre is let.
    Case(
        "grip-unlike-metal",
        values((("setup", 1, "grip_diameter"), 90.0)),
        values((("setup", 1, "grip_diameter"), 38.4)),
    ),
    # 38 is turned to 37 from the front, which is the stop, and the bar of 40 begins there: jaws
    # that reach to 41 would stand in 1 x 4 of it. The nose of 0.8 leaves a fillet from 36.2.
    Case(
        "cannot-seat",
        values((REACH_FROM, 41.0), (REACH_TO, 41.0)),
        values((REACH_FROM, 36.1), (REACH_TO, 36.1)),
    ),
    Case(
        "finished-length-varies",
        values(
            (("blank", "length_tolerance"), [-0.2, 0.2]),
            (("setup", 1, "zero"), {"way": "nominal", "face_allowance": 1.5}),
        ),
        values(
            (("blank", "length_tolerance"), [-0.2, 0.2]),
            (("setup", 1, "zero"), {"way": "measured", "error": 0.02}),
        ),
    ),
)

JOB_CASES = (
    Case("guess-not-confirmed", values((("guesses",), ["blank.size"])), values((("guesses",), []))),
    # A tenth of 63 is 6.3: 8 is more, 6 is not.
    Case(
        "blank-odd",
        values((("blank", "length_tolerance"), [-4.0, 4.0])),
        values((("blank", "length_tolerance"), [-3.0, 3.0])),
    ),
    Case(
        "tool-outline-assumed",
        values((("tools", 0), {"station": 1, "insert": "CNMG120408", "holder": "PCLNR2525M12"})),
        values((("tools", 0, "name"), "PCLNR2525M12, measured")),
    ),
    # What is not followed at the front leaves the back in doubt, and not the other way round.
    Case(
        "metal-before-unproven",
        words(("G70 P100 Q140\n", "G31 Z-10. F1.5\n")),
        words(("G90 X38. Z-25. F0.24", "G31 X38. Z-25. F1.5")),
    ),
)


def thread(*lines: str, values: Mapping[Path, Any] | None = None) -> Edit:
    """Lines put after the front's finishing cycle, from X43. Z4.5, the face being at Z0."""
    after = "G70 P100 Q140\n"
    return words((after, after + "".join(f"{line}\n" for line in lines)), values=values)


FIXED, FIRST = "G97 S800", "G76 P010000 Q50 R0."
CHANGE = ("G28 U0. W0.", "T0202", "G97 S800 M03")
THREADING: Mapping[Path, Any] = {
    ("tools", 1): {"station": 2, "threading": {"width": 3.0, "reach": 12.0, "body": 4.0}}
}
THREAD_CASES = (
    # Two leads are 5.0 and 4.0.
    Case(
        "thread-run-in-short",
        thread(FIXED, "G92 X29.6 Z-15. F2.5"),
        thread(FIXED, "G92 X29.6 Z-15. F2."),
    ),
    Case(
        "thread-with-surface-speed",
        thread("G92 X29.6 Z-15. F2."),
        thread(FIXED, "G92 X29.6 Z-15. F2."),
    ),
    Case(
        "thread-lead-missing",
        thread(FIXED, "G92 X29.6 Z-15."),
        thread(FIXED, "G92 X29.6 Z-15. F2.", "X29.3"),
    ),
    # The back's jaws hold 38 from 22 to 32 behind the front face.
    Case(
        "grip-on-thread",
        thread(*CHANGE, "G00 X43. Z-16.", "G92 X37.4 Z-33. F2.", values=THREADING),
        thread(*CHANGE, "G00 X43. Z4.5", "G92 X29.4 Z-15. F2.", values=THREADING),
    ),
    # Depth 1.0 at leads of 1.0 and 1.5: a sharp V is 0.866 and 1.299 deep.
    Case(
        "thread-depth-odd",
        thread(FIXED, FIRST, "G76 X28. Z-15. P1000 Q300 F1."),
        thread(FIXED, FIRST, "G76 X28. Z-15. P1000 Q300 F1.5"),
    ),
)

CASES = EYE_CASES + NOSE_CASES + TEXT_CASES + PROOF_CASES + JOB_CASES + THREAD_CASES
