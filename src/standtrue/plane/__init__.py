"""Planar geometry: poses, convex pieces, Minkowski sums, separation. Knows nothing of cars."""
