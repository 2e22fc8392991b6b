"""Where the target goes, and whether it got there: lay-out, measurement, decision; floor, alignment, loads."""
