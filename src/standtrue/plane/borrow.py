"""The name by which `drive` still knows `compiled_bare`."""

from standtrue.plane.compiled import compiled_bare as borrowing

__all__ = ["borrowing"]
