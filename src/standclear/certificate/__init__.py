"""The arrow: a clear proof to a file that another can check without trusting the proof."""
