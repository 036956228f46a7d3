"""What the words of a block mean."""
