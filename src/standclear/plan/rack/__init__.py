"""Bars and offcuts of a rack against a job: which are clear, how many blanks, what they cost."""
