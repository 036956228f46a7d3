"""Which other blanks, and which shifts of a work offset, a proved job would also be clear with."""
