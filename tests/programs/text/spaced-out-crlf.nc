%
O 0031  ( SPACER , 2 OFF )

N  10   G 21   G 40
N  20   G 28   U 0.   W 0.
N  30   T 01 01   ( TURN )
N  40   G 54
N  50   G 97   S 650   M 03
N  60   G 00   X 53.0   Z 2.5
N  70   G 01   Z - 12.5   F 0.20
N  80   X 55.0
N  90   G 00   Z 5.0
N 100   G 28   U 0.   W 0.
N 110   M 05
N 120   M 30
%
