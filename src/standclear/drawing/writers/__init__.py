"""One writer for each form in which a drawing leaves."""
