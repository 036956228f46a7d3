"""Known faults planted in jobs that are proved clear, to see whether amending finds them."""
