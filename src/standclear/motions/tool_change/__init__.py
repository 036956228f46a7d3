"""T words: which tool they call and where it then stands."""
