"""What makes alterations of the record seen: digests, each job's chain, one log over all entries, proofs.

Pure: nothing here reads, writes, tells the time or draws a random number. Bytes in, bytes or values out.
"""

from __future__ import annotations

from standtrue.seal.canonical import canonical
from standtrue.seal.diagnosis import Broken, Diagnosis, How, diagnose
from standtrue.seal.digests import NOTHING, SALT_BYTES, attachment_digest, content_digest
from standtrue.seal.entry import Entry, Kept, Mark, listed, sealed
from standtrue.seal.head import Head, head_text, read_head
from standtrue.seal.proofs import Tree, consistent, root_by_path
from standtrue.seal.tree import EMPTY_ROOT, Range, leaf_of

__all__ = [
    "EMPTY_ROOT",
    "NOTHING",
    "SALT_BYTES",
    "Broken",
    "Diagnosis",
    "Entry",
    "Head",
    "How",
    "Kept",
    "Mark",
    "Range",
    "Tree",
    "attachment_digest",
    "canonical",
    "consistent",
    "content_digest",
    "diagnose",
    "head_text",
    "leaf_of",
    "listed",
    "read_head",
    "root_by_path",
    "sealed",
]
