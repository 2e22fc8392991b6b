"""The sheet of a room: what it can do today and after each change, on two pages that are handed over."""
