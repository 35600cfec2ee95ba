# SPDX-License-Identifier: GPL-3.0-or-later
"""One part of the catalogue: its CSV cells, and what the simulated year needs to know about it."""

import dataclasses


@dataclasses.dataclass
class Part:
    code: str
    kind: str
    description: str
    popularity: int          # relative demand within its group; 0 = nobody has wanted it all year
    pack: int                # pieces (or ml) in the pack of the first supplier
    price_cents: int         # price of that pack
    cells: dict              # further columns of parts.csv
    group: str = ""          # what competes for demand, e.g. "shim 6.0"
    class_: str = "C"
    reorder_point: int = 0   # 0 = none: bought only when a job asks for it
    bin: str = ""            # its main bin
    used_bin: str = ""       # where reclaimed ones go; empty = they are scrapped
    suppliers: list = dataclasses.field(default_factory=list)

    def row(self):
        return {"part": self.code, "kind": self.kind, "description": self.description, "class": self.class_,
                "unit": "piece", "reorder_point": self.reorder_point or "", **self.cells}


# Reorder points by kind and class, in pieces (ml for fluids): the invented shop's own habit, set once a
# year by hand, which is just what a better policy should later improve on.
_REORDER_POINTS = {
    "shim": {"A": 16, "B": 10, "C": 4},
    "o_ring": {"A": 16, "B": 10, "C": 6},
    "fluid": {"A": 4000, "B": 2000, "C": 1000},
    "washer": {"A": 16, "B": 10, "C": 6},
    "other": {"A": 10, "B": 6, "C": 4},
}
_WEAR_PART_POINTS = {"A": 6, "B": 4, "C": 2}


def classify(parts):
    """Class A: the fifth of each kind that moves most; B: the next third; C: the rest."""
    for kind in sorted({p.kind for p in parts}):
        ranked = sorted((p for p in parts if p.kind == kind), key=lambda p: (-p.popularity, p.code))
        for rank, part in enumerate(ranked):
            part.class_ = "A" if 5 * rank < len(ranked) else "B" if 15 * rank < 8 * len(ranked) else "C"
            if part.popularity > 0:
                part.reorder_point = _REORDER_POINTS.get(kind, _WEAR_PART_POINTS)[part.class_]
