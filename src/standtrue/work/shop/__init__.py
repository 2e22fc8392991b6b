"""The shop itself: reading its folder, starting a new one, and the demonstration."""
