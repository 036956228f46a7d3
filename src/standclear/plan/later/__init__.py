"""What comes after the proof: another month's blank, a program back from the control, a restart."""
