"""What is printed from the bench: the set-up sheet."""
