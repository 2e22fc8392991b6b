"""What a room can do for a shop's work: shares of repair orders, and what stops the rest."""
