"""Drawings of quantities: which blanks are clear, and how the length is spent."""
