"""What a sheet is drawn with: SVG for the screen, PDF (typeset) for paper."""
