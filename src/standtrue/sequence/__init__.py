"""The order of one job: least time, fewest moves, proven for the places and moves that are given."""
