"""What the page answers where something cannot be done."""

from __future__ import annotations


class Refused(Exception):
    """What was asked for cannot be done; `status` as in HTTP."""

    def __init__(self, status: int, words: str) -> None:
        super().__init__(words)
        self.status = status
