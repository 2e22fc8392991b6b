"""The record of a job on paper: one page that a customer reads, then the proof behind it."""
