%
o60 (loops)
g21 g54 g99
g28 u0. w0.
t0303
g97 s400 m3
g0 x52. z-5.
#1=0
while[#1lt2]do1
g1 x48. f.1
g0 x52.
#1=#1+1
if[#1eq2]goto7
w-6.
n7 end1
m98p61 l1
g0 x60.
g28 u0. w0.
m30
o61
w-1.
m99
%
