"""Documents: what people write in a shop folder, read into the model, with every fault reported together."""

from standtrue.documents.default_rules import default_rules, default_rules_text
from standtrue.documents.estimate import ESTIMATES, Estimate, estimate_missing
from standtrue.documents.faults import FAULT_CODES
from standtrue.documents.folder import Folder, gather, load_text, read_files, read_folder
from standtrue.documents.kinds import KINDS, OTHER_KINDS
from standtrue.documents.reading import Document, read_document
from standtrue.documents.schemas import json_schemas
from standtrue.documents.starter import starter_files, write_new, write_rules, write_starter

__all__ = [
    "ESTIMATES",
    "FAULT_CODES",
    "KINDS",
    "OTHER_KINDS",
    "Document",
    "Estimate",
    "Folder",
    "default_rules",
    "default_rules_text",
    "estimate_missing",
    "gather",
    "json_schemas",
    "load_text",
    "read_document",
    "read_files",
    "read_folder",
    "starter_files",
    "write_new",
    "write_rules",
    "write_starter",
]
