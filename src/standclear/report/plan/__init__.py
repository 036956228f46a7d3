"""The words of what the plan says: text lines, one module a subject."""
