"""What each kind of document looks like on the page: one pydantic form for each kind."""
