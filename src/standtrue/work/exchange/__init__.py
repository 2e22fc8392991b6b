"""Documents between a folder and a store: taken in as versions, written out as files, and what became of each."""
