"""What the pages of the app say, a file a page."""
