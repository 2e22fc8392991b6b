"""The store copied away and back, moved to another place, and a customer's data taken out of it."""
