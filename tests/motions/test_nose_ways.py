"""Any program of moves, compensation, corners and calls: as far as it is followed the tool never
leaps, whatever waits."""

from __future__ import annotations

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st
from lathe_shop import BEGIN, traces, unproven_from

from standclear.motions.table import Kind

OUTLINE = {
    "points": [[0.0, 0.0], [12.0, 0.0], [12.0, 40.0], [0.0, 40.0]],
    "cutting": [0, 3],
    "corners": [{"point": 0, "radius": 0.8}],
}
TOOLS = [{"station": k, "outline": OUTLINE} for k in (1, 2)]
PROFILE = (
    "N10 {on}G00 X{x}.\nG01 Z-10.{corner} F.2\nX{to}. Z-{deep}.\nG03 X60. Z-40. R30.\n"
    "N20 {off}X66.\n"
)

numbers = st.integers(1, 60)
words = st.sampled_from(["", "", "", "G40 ", "G41 ", "G42 "])
corners = st.sampled_from(["", "", "", " ,C1.", " ,R2.", " I1.", " K-1.", " R2.", " ,A120."])


@st.composite
def blocks(draw: st.DrawFn) -> str:
    kind = draw(st.sampled_from(["move", "move", "move", "arc", "one axis", "other", "call"]))
    x, z, on = draw(numbers), draw(st.integers(-40, 10)), draw(words)
    if kind == "move":
        return f"{on}{draw(st.sampled_from(['G00', 'G01']))} X{x}. Z{z}.\n"
    if kind == "arc":
        return f"{on}G0{draw(st.integers(2, 3))} X{x}. Z{z}. R{draw(numbers)}.\n"
    if kind == "one axis":
        axis = draw(st.sampled_from([f"X{x}.", f"Z{z}.", f"U{x - 30}.", f"W{z}."]))
        return f"{on}G01 {axis}{draw(corners)}\n"
    if kind == "call":
        return draw(
            st.sampled_from(
                ["G70 P10 Q20\n", "G71 U5. R1.\nG71 P10 Q20 U.4 W.1\n", "G90 X30. Z-5.\n"]
            )
        )
    return draw(
        st.sampled_from(
            ["G40\n", "G42\n", "M08\n", "G04 U1.\n", "G28 U0. W0.\n", "T0202\n", "G01 ,A150.\n"]
        )
    )


programs = st.builds(
    lambda body, on, off, corner, x, to, deep: (
        BEGIN
        + "F.2\n"
        + "".join(body)
        + "M30\n"
        + PROFILE.format(on=on, off=off, corner=corner, x=x, to=x + to, deep=10 + deep)
    ),
    st.lists(blocks(), min_size=1, max_size=9),
    words,
    words,
    st.sampled_from(["", " ,C1.", " ,R3."]),
    st.integers(1, 20),
    st.integers(1, 15),
    st.integers(1, 20),
)


contour = st.lists(
    st.one_of(
        st.integers(2, 9).map(lambda w: f"G01 W-{w}.\n"),
        st.integers(4, 9).map(lambda u: f"G01 U{u}.\n"),
        st.tuples(st.integers(2, 9), st.integers(4, 9)).map(lambda t: f"G01 U{t[1]}. W-{t[0]}.\n"),
    ),
    min_size=1,
    max_size=6,
)
contours = st.builds(
    lambda blocks, way_out: (
        BEGIN
        + "F.2\nG42 G00 X10. Z2.\n"
        + "".join(blocks)
        + way_out
        + "M30\n"
        + PROFILE.format(on="", off="", corner="", x=10, to=10, deep=20)
    ),
    contour,
    st.sampled_from(
        [
            "G40 G00 X80. Z5.\n",
            "G40\nG00 X80. Z5.\n",
            "G28 U0. W0.\nG40\nT0202\n",
            "G70 P10 Q20\nG40 G00 X90.\n",
            "",
        ]
    ),
)


@settings(max_examples=150)
@given(st.one_of(programs, contours))
@example(BEGIN + "F.2\nG42 G00 X20. Z2.\nG70 P10 Q20\nM30\nN10 G40 X20.\nN20 X20.\n")
def test_every_way_begins_where_the_last_one_ended(text: str) -> None:
    for each in traces(text, tools=TOOLS):
        motions = each.motions
        proven = unproven_from(each)
        at = None
        for row in range(len(motions) if proven is None else min(proven, len(motions))):
            start, end = motions.start[row], motions.end[row]
            if motions.kind[row] == Kind.APPEAR:
                at = end
                continue
            first_of_call = motions.call[row] >= 0 and (
                motions.call[row - 1] != motions.call[row]
                or motions.variant[row - 1] != motions.variant[row]
            )
            if first_of_call and motions.variant[row] > 0:
                call = each.calls[int(motions.call[row])]
                at = np.array(call.point)
            assert at is not None
            assert np.abs(start - at).max() < 1e-9, (row, start, at)
            assert np.isfinite(end).all()
            at = end
