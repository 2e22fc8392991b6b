"""The log's tree against published roots, and RFC 9162's own definitions, written down once more as they stand."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standtrue.seal import EMPTY_ROOT, Range, Tree, consistent, leaf_of, root_by_path

# The roots and proofs that implementations of Certificate Transparency publish for these eight leaves (RFC 6962, whose
# tree RFC 9162 keeps): first in the tests of its reference implementation, cpp/merkletree/merkle_tree_test.cc; read
# here from public repositories that quote them.
LEAVES = [
    bytes.fromhex(digits)
    for digits in ("", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f")
]
ROOTS = (
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
)
A, B, C = (
    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
    "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
)
FIRST = "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7"
RIGHT = "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4"
PATHS = (
    (0, 1, ()),
    (0, 8, (FIRST, A, RIGHT)),
    (5, 8, (B, C, ROOTS[3])),
    (2, 3, (ROOTS[1],)),
    (1, 5, (ROOTS[0], A, B)),
)
CONSISTENCY = (
    (1, 1, ()),
    (1, 8, (FIRST, A, RIGHT)),
    (6, 8, ("0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a", C, ROOTS[3])),
    (2, 5, (A, B)),
)


def _hash(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def _mth(d: list[bytes]) -> bytes:
    """MTH of RFC 9162, 2.1.1, word for word."""
    n = len(d)
    if n == 0:
        return _hash(b"")
    if n == 1:
        return _hash(b"\x00" + d[0])
    k = _k(n)
    return _hash(b"\x01" + _mth(d[:k]) + _mth(d[k:]))


def _k(n: int) -> int:
    """The largest power of two smaller than n."""
    return max(1 << i for i in range(n.bit_length()) if 1 << i < n)


def _path(m: int, d: list[bytes]) -> list[bytes]:
    """PATH of RFC 9162, 2.1.3.1."""
    if len(d) == 1:
        return []
    k = _k(len(d))
    return [*_path(m, d[:k]), _mth(d[k:])] if m < k else [*_path(m - k, d[k:]), _mth(d[:k])]


def _subproof(m: int, d: list[bytes], b: bool) -> list[bytes]:
    """SUBPROOF of RFC 9162, 2.1.4.1."""
    if m == len(d):
        return [] if b else [_mth(d)]
    k = _k(len(d))
    return [*_subproof(m, d[:k], b), _mth(d[k:])] if m <= k else [*_subproof(m - k, d[k:], False), _mth(d[:k])]


def _grown(leaves: list[bytes]) -> Range:
    grown = Range()
    for leaf in leaves:
        grown = grown.grown(leaf_of(leaf))
    return grown


@pytest.mark.parametrize("size", range(1, 9))
def test_published_roots(size: int) -> None:
    tree = Tree(map(leaf_of, LEAVES[:size]))
    assert tree.root().hex() == _grown(LEAVES[:size]).root.hex() == _mth(LEAVES[:size]).hex() == ROOTS[size - 1]
    assert Tree(map(leaf_of, LEAVES)).root(size).hex() == ROOTS[size - 1]


def test_no_leaves() -> None:
    assert Tree(()).root() == Range().root == EMPTY_ROOT == _mth([]) == _hash(b"")


@pytest.mark.parametrize(("index", "size", "path"), PATHS)
def test_published_inclusion_proofs(index: int, size: int, path: tuple[str, ...]) -> None:
    told = Tree(map(leaf_of, LEAVES)).path(index, size)
    assert tuple(part.hex() for part in told) == path
    assert root_by_path(leaf_of(LEAVES[index]), index, size, told) == bytes.fromhex(ROOTS[size - 1])


@pytest.mark.parametrize(("first", "second", "proof"), CONSISTENCY)
def test_published_consistency_proofs(first: int, second: int, proof: tuple[str, ...]) -> None:
    told = Tree(map(leaf_of, LEAVES)).consistency(first, second)
    assert tuple(part.hex() for part in told) == proof
    assert consistent(first, second, bytes.fromhex(ROOTS[first - 1]), bytes.fromhex(ROOTS[second - 1]), told)


def test_every_small_tree_is_as_the_definitions_say() -> None:
    leaves = [bytes([i]) * (i % 5) for i in range(33)]
    tree = Tree(map(leaf_of, leaves))
    roots = [_mth(leaves[:n]) for n in range(34)]
    for n in range(1, 34):
        assert tree.root(n) == _grown(leaves[:n]).root == roots[n]
        for m in range(n):
            path = tree.path(m, n)
            assert list(path) == _path(m, leaves[:n])
            assert root_by_path(leaf_of(leaves[m]), m, n, path) == roots[n]
        for m in range(1, n + 1):
            proof = tree.consistency(m, n)
            assert list(proof) == _subproof(m, leaves[:n], True)
            assert consistent(m, n, roots[m], roots[n], proof)


@given(st.integers(1, 200), st.data())
def test_a_proof_holds_for_nothing_else(size: int, data: st.DataObject) -> None:
    leaves = [leaf_of(b"%d" % i) for i in range(size)]
    tree = Tree(leaves)
    root = tree.root()
    index, other = data.draw(st.integers(0, size - 1)), data.draw(st.integers(0, size + 1))
    path = list(tree.path(index))
    assert root_by_path(leaves[index], index, size, path) == root
    if other not in (index, size):
        assert root_by_path(leaves[index], other, size, path) != root
    if path:
        at = data.draw(st.integers(0, len(path) - 1))
        assert root_by_path(leaves[index], index, size, path[:at] + path[at + 1 :]) != root
        assert root_by_path(leaves[index], index, size, [*path, path[at]]) != root
        path[at] = bytes([path[at][0] ^ 1]) + path[at][1:]
        assert root_by_path(leaves[index], index, size, path) != root


@given(st.integers(2, 200), st.data())
def test_a_rewritten_log_has_no_consistency_proof(size: int, data: st.DataObject) -> None:
    first = data.draw(st.integers(1, size - 1))
    changed = data.draw(st.integers(0, first - 1))
    leaves = [leaf_of(b"%d" % i) for i in range(size)]
    old = Tree(leaves).root(first)
    leaves[changed] = leaf_of(b"another")
    new = Tree(leaves)
    assert not consistent(first, size, old, new.root(), new.consistency(first))


def test_parts_that_make_up_no_log_are_refused() -> None:
    with pytest.raises(ValueError, match="do not make up"):
        Range(3, (b"", b"", b""))
