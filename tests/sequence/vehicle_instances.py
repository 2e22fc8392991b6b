"""Shops whose parts two vehicles carry, and their least makespans.

Ü. Bilge and G. Ulusoy, "A time window approach to simultaneous scheduling of machines and material handling system in
an FMS", Operations Research 43(6), 1995: of ten job sets and four layouts, those here. Job sets: (machine, minutes) of
each operation; layouts: travel from row to column, the load/unload station first. Vehicles begin there, and the last
return trip does not count. The job sets are as in two public transcriptions that agree on every number (K. Sanogo's and
Markovien's, both of 2026), and half of those of Deroussi and Norre below.

L. Deroussi and S. Norre, "Simultaneous scheduling of machines and vehicles for the flexible job shop problem", 2010:
the same job sets, with all times doubled and every machine there twice. The jobs are as in two public transcriptions
that agree on every number (lucasberter's FJSPT and wl1162452191-sys's), the travel as in two that agree (the latter and
snake0u0's, which names the authors' own tables as its source).
"""

from __future__ import annotations

Jobs = tuple[tuple[tuple[int, int], ...], ...]
Travel = tuple[tuple[int, ...], ...]

JOB_SETS: dict[int, Jobs] = {
    1: (
        ((1, 8), (2, 16), (4, 12)),
        ((1, 20), (3, 10), (2, 18)),
        ((3, 12), (4, 8), (1, 15)),
        ((4, 14), (2, 18)),
        ((3, 10), (1, 15)),
    ),
    2: (
        ((1, 10), (4, 18)),
        ((2, 10), (4, 18)),
        ((1, 10), (3, 20)),
        ((2, 10), (3, 15), (4, 12)),
        ((1, 10), (2, 15), (4, 12)),
        ((1, 10), (2, 15), (3, 12)),
    ),
    3: (
        ((1, 16), (3, 15)),
        ((2, 18), (4, 15)),
        ((1, 20), (2, 10)),
        ((3, 15), (4, 10)),
        ((1, 8), (2, 10), (3, 15), (4, 17)),
        ((2, 10), (3, 15), (4, 8), (1, 15)),
    ),
    4: (
        ((4, 11), (1, 10), (2, 7)),
        ((3, 12), (2, 10), (4, 8)),
        ((2, 7), (3, 10), (1, 9), (3, 8)),
        ((2, 7), (4, 8), (1, 12), (2, 6)),
        ((1, 9), (2, 7), (4, 8), (2, 10), (3, 8)),
    ),
    5: (
        ((1, 6), (2, 12), (4, 9)),
        ((1, 18), (3, 6), (2, 15)),
        ((3, 9), (4, 3), (1, 12)),
        ((4, 6), (2, 15)),
        ((3, 3), (1, 9)),
    ),
    6: (
        ((1, 9), (2, 11), (4, 7)),
        ((1, 19), (2, 20), (4, 13)),
        ((2, 14), (3, 20), (4, 9)),
        ((2, 14), (3, 20), (4, 9)),
        ((1, 11), (3, 16), (4, 8)),
        ((1, 10), (3, 12), (4, 10)),
    ),
    8: (
        ((2, 12), (3, 21), (4, 11)),
        ((2, 12), (3, 21), (4, 11)),
        ((2, 12), (3, 21), (4, 11)),
        ((2, 12), (3, 21), (4, 11)),
        ((1, 10), (2, 14), (3, 18), (4, 9)),
        ((1, 10), (2, 14), (3, 18), (4, 9)),
    ),
}
LAYOUTS: dict[int, Travel] = {
    1: ((0, 6, 8, 10, 12), (12, 0, 6, 8, 10), (10, 6, 0, 6, 8), (8, 8, 6, 0, 6), (6, 10, 8, 6, 0)),
    2: ((0, 4, 6, 8, 6), (6, 0, 2, 4, 2), (8, 12, 0, 2, 4), (6, 10, 12, 0, 2), (4, 8, 10, 12, 0)),
    3: ((0, 2, 4, 10, 12), (12, 0, 2, 8, 10), (10, 12, 0, 6, 8), (4, 6, 8, 0, 2), (2, 4, 6, 12, 0)),
}
LEAST = {
    (1, 1): 96,
    (2, 1): 100,
    (3, 1): 99,
    (4, 1): 112,
    (5, 1): 87,
    (6, 1): 118,
    (1, 2): 82,
    (2, 2): 76,
    (5, 2): 69,
    (1, 3): 84,
    (5, 3): 74,
}
"""By job set and layout: the published least makespans."""

TWICE_TRAVEL: Travel = (
    (0, 6, 8, 6, 8, 10, 12, 10, 12),
    (8, 0, 2, 8, 2, 4, 6, 4, 6),
    (6, 10, 0, 10, 8, 2, 4, 6, 4),
    (12, 4, 6, 0, 6, 8, 10, 8, 10),
    (10, 2, 4, 6, 0, 6, 8, 2, 8),
    (8, 8, 2, 8, 6, 0, 6, 4, 2),
    (6, 10, 8, 10, 8, 6, 0, 6, 4),
    (12, 4, 6, 4, 2, 8, 10, 0, 10),
    (10, 6, 4, 6, 4, 2, 8, 2, 0),
)
TWICE_LEAST = {1: 134, 2: 114, 3: 120, 5: 94, 8: 178}
"""By number of the instance, fjsp1 and so on: the published least makespans."""


def twice(number: int) -> Jobs:
    """The jobs of an instance of Deroussi and Norre; machine m of theirs is at 2 m - 1 and at 2 m."""
    jobs = [tuple((machine, 2 * minutes) for machine, minutes in job) for job in JOB_SETS[number]]
    if number == 1:
        jobs += jobs[:2]  # Two more jobs than the set has, like its first two.
    if number == 8:
        jobs[4] = (*jobs[4][:-1], (4, 9))  # Not doubled there, and the published makespan is the one with it.
    return tuple(jobs)
