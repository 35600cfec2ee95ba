# SPDX-License-Identifier: GPL-3.0-or-later
"""The shim sizes of the shop: outer diameters and thicknesses that are plausible for each shaft diameter."""

from generator.part import Part
from generator.tables import micrometres, millimetres

# shaft ID -> {OD: thicknesses in hundredths of a millimetre}
SIZES = {
    "6.0": {24: (10, 12, 15, 20, 25), 23: (10, 15, 20), 22: (10, 15, 20, 25), 21: (10, 15, 20),
            20: (10, 15, 20, 25), 19: (10, 15), 18: (10, 15, 20), 17: (10, 15, 20), 16: (10, 15, 20),
            15: (10, 15), 14: (5, 10, 15, 20), 13: (15, 20), 12: (5, 10, 15, 20), 11: (10, 20, 30),
            10: (20, 30), 9: (10, 20, 30), 8: (20, 30)},
    "8.0": {30: (15, 20, 25), 28: (10, 15, 20), 27: (15, 20), 26: (10, 15, 20), 25: (15,), 24: (10, 15, 20),
            23: (15,), 22: (10, 15, 20), 21: (15,), 20: (10, 15, 20), 19: (15,), 18: (10, 15, 20), 17: (15,),
            16: (5, 10), 15: (15,), 14: (10, 15, 20, 30), 13: (20,), 12: (20, 30), 11: (30,)},
    "10.0": {36: (20, 25), 34: (20,), 32: (15, 20, 25), 30: (15, 20), 28: (15, 20), 26: (15, 20), 24: (15, 20),
             22: (10, 15, 20), 20: (15, 20), 18: (10, 15, 20), 16: (15, 20), 14: (20, 30)},
    "12.0": {36: (20, 25, 30), 34: (20,), 32: (15, 20, 25), 30: (20,), 28: (15, 20), 26: (20,), 24: (15, 20),
             22: (20,), 20: (15, 20), 18: (20,), 16: (20, 30)},
    "16.0": {44: (15, 20, 25, 30), 42: (20,), 40: (15, 20, 25), 38: (20, 25), 36: (20,), 34: (20, 25), 32: (20,),
             30: (20,), 28: (15, 20), 26: (20,), 24: (20,), 22: (30,)},
}

_POPULARITY_BY_THICKNESS = {5: 1, 10: 7, 12: 2, 15: 8, 20: 6, 25: 2, 30: 3}


def code(od_um, id_um, thickness_um):
    return f"SH-{millimetres(od_um)}-{id_um // 1000}-{millimetres(thickness_um, 2)}"


def make(draws, wanted):
    parts = []
    for id_text, by_od in SIZES.items():
        id_um = micrometres(id_text)
        for od, thicknesses in by_od.items():
            favour = draws.between(2, 10)  # some diameters are asked for far more than others
            if od == max(by_od):
                favour = 14  # face shims most of all: they are what a piston needs by the handful
            for hundredths in thicknesses:
                od_um, thickness_um = od * 1000, hundredths * 10
                popularity = favour * _POPULARITY_BY_THICKNESS[hundredths]
                name = code(od_um, id_um, thickness_um)
                if draws.chance(8) and name not in wanted:
                    popularity = 0  # bought once, never asked for again: dead stock is part of every shop
                thickness_text = millimetres(thickness_um, 2)
                parts.append(Part(
                    code=name, kind="shim",
                    description=f"shim {od}.0 x {id_text} x {thickness_text}", popularity=popularity, pack=10,
                    price_cents=10 * (28 + 2 * od + hundredths // 2), group=f"shim {id_text}",
                    cells={"od_mm": f"{od}.0", "id_mm": id_text, "thickness_mm": thickness_text,
                           "material": "carbon spring steel"}))
    return parts
