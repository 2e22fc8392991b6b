"""The steps, one a schema."""
