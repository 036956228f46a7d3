"""How many of small random faults in the proof the tests and the judge would see."""
