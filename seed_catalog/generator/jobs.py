# SPDX-License-Identifier: GPL-3.0-or-later
"""The open jobs of 2026-11-25, written by hand, and the stock on which the story of each one rests."""

from generator import models
from generator.models import CONSUMABLES

# Geometry: clamp, port inner, port outer, shaft, seat, preload (mm; an empty seat = none).
_FORK_24 = ("10.0", "13.0", "20.0", "6.0", "20.5", "0.0")
_FORK_20 = ("8.0", "10.0", "17.0", "6.0", "", "0.0")
_FORK_26 = ("12.0", "15.0", "22.0", "8.0", "", "0.0")
_FORK_28 = ("12.0", "15.0", "24.0", "8.0", "24.5", "0.0")
_FORK_32 = ("14.0", "17.0", "27.0", "10.0", "", "0.0")
_SHOCK_36 = ("16.0", "19.0", "30.0", "12.0", "31.0", "0.05")
_SHOCK_44 = ("22.0", "25.0", "38.0", "16.0", "39.0", "0.0")

# What the inspection may call for, by the first letters of the part.
SEALS = ("OS", "DS")
BUSHINGS = ("BU",)
ALWAYS = ("OR", "OT", "FL")  # what no valve goes together without


class Job:
    def __init__(self, name, customer, model, valve, legs, opened, due, priority, geometry, as_found, target,
                 renew=(), note=""):
        self.name, self.customer, self.model, self.valve, self.legs = name, f"{customer} (invented)", model, valve, legs
        self.opened, self.due, self.priority, self.geometry, self.note = opened, due, priority, geometry, note
        self.as_found = [_rows(text) for text in as_found]
        self.target = _rows(target)
        self.consumables = [(part, legs * quantity, _reason(part)) for part, quantity, _ in CONSUMABLES[model]
                            if part.startswith(ALWAYS + tuple(renew))]


def _rows(text):
    """'5 x 24.0 x 0.10, ...' -> [(5, '24.0', '0.10'), ...], from the piston face to the clamp."""
    return [(int(count), od, thickness) for count, od, thickness in (row.split(" x ") for row in text.split(", "))]


def _reason(part):
    return {"OS": "lip worn", "DS": "wiper hard", "BU": "coating worn through", "OR": "opened joint",
            "OT": "peened nut, single use", "FL": "refill"}[part[:2]]


OPEN_JOBS = [
    Job("JOB-1001", "A. Sample", "FK-HAZEL-43", "rebound", 2, "2026-11-03", "2026-11-27", 4, _FORK_20,
        ["3 x 20.0 x 0.10, 1 x 18.0 x 0.10, 1 x 16.0 x 0.15, 1 x 14.0 x 0.15, 1 x 12.0 x 0.20, 1 x 8.0 x 0.30",
         "2 x 20.0 x 0.10, 1 x 20.0 x 0.098, 1 x 18.0 x 0.10, 1 x 16.0 x 0.148, 1 x 14.0 x 0.15, "
         "1 x 12.0 x 0.20, 1 x 8.0 x 0.30"],
        "3 x 20.0 x 0.15, 1 x 18.0 x 0.15, 1 x 16.0 x 0.15, 1 x 14.0 x 0.15, 1 x 12.0 x 0.20, "
        "1 x 10.0 x 0.20, 1 x 8.0 x 0.30",
        SEALS, "two discs of the left leg were read with the micrometer"),
    Job("JOB-1002", "B. Placeholder", "FK-LARCH-45", "compression", 2, "2026-11-05", "2026-11-28", 5, _FORK_24,
        ["4 x 24.0 x 0.10, 1 x 22.0 x 0.10, 1 x 20.0 x 0.10, 1 x 18.0 x 0.15, 1 x 16.0 x 0.15, "
         "1 x 12.0 x 0.20, 1 x 10.0 x 0.30",
         "4 x 24.0 x 0.10, 1 x 22.0 x 0.10, 1 x 20.0 x 0.10, 1 x 18.0 x 0.15, 1 x 16.0 x 0.10, "
         "1 x 12.0 x 0.20, 1 x 10.0 x 0.30"],
        "5 x 24.0 x 0.10, 1 x 22.0 x 0.10, 1 x 20.0 x 0.15, 1 x 18.0 x 0.15, 1 x 16.0 x 0.15, "
        "1 x 14.0 x 0.15, 1 x 12.0 x 0.20, 1 x 10.0 x 0.30",
        SEALS, "legs differed in the 16.0 row"),
    Job("JOB-1003", "C. Example", "FK-CEDAR-41", "base", 2, "2026-11-09", "2026-12-01", 3, _FORK_24,
        ["3 x 24.0 x 0.15, 1 x 22.0 x 0.15, 1 x 20.0 x 0.15, 1 x 18.0 x 0.15, 1 x 14.0 x 0.20, 1 x 10.0 x 0.30"] * 2,
        "4 x 24.0 x 0.15, 2 x 22.0 x 0.15, 1 x 20.0 x 0.15, 1 x 18.0 x 0.15, 1 x 16.0 x 0.15, "
        "1 x 14.0 x 0.20, 1 x 12.0 x 0.20, 1 x 10.0 x 0.30",
        BUSHINGS),
    Job("JOB-1004", "D. Demo", "FK-MAPLE-47", "compression", 2, "2026-11-10", "2026-12-02", 4, _FORK_26,
        ["5 x 26.0 x 0.10, 1 x 24.0 x 0.15, 1 x 22.0 x 0.15, 1 x 20.0 x 0.15, 1 x 18.0 x 0.15, "
         "1 x 14.0 x 0.20, 1 x 12.0 x 0.30"] * 2,
        "4 x 26.0 x 0.10, 1 x 16.0 x 0.10, 1 x 24.0 x 0.15, 1 x 22.0 x 0.15, 1 x 20.0 x 0.15, "
        "1 x 18.0 x 0.15, 1 x 14.0 x 0.20, 1 x 12.0 x 0.30",
        SEALS + BUSHINGS, "a crossover is to be put in"),
    Job("JOB-1005", "E. Nobody", "FK-WILLOW-49", "base", 2, "2026-11-12", "2026-12-04", 3, _FORK_28,
        ["4 x 28.0 x 0.15, 1 x 26.0 x 0.15, 1 x 22.0 x 0.15, 1 x 20.0 x 0.15, 1 x 18.0 x 0.15, "
         "1 x 14.0 x 0.20, 1 x 12.0 x 0.30"] * 2,
        "3 x 28.0 x 0.15, 1 x 25.0 x 0.15, 1 x 22.0 x 0.15, 1 x 20.0 x 0.15, 1 x 18.0 x 0.15, "
        "1 x 14.0 x 0.20, 1 x 12.0 x 0.30"),
    Job("JOB-1006", "F. Fictional", "FK-ROWAN-48", "mid", 2, "2026-11-16", "2026-11-30", 4, _FORK_32,
        ["3 x 32.0 x 0.15, 1 x 30.0 x 0.15, 1 x 28.0 x 0.15, 1 x 24.0 x 0.20, 1 x 20.0 x 0.20, 1 x 14.0 x 0.30"] * 2,
        "3 x 32.0 x 0.20, 1 x 30.0 x 0.20, 1 x 28.0 x 0.20, 1 x 26.0 x 0.20, 1 x 22.0 x 0.20, "
        "1 x 18.0 x 0.20, 1 x 14.0 x 0.30",
        SEALS),
    Job("JOB-1007", "G. Invention", "FK-BIRCH-39", "compression", 1, "2026-11-17", "2026-12-03", 2, _FORK_24,
        ["4 x 24.0 x 0.10, 1 x 14.0 x 0.10, 1 x 22.0 x 0.15, 1 x 20.0 x 0.15, 1 x 18.0 x 0.15, "
         "1 x 16.0 x 0.15, 1 x 12.0 x 0.20, 1 x 10.0 x 0.30"],
        "5 x 24.0 x 0.10, 1 x 14.0 x 0.10, 1 x 23.0 x 0.15, 1 x 21.0 x 0.15, 1 x 19.0 x 0.15, "
        "1 x 17.0 x 0.15, 1 x 15.0 x 0.15, 1 x 13.0 x 0.20, 1 x 10.0 x 0.30",
        note="compression side is in the left leg only"),
    Job("JOB-1008", "H. Imaginary", "SK-SLATE-16", "compression", 1, "2026-11-18", "2026-12-07", 3, _SHOCK_44,
        ["5 x 44.0 x 0.20, 1 x 40.0 x 0.20, 1 x 36.0 x 0.20, 1 x 32.0 x 0.20, 1 x 28.0 x 0.20, 1 x 22.0 x 0.30"],
        "6 x 44.0 x 0.20, 1 x 42.0 x 0.20, 1 x 40.0 x 0.20, 1 x 38.0 x 0.20, 1 x 34.0 x 0.20, "
        "1 x 30.0 x 0.20, 1 x 26.0 x 0.20, 1 x 22.0 x 0.30",
        SEALS),
    Job("JOB-1009", "I. Pretend", "FK-ALDER-36", "rebound", 2, "2026-11-19", "2026-12-08", 2, _FORK_20,
        ["4 x 20.0 x 0.10, 1 x 17.0 x 0.10, 1 x 15.0 x 0.10, 1 x 12.0 x 0.20, 1 x 8.0 x 0.30"] * 2,
        "5 x 20.0 x 0.10, 1 x 19.0 x 0.10, 1 x 17.0 x 0.10, 1 x 15.0 x 0.10, 1 x 13.0 x 0.15, "
        "1 x 11.0 x 0.20, 1 x 8.0 x 0.30"),
    Job("JOB-1010", "J. Madeup", "SK-BASALT-12", "rebound", 1, "2026-11-20", "2026-12-10", 1, _SHOCK_36,
        ["3 x 36.0 x 0.25, 1 x 32.0 x 0.20, 1 x 28.0 x 0.20, 1 x 24.0 x 0.20, 1 x 20.0 x 0.20, 1 x 16.0 x 0.30"],
        "4 x 36.0 x 0.25, 1 x 32.0 x 0.20, 1 x 28.0 x 0.20, 1 x 24.0 x 0.20, 1 x 20.0 x 0.20, 1 x 16.0 x 0.30",
        BUSHINGS, "seat raised by 0.05"),
]


_GEOMETRY = "clamp_od_mm port_inner_diameter_mm port_outer_diameter_mm shim_id_mm seat_diameter_mm preload_mm".split()


def valve_rows():
    """The valves that somebody has measured, so that a later job of the same model has their sizes."""
    measured = {(row["model"], row["valve"]) for row in models.flow_rows()}
    return [{"model": j.model, "valve": j.valve, **dict(zip(_GEOMETRY, j.geometry))} for j in OPEN_JOBS
            if (j.model, j.valve) in measured]


def job_rows():
    return [{"job": j.name, "customer": j.customer, "model": j.model, "valve": j.valve, "legs": j.legs, "opened": j.opened,
             "due": j.due, "priority": j.priority, "note": j.note, **dict(zip(_GEOMETRY, j.geometry))} for j in OPEN_JOBS]


def stack_rows():
    rows = []
    for job in OPEN_JOBS:
        stacks = [("as_found", leg, rows) for leg, rows in enumerate(job.as_found, start=1)] + [("target", 0, job.target)]
        for role, leg, discs in stacks:
            for position, (count, od, thickness) in enumerate(discs, start=1):
                rows.append({"job": job.name, "role": role, "leg": leg, "position": position, "count": count,
                             "od_mm": od, "thickness_mm": thickness})
    return rows


def consumable_rows():
    return [{"job": job.name, "part": part, "quantity": quantity, "reason": reason}
            for job in OPEN_JOBS for part, quantity, reason in job.consumables]
