# SPDX-License-Identifier: GPL-3.0-or-later
"""Bushings, seals, O-rings, rings, washers, fluids: invented sizes, but for the O-rings, which are all
standard sizes, looked up in the two committed size lists."""

from generator import tables
from generator.part import Part

TUBES = (36, 37, 39, 41, 43, 45, 46, 47, 48, 49, 50)
SHAFTS = (12, 14, 16, 18)
_ISO_NBR = ("007 008 009 010 011 012 013 014 015 016 018 020 022 110 111 112 113 114 115 116 117 118 120 122 124"
            " 210 211 212 213 214 216 218 222").split()
_ISO_FKM = "012 014 112 114 210 214".split()
_JIS_NBR = "P10 P10A P12 P14 P16 P18 P20 P22 P22A P25 G25 G30 G35 G40 G45".split()


def bushing(id_mm, od_mm, length_mm):
    return f"BU-{id_mm}-{od_mm}-{length_mm}"


def guide_bushing(tube):
    return bushing(tube, tube + 4, 12)


def piston_bushing(tube):
    return bushing(tube - 2, tube + 1, 15)


def oil_seal(bore, height=11):
    return f"OS-{bore}-{bore + 11}-{height}" if bore in TUBES else f"OS-{bore}-{bore + 10}-6"


def dust_seal(bore):
    return f"DS-{bore}-{bore + 12}-13" if bore in TUBES else f"DS-{bore}-{bore + 8}-5"


def snap_ring(tube):
    return f"SR-{tube + 13}-1.5"


def _round_part(code, kind, what, popularity, pack, price_cents, id_mm, od_mm, **cells):
    return Part(code, kind, what, popularity, pack, price_cents, group=kind,
                cells={"id_mm": f"{id_mm}.0", "od_mm": f"{od_mm}.0", **cells})


def _bushings(draws):
    for tube in TUBES:
        lengths = [(tube, tube + 4, 12, "guide"), (tube - 2, tube + 1, 15, "piston")]
        if tube in (43, 47, 48):
            lengths.append((tube, tube + 4, 20, "long guide"))
        for id_mm, od_mm, length, place in lengths:
            yield _round_part(bushing(id_mm, od_mm, length), "bushing", f"{place} bushing, {tube} mm tube",
                              draws.between(1, 9), 2, 2 * (420 + 11 * tube + 15 * length), id_mm, od_mm,
                              length_mm=f"{length}.0", coating="PTFE on bronze", material="steel back")
    for shaft in SHAFTS:
        for length, coating in ((10, "PTFE on bronze"), (15, "PTFE on bronze"), (12, "acetal")):
            yield _round_part(bushing(shaft, shaft + 2, length), "bushing", f"shaft bushing, {shaft} mm",
                              draws.between(0, 5), 2, 2 * (180 + 14 * shaft + 9 * length), shaft, shaft + 2,
                              length_mm=f"{length}.0", coating=coating)


def _seals(draws):
    for bore in TUBES + SHAFTS:
        place = f"{bore} mm tube" if bore in TUBES else f"{bore} mm shaft"
        heights = (11, 10) if bore in (43, 47, 48) else (11,)
        for height in heights:
            code = oil_seal(bore, height)
            _, id_mm, od_mm, high = code.split("-")
            yield _round_part(code, "oil_seal", f"oil seal, {place}", draws.between(1, 9), 2, 2 * (310 + 13 * bore),
                              id_mm, od_mm, length_mm=f"{high}.0", material="NBR", shelf_life_months=84)
        _, id_mm, od_mm, high = dust_seal(bore).split("-")
        yield _round_part(dust_seal(bore), "dust_seal", f"dust seal, {place}", draws.between(1, 8), 2,
                          2 * (240 + 9 * bore), id_mm, od_mm, length_mm=f"{high}.0", material="NBR",
                          shelf_life_months=84)


def _o_rings(draws):
    iso = {row["code"]: row for row in tables.read(tables.FOLDER, tables.ISO_SIZES)}
    jis = {row["code"]: row for row in tables.read(tables.FOLDER, tables.JIS_SIZES)}
    wanted = [("ISO", c, "NBR", 70) for c in _ISO_NBR] + [("ISO", c, "FKM", 75) for c in _ISO_FKM]
    wanted += [("JIS", c, "NBR", 70) for c in _JIS_NBR]
    for system, size, compound, hardness in wanted:
        row = (iso if system == "ISO" else jis)[size]
        bore, section = row["id_mm"], row["section_mm"]
        price = 10 * (9 + tables.micrometres(section) // 200 + (22 if compound == "FKM" else 0))
        yield Part(f"OR-{system}-{size}-{compound}{hardness}", "o_ring", f"O-ring {bore} x {section} {compound}",
                   draws.between(0, 9), 10, price, group="o_ring",
                   cells={"id_mm": bore, "section_mm": section, "size_code": size, "material": compound,
                          "hardness": hardness, "shelf_life_months": 84 if compound == "NBR" else 120})


def _rings_and_washers(draws):
    for tube in TUBES:
        yield Part(snap_ring(tube), "snap_ring", f"seal retaining ring, {tube} mm tube", draws.between(1, 6), 5,
                   5 * (60 + tube), group="snap_ring",
                   cells={"od_mm": f"{tube + 13}.0", "thickness_mm": "1.50", "material": "spring steel"})
    for bore, od, tenths in ((6, 10, 10), (8, 14, 10), (10, 16, 15), (12, 18, 15), (14, 20, 15), (16, 22, 15), (20, 26, 20)):
        yield _round_part(f"WA-{bore}-{od}-{tenths / 10}", "washer", f"crush washer {bore} x {od}",
                          draws.between(1, 9), 20, 20 * (8 + bore), bore, od,
                          thickness_mm=f"{tenths // 10}.{tenths % 10}0",
                          material="copper" if bore < 12 else "aluminium")


def _fluids_and_other(draws):
    for grade, price in ((10, 5290), (15, 5340), (22, 5390)):
        yield Part(f"FL-VG{grade}", "fluid", f"damping oil, ISO VG {grade}", draws.between(4, 9), 5000, price,
                   group="fluid", cells={"unit": "ml", "shelf_life_months": 60})
    yield Part("FL-GREASE", "fluid", "assembly grease for elastomers", 0, 500, 1150, group="fluid",
               cells={"unit": "ml", "shelf_life_months": 48})
    for thread in (6, 8, 10, 12, 16):
        yield Part(f"OT-NUT-M{thread}", "other", f"valve nut M{thread}, peened once", draws.between(2, 9), 10,
                   10 * (70 + 12 * thread), group="other", cells={"note": "single use"})


def make(draws):
    return [*_bushings(draws), *_seals(draws), *_o_rings(draws), *_rings_and_washers(draws), *_fluids_and_other(draws)]
