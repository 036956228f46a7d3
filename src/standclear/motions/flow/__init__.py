"""Program flow: variables, expressions, statements, jumps and calls."""
