"""The life of cards: what each counts as, a second reading, editions side by side, and what a job was planned with."""
