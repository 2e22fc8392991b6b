"""Job shops whose machines must be set up from one type of operation to another, and their least makespans.

P. Brucker and O. Thiele, "A branch & bound method for the general-shop problem with sequence dependent setup times",
OR Spektrum 18, 1996. Machines and times are Lawrence's la01 and la05, as in ScheduleOpt's copy; set-ups and types as in
the sample t2-ps05 of the public repository Tempo (ehebrard), which has la05's numbers, too. The least makespans are
recalled from C. Artigues and D. Feillet, "A branch and bound method for the job-shop problem with sequence-dependent
setup times", Annals of Operations Research 159, 2008, without that page at hand; the shops lead to just those.
"""

from __future__ import annotations

JOBS = {
    "t2-ps01": (
        ((2, 21), (1, 53), (5, 95), (4, 55), (3, 34)),
        ((1, 21), (4, 52), (5, 16), (3, 26), (2, 71)),
        ((4, 39), (5, 98), (2, 42), (3, 31), (1, 12)),
        ((2, 77), (1, 55), (5, 79), (3, 66), (4, 77)),
        ((1, 83), (4, 34), (3, 64), (2, 19), (5, 37)),
        ((2, 54), (3, 43), (5, 79), (1, 92), (4, 62)),
        ((4, 69), (5, 77), (2, 87), (3, 87), (1, 93)),
        ((3, 38), (1, 60), (2, 41), (4, 24), (5, 83)),
        ((4, 17), (2, 49), (5, 25), (1, 44), (3, 98)),
        ((5, 77), (4, 79), (3, 43), (2, 75), (1, 96)),
    ),
    "t2-ps05": (
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
    ),
}
"""Of every shop and job, its operations: (machine, time). All operations of a job are of one type: 1 to 5 and again."""

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
LEAST = {"t2-ps01": 798, "t2-ps05": 691}
