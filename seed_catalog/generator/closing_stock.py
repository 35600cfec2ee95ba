# SPDX-License-Identifier: GPL-3.0-or-later
"""What must lie in the drawers when the year ends, so that the open jobs are what their stories say."""

from generator.jobs import OPEN_JOBS
from generator.shims import code
from generator.tables import micrometres

# New discs on which a story rests: in the main bin, exactly.
_SCARCE = {
    "SH-24.0-6-0.10": 5,    # JOB-1002 needs 10; with the 2 used ones there are 7
    "SH-22.0-6-0.15": 3,    # JOB-1003 needs 4
    "SH-16.0-8-0.10": 1,    # JOB-1004 needs 2
    "SH-25.0-8-0.15": 1,    # JOB-1005 needs 2 of this diameter, and this is the only one in the shop
    "SH-20.0-6-0.10": 6,    # JOB-1009 needs 10; with the 6 used ones there are 12
    "OS-48-59-11": 1,       # JOB-1006 needs 2
}
LAST_OF_ITS_DIAMETER = "SH-25.0-8-0.15"  # hardly ever asked for, so never reordered

PLENTY = {
    "SH-24.0-6-0.12": 14, "SH-24.0-6-0.15": 30, "SH-24.0-6-0.20": 18, "SH-24.0-6-0.25": 6,
    "SH-22.0-6-0.10": 24, "SH-22.0-6-0.20": 20, "SH-16.0-8-0.05": 8,
}

# Used lots that were measured: bin -> (part, mean reading, pieces at the end of the year).
MEASURED_USED = {
    "F13": ("SH-24.0-6-0.10", "0.098", 2),
    "F14": ("SH-20.0-6-0.10", "0.099", 6),
    "F15": ("SH-18.0-6-0.15", "0.147", 5),
    "F16": ("SH-16.0-6-0.15", "0.149", 4),
    "F17": ("SH-22.0-8-0.20", "0.196", 6),
    "F18": ("SH-20.0-8-0.15", "0.146", 4),
    "F19": ("SH-40.0-16-0.20", "0.195", 3),
    "F20": ("SH-24.0-8-0.10", "0.098", 8),
}
# Readings of new lots in their main bins, taken at the opening count.
MEASURED_NEW = {
    "SH-24.0-6-0.15": "0.151", "SH-23.0-6-0.15": "0.148", "SH-20.0-6-0.20": "0.198", "SH-12.0-6-0.10": "0.102",
    "SH-18.0-6-0.20": "0.201", "SH-22.0-8-0.15": "0.149", "SH-28.0-8-0.15": "0.152", "SH-26.0-8-0.10": "0.101",
    "SH-32.0-10-0.20": "0.203", "SH-44.0-16-0.20": "0.197",
}

NEVER_RECLAIMED = set(_SCARCE) | {"SH-16.0-8-0.05"} | {part for part, _, _ in MEASURED_USED.values()}


def needs():
    """Pieces of each part that all open jobs together call for (ml of fluids)."""
    total = {}
    for job in OPEN_JOBS:
        for count, od, thickness in job.target:
            part = code(micrometres(od), micrometres(job.geometry[3]), micrometres(thickness))
            total[part] = total.get(part, 0) + count * job.legs
        for part, quantity, _ in job.consumables:
            total[part] = total.get(part, 0) + quantity
    return total


def closing(parts, draws):
    """(part, bin, condition) -> (pieces at the end of the year, whether exactly or at least so many).
    Parts that are not named end as they like."""
    bin_of = {part.code: part.bin for part in parts}
    target = {(part, bin_of[part], "new"): (quantity + draws.between(1, 6) * (100 if part.startswith("FL") else 1), False)
              for part, quantity in sorted(needs().items())}
    target |= {(part, bin_of[part], "new"): (quantity, True) for part, quantity in (PLENTY | _SCARCE).items()}
    target |= {(part, place, "used"): (quantity, True) for place, (part, _, quantity) in MEASURED_USED.items()}
    return target
