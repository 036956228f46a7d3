"""What holds for every test."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# No test is timed: a machine busy with other work must not make one fail.
settings.register_profile(
    "untimed", settings(), deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("untimed")
