"""What waits for whom today."""
