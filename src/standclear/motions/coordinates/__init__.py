"""Where programmed coordinates lie: work offsets, shifts, settings, reference places."""
