"""That one entry is in the log, and that a longer log begins as a shorter one did: RFC 9162, 2.1.3 and 2.1.4.

A tree is kept level by level: level 0 the leaves, then the nodes above each complete pair. The last node of a level,
where it has no pair, is no node of the next: its part is joined when a proof asks for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from standtrue.seal.tree import EMPTY_ROOT, node_of


class Tree:
    """A whole tree, for its proofs. It holds two digests an entry."""

    def __init__(self, leaves: Iterable[bytes]) -> None:
        self.levels: list[list[bytes]] = [list(leaves)]
        while len(below := self.levels[-1]) > 1:
            self.levels.append([node_of(below[i], below[i + 1]) for i in range(0, len(below) - 1, 2)])

    @property
    def size(self) -> int:
        return len(self.levels[0])

    def root(self, size: int | None = None) -> bytes:
        """The root of the first `size` leaves, of all if not told. Raises ValueError if there are not so many."""
        wanted = self.size if size is None else size
        if not 0 <= wanted <= self.size:
            raise ValueError(f"the log has {self.size} entries, not {wanted}")
        return self._part(0, wanted) if wanted else EMPTY_ROOT

    def _part(self, begin: int, end: int) -> bytes:
        """The root of the leaves from `begin` until before `end`, of which `begin` begins a complete part."""
        count = end - begin
        level = count.bit_length() - 1
        if count == 1 << level:
            return self.levels[level][begin >> level]
        split = begin + (1 << level)
        return node_of(self._part(begin, split), self._part(split, end))

    def path(self, index: int, size: int | None = None) -> tuple[bytes, ...]:
        """The inclusion proof of a leaf in the first `size`, lowest first. Raises ValueError for no leaf of them."""
        wanted = self.size if size is None else size
        if not 0 <= index < wanted <= self.size:
            raise ValueError(f"no entry {index} among {wanted} of {self.size}")
        found, begin, end = list[bytes](), 0, wanted
        while end - begin > 1:
            split = begin + _largest_below(end - begin)
            if index < split:
                found.append(self._part(split, end))
                end = split
            else:
                found.append(self._part(begin, split))
                begin = split
        return tuple(reversed(found))

    def consistency(self, first: int, second: int | None = None) -> tuple[bytes, ...]:
        """The proof that the first `second` leaves begin with the first `first`. Raises ValueError unless 0 < first."""
        wanted = self.size if second is None else second
        if not 0 < first <= wanted <= self.size:
            raise ValueError(f"no log of {wanted} entries of {self.size} begins with {first}")
        found, begin, end, whole = list[bytes](), 0, wanted, True
        while end > first:
            split = begin + _largest_below(end - begin)
            if first <= split:
                found.append(self._part(split, end))
                end = split
            else:
                found.append(self._part(begin, split))
                begin, whole = split, False
        return tuple(reversed(found)) if whole else (self._part(begin, end), *reversed(found))


def _largest_below(count: int) -> int:
    """The largest power of two below `count`, which is 2 or more: where RFC 9162 parts a tree."""
    return 1 << ((count - 1).bit_length() - 1)


def root_by_path(leaf: bytes, index: int, size: int, path: Sequence[bytes]) -> bytes | None:
    """The root that an inclusion proof leads to (RFC 9162, 2.1.3.2); None where it proves nothing of such a tree."""
    if not 0 <= index < size:
        return None
    first, last, found = index, size - 1, leaf
    for part in path:
        if last == 0:
            return None
        if first & 1 or first == last:
            found = node_of(part, found)
            while not first & 1 and first:
                first, last = first >> 1, last >> 1
        else:
            found = node_of(found, part)
        first, last = first >> 1, last >> 1
    return found if last == 0 else None


def consistent(first: int, second: int, first_root: bytes, second_root: bytes, path: Sequence[bytes]) -> bool:
    """Whether a proof shows that the log of `second` entries begins with that of `first` (RFC 9162, 2.1.4.2)."""
    if not 0 < first <= second or (first == second) != (not path):
        return False
    if first == second:
        return first_root == second_root
    steps = (first_root, *path) if first & (first - 1) == 0 else tuple(path)
    near, far = first - 1, second - 1
    while near & 1:
        near, far = near >> 1, far >> 1
    of_first = of_second = steps[0]
    for part in steps[1:]:
        if far == 0:
            return False
        if near & 1 or near == far:
            of_first, of_second = node_of(part, of_first), node_of(part, of_second)
            while not near & 1 and near:
                near, far = near >> 1, far >> 1
        else:
            of_second = node_of(of_second, part)
        near, far = near >> 1, far >> 1
    return far == 0 and of_first == first_root and of_second == second_root
