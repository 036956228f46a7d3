"""Why there is no certificate."""

from standclear.errors import StandclearError


class NoCertificate(StandclearError):
    """The verdict is not clear, or the job has something that no certificate covers."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"no certificate: {reason}")
