"""The page: one local process, the browser on the bench, the same answers as the command line."""
