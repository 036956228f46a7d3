"""What the tests of the page share."""

HOST = "127.0.0.1:8463"
"""The address under which the tests ask the page."""
