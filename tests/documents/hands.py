"""Mistakes of a person's hand: what somebody types into the starter shop, and what must be said of it."""

from __future__ import annotations

from attrs import evolve, frozen


@frozen
class Said:
    """One thing that must be told: a fault or a warning, with its code, file, field or line, and words that say it."""

    fault: bool
    code: str
    file: str
    where: str | int
    words: tuple[str, ...]

    @property
    def field_line(self) -> bool:
        """Whether it is told of something that stands in the file, and so on a line of it."""
        return bool(self.where) and self.code not in (
            "units-missing",
            "missing-field",
            "kind-not-used",
            "name-repeated",
        )


@frozen
class Hand:
    """What somebody did to the files of the starter shop. Nothing `said`: it is rightly accepted, without a word."""

    what: str
    changes: tuple[tuple[str, str, str], ...] = ()
    files: tuple[tuple[str, bytes | None], ...] = ()
    said: tuple[Said, ...] = ()

    def typed(self, file: str, old: str, new: str) -> Hand:
        """With this typed instead of that, where that stands first; an empty `old` is the end of the file."""
        return evolve(self, changes=(*self.changes, (f"{file}.toml", old, new)))

    def written(self, file: str, data: bytes | None) -> Hand:
        """With a file of these bytes; of none, without that file."""
        return evolve(self, files=(*self.files, (file, data)))

    def fault(self, code: str, where: str | int, *words: str, file: str = "") -> Hand:
        """One fault, in the file that was changed last if no other is named."""
        return self._told(True, code, where, words, file)

    def warning(self, code: str, where: str | int, *words: str, file: str = "") -> Hand:
        return self._told(False, code, where, words, file)

    def _told(self, fault: bool, code: str, where: str | int, words: tuple[str, ...], file: str) -> Hand:
        last = [name for name, *_ in self.changes] + [name for name, _ in self.files]
        return evolve(self, said=(*self.said, Said(fault, code, file or last[-1], where, words)))
