"""What a setter works out before the first cut: the split of the length, the values to key in, the
clearance points."""
