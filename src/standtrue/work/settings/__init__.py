"""What a shop has set for itself: how it is read, and which instruments it has."""
