"""Programs of our own that jobs are drafted from, in several house styles and both units."""

from __future__ import annotations

BUSHING = """%
O3001 (BUSHING, BAR 60 X 57)
(SIDE 1)
N1 G21 G99 G40
N2 G28 U0. W0.
N3 T0101 (ROUGH)
N4 G54 G50 S2000
N5 G96 S150 M03
N6 G00 X64. Z4. M08
N7 G94 X-1.6 Z0. F0.2
N8 G71 U2. R0.5
N9 G71 P10 Q12 U0.4 W0.1 F0.3
N10 G00 X50.
N11 G01 Z-30. F0.15
N12 X64.
N13 G28 U0. W0.
N14 M01
N15 T0303 (DRILL 20)
N16 G97 S800 M03
N17 G00 X0. Z4.
N18 G01 Z-60. F0.2
N19 G00 Z4.
N20 G28 U0. W0.
N21 M01
N22 T0505 (BORE)
N23 G96 S120 M03
N24 G00 X19. Z3.
N25 G90 X22. Z-25. F0.12
N26 X24.
N27 G28 U0. W0.
N28 M01
N29 T0707 (GROOVE 4 WIDE)
N30 G97 S500 M03
N31 G00 X54. Z-20.
N32 G01 X44. F0.08
N33 G00 X54.
N34 G28 U0. W0.
N35 M05
N36 M00 (TURN THE PART ROUND)
N37 T0101
N38 G55 G96 S150 M03
N39 G00 X64. Z4. M08
N40 G94 X16. Z0. F0.2
N41 G90 X56. Z-25. F0.25
N42 G28 U0. W0.
N43 M30
%
"""
"""Bar from a comment: 60 is under X64. The ends meet at 30 + 25 = 55; 57 less 1.5 at each face, Z4.
less 2.5, is 54. The M01s split nothing; the first M00 is stop 4."""

PLUG_INCH = """O0042 (PLUG)
G20
G0 G28 U0 W0
T0202
G97 S1200 M4
G0 X1.35 Z.1
G1 X-.06 F.006
G0 X1.35 Z.1
G90 X1.125 Z-.75 F.008
G0 X6. Z5.
T0808
G97 S600 M4
G0 X1.3 Z-.85
G1 X0. F.003
G0 X6. Z5.
M30
"""
"""Inch: X1.35 less 0.1 is 1.25, a usual bar. Z.1 leaves no more than the usual 0.1, so 0.02. Parted
at Z-.85: blank 0.85 + 1.0 held + 0.02. T08 is called at X6. Z5. The spindle turns the other way."""

SHAFT_G77 = """%
:1234
N10 G21 G90 G95
N20 G28 U0 W0
N30 T11
N40 G54 G92 S2500
N50 G96 S200 M3
N60 G00 X44.5 Z3.5
N70 G79 X-1.6 Z0 F.2
N80 G77 X38 Z-40 F.25
N90 G28 U0 W0
N100 M30
%
"""
"""X44.5 less 2.5 is 42; Z3.5 less 2.5 is 1.0. X38 and Z-40 have no point: 38 is no increment."""

PLAIN_UNITLESS = """T0101
G97 S900 M03
G00 X33. Z2.
G00 Z0
G01 X-1. F0.2
G00 X33. Z2.
G00 X28.
G01 Z-18. F0.2
X33.
G00 X200. Z150.
M30
"""
"""No unit word: X goes to 200. X33. is the greatest X a feed begins at: 30.5, so 30. Z2. leaves
less than 2.5: 0.5. It ends away from home."""

THREADED_STUD = """O77 (STUD M20)
G21
G28 U0. W0.
T0101
G97 S800 M03
G00 X24.5 Z3.
G90 X20. Z-35. F0.2
G28 U0. W0.
T0909
G97 S500 M03
G00 X26. Z6.
G76 P020060 Q100 R0.02
G76 X17.0 Z-30. P1500 Q400 F2.5
G28 U0. W0.
M30
"""
"""X24.5 less 2.5 is 22. P1500 and Q400 count thousandths. One end: 35 + 25 held."""
