"""A box of measured blanks: which runs as it is, with which shift, and which does not."""
