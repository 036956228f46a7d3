"""What is worked out for the setter, in words: the same answers as on the command line."""
