"""The judge: a brute-force second reading of a job that shares nothing with the proof.

A pixel section, the tool stepped along every motion by half a pixel at most, metal removed or
struck in order of time. It reads job file and program text for itself, expands the cycles for
itself and does the set-up arithmetic for itself; only `judge.compare` calls the proof, by its
public functions, to hold the two answers side by side.
"""
