"""A job shop whose machines must be set up from one type of operation to another, and its least makespan.

t2-ps05: P. Brucker and O. Thiele, "A branch & bound method for the general-shop problem with sequence dependent setup
times", OR Spektrum 18, 1996. Numbers transcribed from the sample in the public repository Tempo (ehebrard); machines
and times are Lawrence's la05, and agree with ScheduleOpt's copy of that. The least makespan is recalled from
C. Artigues and D. Feillet, "A branch and bound method for the job-shop problem with sequence-dependent setup times",
Annals of Operations Research 159, 2008, without that page at hand; the shop leads to just that.
"""

from __future__ import annotations

JOBS = (
    ((2, 72), (1, 87), (5, 95), (3, 66), (4, 60)),
    ((5, 5), (4, 35), (1, 48), (3, 39), (2, 54)),
    ((2, 46), (4, 20), (3, 21), (1, 97), (5, 55)),
    ((1, 59), (4, 19), (5, 46), (2, 34), (3, 37)),
    ((5, 23), (3, 73), (4, 25), (2, 24), (1, 28)),
    ((4, 28), (1, 45), (5, 5), (2, 78), (3, 83)),
    ((1, 53), (4, 71), (2, 37), (5, 29), (3, 12)),
    ((5, 12), (3, 87), (4, 33), (2, 55), (1, 38)),
    ((3, 49), (4, 83), (2, 40), (1, 48), (5, 7)),
    ((3, 65), (4, 17), (1, 90), (5, 27), (2, 23)),
)
"""Of every job, its operations: (machine, time). All operations of a job are of one type: 1 to 5 and again."""

SET_UP = (
    (0, 10, 20, 30, 40, 50),
    (0, 0, 10, 20, 30, 40),
    (0, 40, 0, 10, 20, 30),
    (0, 30, 40, 0, 10, 20),
    (0, 20, 30, 40, 0, 10),
    (0, 10, 20, 30, 40, 0),
)
"""From type to type; 0 is a machine that has done nothing yet."""

TYPES = 5
LEAST = 691
