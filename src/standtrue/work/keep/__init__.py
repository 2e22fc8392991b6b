"""What the record takes in: answers about a job, files and notes that somebody brings to it, and who signs it off."""
