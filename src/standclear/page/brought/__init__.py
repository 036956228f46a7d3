"""A program that comes back from the control, held beside the job's own."""
