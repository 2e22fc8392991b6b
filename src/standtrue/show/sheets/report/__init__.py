"""The page that tells what was measured, against which limit."""
