"""The Merkle tree of RFC 9162, section 2.1, grown leaf by leaf.

Of a tree of n leaves only the roots of its complete parts are kept, at most log2(n) + 1 of them, largest first: enough
to append a leaf and to tell the root. Proofs need all leaves (`proofs`).
"""

from __future__ import annotations

from attrs import frozen

from standtrue.seal.digests import LEAF, NODE, sha256

EMPTY_ROOT = sha256()
"""RFC 9162, section 2.1.1: the root of no leaves is the digest of nothing."""


def leaf_of(digest: bytes) -> bytes:
    """The leaf that stands for an entry of this digest."""
    return sha256(LEAF, digest)


def node_of(left: bytes, right: bytes) -> bytes:
    """The node above two."""
    return sha256(NODE, left, right)


@frozen
class Range:
    """The complete parts of a tree of `size` leaves: one root for each bit of `size`, largest part first."""

    size: int = 0
    peaks: tuple[bytes, ...] = ()

    def __attrs_post_init__(self) -> None:
        if self.size < 0 or self.size.bit_count() != len(self.peaks):
            raise ValueError(f"{len(self.peaks)} parts do not make up {self.size} leaves")

    def grown(self, leaf: bytes) -> Range:
        """With one leaf more."""
        peaks, left = list(self.peaks), self.size
        while left & 1:
            leaf = node_of(peaks.pop(), leaf)
            left >>= 1
        return Range(self.size + 1, (*peaks, leaf))

    @property
    def root(self) -> bytes:
        """The root: the parts joined from the smallest up."""
        if not self.peaks:
            return EMPTY_ROOT
        *others, found = self.peaks
        for peak in reversed(others):
            found = node_of(peak, found)
        return found
