"""A long, coverage-guided search for input that makes the tool fail: `make fuzz`.

It looks for three things in programs and in job files: a traceback, work without a bound, memory
without a bound.
"""
