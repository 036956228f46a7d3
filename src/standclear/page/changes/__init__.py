"""The least edits that make a job clear, taken piece by piece."""
