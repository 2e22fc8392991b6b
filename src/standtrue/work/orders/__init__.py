"""Repair orders from the desk: changed, begun, put aside, planned, and handed to whoever does them."""
