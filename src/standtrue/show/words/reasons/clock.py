"""The sentences of the clock of a job: why a plan has no clock times."""

from __future__ import annotations

from standtrue.show.words.catalog import N_
from standtrue.show.words.reasons import Sentences

SENTENCES: Sentences = {
    "no-opening-hours": N_("no opening hours entered"),
    "no-arrival": N_("no arrival entered"),
    "never-ready": N_("by the hours entered it is not ready within a year: somebody whom it takes is never there"),
}
