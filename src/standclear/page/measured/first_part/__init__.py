"""The first part measured: what to key in, with the sums."""
