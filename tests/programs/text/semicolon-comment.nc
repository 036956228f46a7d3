O0066 ; FLANGE
G21 ; millimetres
G28 U0. W0. ; home
T0101 ; turning
G54 G97 S900 M03
G00 X52. Z2. ; near the bar
G01 Z-10. F0.2 ;
G28 U0. W0.;
M30
