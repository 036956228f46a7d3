"""Drawings of a proved job: neutral shapes on paper, the views made of them, and their writers."""
