"""The section: each set-up with its metal, its jaws and what matters in it, and what comes out."""
