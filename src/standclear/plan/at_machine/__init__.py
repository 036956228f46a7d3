"""What to do at the machine before cycle start: stand at clearance points, gauge the gaps."""
