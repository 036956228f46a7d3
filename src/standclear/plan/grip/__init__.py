"""How each set-up holds the part: length and diameter gripped, jaw clearance, bore of soft jaws."""
