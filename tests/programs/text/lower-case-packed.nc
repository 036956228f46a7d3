%
o2(bolt blank)
g21g40g99
g28u0.w0.
t0101
g54g97s900m3
g0x52.z2.
g1z-15.f.25
x56.
g0z2.
x46.
g1z-15.
x56.
g28u0.w0.
m5
m30
%
